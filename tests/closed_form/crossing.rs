//! A strand over a crossing without friction. Source: statics of a rope over a frictionless peg
//! (any handbook of mechanics): the peg bears the vector sum of the two tensions.

use crate::rigging::{aloft, bone, carry, limb, near, rigid, tie_at};
use rimhold::math::{Vec3, lower, upper};
use rimhold::mechanics::{Controls, Pose, Solver, Strand};

/// Roundings of sums of a few numbers of size 100.
const ROUNDING: f64 = 1e-12;

#[test]
fn force_is_the_sum_of_both_tensions_and_has_the_crossings_moment() {
    let mut rig = aloft();
    let (a, b, p) = ([-7.0, 3.0, -9.0], [2.0, -8.0, -4.0], [4.0, 1.0, 5.0]);
    let path = vec![rigid(&mut rig, a), bone(p), rigid(&mut rig, b)];
    rig.add_limb(limb(path, 0.0, 2000.0));
    let mut solver = Solver::new(&rig);
    let mut state = rig.laid(Pose::default());
    let mut controls = Controls::idle(1);
    state.strands[0] = Strand::Pulled;
    controls.pull[0] = 37.0;
    let p = Vec3::from(p);
    let expected = ((Vec3::from(a) - p).normalize() + (Vec3::from(b) - p).normalize()) * 37.0;
    let report = solver.limb_report(&state, &controls, 0);
    near(report.tensions[0], 37.0, ROUNDING);
    near((upper(&report.wrench) - expected).norm(), 0.0, ROUNDING);
    let net = solver.net_wrench(&state, &controls);
    near((upper(&net) - expected).norm(), 0.0, ROUNDING);
    near(
        (lower(&net) - p.cross(&expected)).norm(),
        0.0,
        10.0 * ROUNDING,
    );
    // Locked, the limb keeps its tensions and its force.
    solver.lock(&mut state, &controls, 0, vec![0.0; 2]);
    let tied = solver.limb_report(&state, &Controls::idle(1), 0);
    near(
        (upper(&tied.wrench) - expected).norm(),
        0.0,
        100.0 * ROUNDING,
    );
}

#[test]
fn two_legs_at_an_interior_angle_give_twice_the_tension_by_its_cosine() {
    for degrees in [5.0f64, 30.0, 60.0, 85.0, 89.9] {
        let half = degrees.to_radians();
        let (x, z) = (20.0 * half.sin(), -20.0 * half.cos());
        let mut rig = aloft();
        let path = vec![
            rigid(&mut rig, [x, 0.0, z]),
            bone([0.0; 3]),
            rigid(&mut rig, [-x, 0.0, z]),
        ];
        rig.add_limb(limb(path, 0.0, 2000.0));
        let mut solver = Solver::new(&rig);
        let mut state = rig.laid(Pose::default());
        tie_at(&mut solver, &mut state, 0, 25.0);
        let report = carry(&mut solver, &mut state, [0.0; 3], 0);
        let force = upper(&report.wrench);
        // Locking at T and reading T back loses EA/T = 80 roundings: 2000 × 1e-16 × a few.
        near(force.z, -50.0 * half.cos(), 1e-11);
        near(force.x.hypot(force.y), 0.0, 1e-11);
        near(report.angles[0], std::f64::consts::PI - 2.0 * half, 1e-12);
    }
}

#[test]
fn frictionless_strand_keeps_one_tension_wherever_the_crossing_goes() {
    let mut rig = aloft();
    let path = vec![
        rigid(&mut rig, [-10.0, 0.0, 0.0]),
        bone([0.0; 3]),
        rigid(&mut rig, [0.0, -10.0, 0.0]),
    ];
    rig.add_limb(limb(path, 0.0, 2000.0));
    let mut solver = Solver::new(&rig);
    let mut state = rig.laid(Pose::default());
    tie_at(&mut solver, &mut state, 0, 25.0);
    let rest = 20.0 / (1.0 + 25.0 / 2000.0);
    for shift in [[0.4, 0.0, 0.0], [0.4, 0.7, -0.3], [0.1, -0.05, 1.0]] {
        let report = carry(&mut solver, &mut state, shift, 0);
        // One elastic strand of the whole length: T = EA (ℓ − S)/S.
        let [x, y, z] = shift;
        let length = (x + 10.0).hypot(y).hypot(z) + x.hypot(y + 10.0).hypot(z);
        let expected = 2000.0 * (length - rest) / rest;
        // EA times the rounding of lengths of 20 mm.
        near(report.tensions[0], expected, 1e-10);
        near(report.tensions[1], expected, 1e-10);
    }
}
