//! Block on the bed, pressed and pushed along it. Source: Coulomb friction with an elastic
//! tangential spring before it: F = min(k_t A δ, μ N), unloading along k_t A.

use crate::rigging::{SEAT, bed, certified, near, push, push_from};
use rimhold::math::Vec3;
use rimhold::mechanics::{BedLaw, Controls, DeadLoad, Pose, Rig, Solver, State};

const LAW: BedLaw = BedLaw {
    normal: 10.0,
    shear: 3.0,
    friction: 0.5,
};
/// k_t A, N/mm.
const STIFFNESS: f64 = 3.0 * 200.0;
/// The solver's balance, 1e-10 N + 1e-11 of 100 N.
const BALANCE: f64 = 2e-9;

/// A block of 20 × 10 mm pressed by 100 N, already at rest.
fn pressed() -> (Rig, State) {
    let mut rig = Rig::new(Vec3::zeros(), bed(LAW, (8, 4)), SEAT);
    rig.loads.push(DeadLoad {
        point: Vec3::zeros(),
        force: Vec3::new(0.0, 0.0, -100.0),
        during_tying: true,
    });
    let state = rig.laid(Pose {
        shift: Vec3::new(0.0, 0.0, -0.05),
        ..Pose::default()
    });
    (rig, state)
}

#[test]
fn sticks_elastically_then_slides_at_the_friction_limit() {
    for (direction, guided) in [
        ([1.0, 0.0, 0.0], true),
        ([0.0, -1.0, 0.0], true),
        ([0.6, 0.8, 0.0], true),
        ([1.0, 0.0, 0.0], false),
    ] {
        let (rig, mut state) = pressed();
        let mut solver = Solver::new(&rig);
        certified(&mut solver, &state, &Controls::idle(0));
        let mut controls = push_from(&rig, &state, &Controls::idle(0), direction, guided);
        for distance in [0.01, 0.04, 0.08] {
            let load = push(&mut solver, &mut state, &mut controls, distance, 1);
            near(load, STIFFNESS * distance, BALANCE);
        }
        // 50 N are reached at δ = 1/12 mm.
        for distance in [0.09, 0.3, 1.0] {
            let load = push(&mut solver, &mut state, &mut controls, distance, 4);
            near(load, 50.0, BALANCE);
            let (pressure, friction) = solver.bed_forces(&state);
            near(pressure.norm(), 100.0, BALANCE);
            near(friction.norm(), 50.0, BALANCE);
            near(friction.dot(&Vec3::from(direction)), -50.0, BALANCE);
        }
        // Back: elastic along k_t A from the sliding load, through zero, to sliding the other way.
        for (distance, load) in [
            (0.99, 44.0),
            (0.95, 20.0),
            (0.9, -10.0),
            (0.8, -50.0),
            (0.5, -50.0),
            (0.55, -20.0),
        ] {
            near(
                push(&mut solver, &mut state, &mut controls, distance, 1),
                load,
                BALANCE,
            );
        }
    }
}

#[test]
fn elastic_push_that_never_slips_leaves_nothing_behind() {
    let (rig, mut state) = pressed();
    let before = state.slip.clone();
    let mut solver = Solver::new(&rig);
    let mut controls = push_from(&rig, &state, &Controls::idle(0), [1.0, 0.0, 0.0], true);
    push(&mut solver, &mut state, &mut controls, 0.083, 3);
    near(
        push(&mut solver, &mut state, &mut controls, 0.0, 3),
        0.0,
        BALANCE,
    );
    assert_eq!(state.slip, before);
}

#[test]
fn sliding_load_follows_the_normal_force_not_the_area() {
    // Coulomb: half the base under the same force slides at the same load.
    for (length, width) in [(20.0, 10.0), (10.0, 10.0), (20.0, 3.0)] {
        let (mut rig, _) = pressed();
        rig.bed = rimhold::mechanics::Bed::rectangle(
            Vec3::zeros(),
            crate::rigging::axes(),
            LAW,
            (length, width),
            (8, 4),
        );
        let depth = 100.0 / (LAW.normal * length * width);
        let mut state = rig.laid(Pose {
            shift: Vec3::new(0.0, 0.0, -depth),
            ..Pose::default()
        });
        let mut solver = Solver::new(&rig);
        let mut controls = push_from(&rig, &state, &Controls::idle(0), [1.0, 0.0, 0.0], true);
        near(
            push(&mut solver, &mut state, &mut controls, 0.8, 8),
            50.0,
            BALANCE,
        );
    }
}
