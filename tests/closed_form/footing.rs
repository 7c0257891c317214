//! Rigid rectangle on a bed of springs. Source: foundation engineering, rigid footing with eccentric
//! load, inside the kern and outside it.

use crate::closed_form::rigging::all_pass;
use rimhold::verify::closed_form;

#[test]
fn pressure_inside_and_outside_the_kern_and_where_it_ends() {
    all_pass(closed_form::footing);
}
