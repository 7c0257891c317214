//! Soft tissue, slack limbs and loads. Sources: Hooke's law; Euler's theorem on finite rotations;
//! balance of moments.

use crate::closed_form::rigging::all_pass;
use rimhold::verify::closed_form;

#[test]
fn tether_pulls_only_beyond_its_slack_and_has_its_moment() {
    all_pass(closed_form::tether);
}

#[test]
fn limb_goes_slack_comes_back_and_takes_no_part_meanwhile() {
    all_pass(closed_form::slack);
}

#[test]
fn envelope_resists_shift_and_finite_turn() {
    all_pass(closed_form::envelope);
}

#[test]
fn dead_load_keeps_its_direction_while_the_fragment_turns() {
    all_pass(closed_form::dead_load);
}
