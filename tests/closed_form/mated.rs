//! Mated fracture surfaces and a bed that crushes. Source: Patton's law of a rock joint in additive form (Patton
//! 1966, from memory); the yield plateau of an elastic, perfectly plastic foundation.

use crate::closed_form::rigging::all_pass;
use rimhold::verify::closed_form;

#[test]
fn a_mated_block_rides_up_and_bears_what_friction_and_slope_ask() {
    all_pass(closed_form::mated_block);
}

#[test]
fn a_mated_block_stays_in_its_hollow_or_goes_home() {
    all_pass(closed_form::mated_incline);
}

#[test]
fn a_crushed_bed_bears_its_strength() {
    all_pass(closed_form::crushed_block);
}
