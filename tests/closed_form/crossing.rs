//! A strand over a crossing without friction. Source: statics of a rope over a frictionless peg
//! (any handbook of mechanics): the peg bears the vector sum of the two tensions.

use crate::closed_form::rigging::all_pass;
use rimhold::verify::closed_form;

#[test]
fn force_is_the_sum_of_both_tensions_and_one_tension_runs_through() {
    all_pass(closed_form::crossing);
}
