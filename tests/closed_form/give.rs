//! What gives. Sources: Fung's exponential law of soft tissue (1967); springs in series; the work of a constant and of
//! a linearly falling force.

use crate::closed_form::rigging::all_pass;
use rimhold::verify::closed_form;

#[test]
fn a_bite_is_drawn_relaxes_and_sets_as_by_hand() {
    all_pass(closed_form::bite);
}

#[test]
fn a_clamp_slides_at_its_grip_and_a_strand_breaks() {
    all_pass(closed_form::clamp);
}

#[test]
fn an_anchor_pulls_out_along_its_falling_branch() {
    all_pass(closed_form::pull_out);
}
