//! Stiffness of straight limbs without a bed. Source: pin-jointed bars (matrix structural analysis).

use crate::closed_form::rigging::all_pass;
use rimhold::verify::closed_form;

#[test]
fn material_and_geometric_stiffness_add_up() {
    all_pass(closed_form::bars);
}
