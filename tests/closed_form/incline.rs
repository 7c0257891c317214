//! Block on an incline under its weight. Source: Coulomb, the angle of repose.

use crate::closed_form::rigging::all_pass;
use rimhold::verify::closed_form;

#[test]
fn stays_below_the_angle_of_repose_and_slides_above_it() {
    all_pass(closed_form::incline);
}
