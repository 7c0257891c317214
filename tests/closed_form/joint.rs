//! The head on the socket. Sources: integrals of the foundation in closed form; statics of a body on an incline;
//! conservation of energy.

use crate::closed_form::rigging::all_pass;
use rimhold::verify::closed_form;

#[test]
fn sphere_on_an_elastic_layer_has_force_area_and_pressure_of_the_integrals() {
    all_pass(closed_form::foundation);
}

#[test]
fn without_friction_the_stability_ratio_is_the_slope_where_the_face_ends() {
    all_pass(closed_form::rim);
}

#[test]
fn force_against_the_slide_is_the_slope_of_the_energy() {
    all_pass(closed_form::potential);
}

#[test]
fn rings_converge() {
    all_pass(closed_form::rings);
}
