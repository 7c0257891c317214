//! Block on the bed, pressed and pushed along it. Source: Coulomb friction with an elastic
//! tangential spring before it: F = min(k_t A δ, μ N), unloading along k_t A.

use crate::closed_form::rigging::{SEAT, all_pass, bed, near, push, push_from};
use rimhold::math::Vec3;
use rimhold::mechanics::{BedLaw, Controls, DeadLoad, Pose, Rig, Solver, State};
use rimhold::verify::closed_form;

const LAW: BedLaw = BedLaw::plane(10.0, 3.0, 0.5);
/// The solver's balance, 1e-10 N + 1e-11 of 100 N.
const BALANCE: f64 = 2e-9;

/// A block of 20 × 10 mm pressed by 100 N, already at rest.
fn pressed() -> (Rig, State) {
    let mut rig = Rig::new(Vec3::zeros(), bed(LAW, (8, 4)), SEAT);
    rig.loads.push(DeadLoad { point: Vec3::zeros(), force: Vec3::new(0.0, 0.0, -100.0), during_tying: true });
    let state = rig.laid(Pose { shift: Vec3::new(0.0, 0.0, -0.05), ..Pose::default() });
    (rig, state)
}

#[test]
fn sticks_elastically_then_slides_at_the_friction_limit_whatever_the_area() {
    all_pass(closed_form::block);
}

#[test]
fn elastic_push_that_never_slips_leaves_nothing_behind() {
    let (rig, mut state) = pressed();
    let before = state.bed.clone();
    let mut solver = Solver::new(&rig);
    let mut controls = push_from(&rig, &state, &Controls::idle(0), [1.0, 0.0, 0.0], true);
    push(&mut solver, &mut state, &mut controls, 0.083, 3);
    near(push(&mut solver, &mut state, &mut controls, 0.0, 3), 0.0, BALANCE);
    assert_eq!(state.bed, before);
}
