//! Where an anchor sits decides which way its limb draws the fragment. The statement is that of the
//! trade; the force is the vector sum of a rope over pegs (any handbook of mechanics).

use crate::closed_form::rigging::all_pass;
use rimhold::verify::closed_form;

#[test]
fn neck_anchor_draws_medially_and_crater_anchor_lifts() {
    all_pass(closed_form::places);
}
