//! Springs in series, and loops. Source: any handbook of mechanics, 1/k = Σ 1/k_i; a loop feels
//! 4/k_a in its own length.

use crate::closed_form::rigging::all_pass;
use rimhold::verify::closed_form;

#[test]
fn strand_anchor_and_bite_give_in_turn() {
    all_pass(closed_form::series);
}

#[test]
fn loop_feels_its_anchor_four_times() {
    all_pass(closed_form::looped);
}
