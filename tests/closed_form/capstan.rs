//! Belt friction at a turn. Source: Euler–Eytelwein, T₂/T₁ = e^{μθ} (any handbook of mechanics).
//!
//! Two paths: a right-angled turn over one crossing, and a rectangle (anchor, two crossings 6 mm
//! apart, anchor) whose angles stay right when the fragment moves along its long side, so that
//! every bound is exactly μπ/2.

use crate::rigging::{all_pass, carry, material, near, tie_at};
use rimhold::mechanics::{Controls, Passage, Pose, Solver, Strand};
use rimhold::verify::closed_form::{
    self,
    strand::{EA, FRICTION, ROUNDING, corner, ratio, rectangle, shared},
};

#[test]
fn turns_hold_back_the_handbook_ratio_and_stick_and_slip_by_it() {
    all_pass(&closed_form::capstan());
}

#[test]
fn bound_follows_the_angle_as_it_changes() {
    let rig = corner(Passage::Sliding(FRICTION));
    let mut solver = Solver::new(&rig);
    let mut state = rig.laid(Pose::default());
    tie_at(&mut solver, &mut state, 0, 25.0);
    let total: f64 = material(&state, 0).iter().sum();
    for shift in [
        [0.3, 0.0, 0.0],
        [0.6, -0.2, 0.1],
        [0.3, 0.5, 0.4],
        [0.0, 0.8, 0.0],
    ] {
        let [x, y, z] = shift;
        let report = carry(&mut solver, &mut state, shift, 0);
        let (first, second) = ((10.0 + x).hypot(y).hypot(z), x.hypot(10.0 + y).hypot(z));
        let cos = ((10.0 + x) * -x + y * (-10.0 - y) - z * z) / (first * second);
        let bound = (FRICTION * cos.acos()).exp();
        let relation = report.tensions[1] / report.tensions[0];
        // The ratio is a quotient of two tensions good to a few roundings.
        assert!(relation.max(1.0 / relation) <= bound * (1.0 + 1e-13));
        near(material(&state, 0).iter().sum(), total, 1e-13);
        if x > 0.25 && y < 0.0 {
            near(1.0 / relation, bound, 1e-12);
        }
    }
}

#[test]
fn locked_stitch_passes_nothing() {
    let rig = rectangle(false, Passage::Locked);
    let mut solver = Solver::new(&rig);
    let mut state = rig.laid(Pose::default());
    tie_at(&mut solver, &mut state, 0, 25.0);
    let held = material(&state, 0);
    for shift in [0.5, -0.5, 0.2] {
        let report = carry(&mut solver, &mut state, [shift, 0.0, 0.0], 0);
        assert_eq!(material(&state, 0), held);
        let alone = (EA * (10.0 + shift - held[0]) / held[0]).max(0.0);
        near(report.tensions[0], alone, ROUNDING);
        near(report.tensions[1], 25.0, ROUNDING);
    }
    // Pulled, a locked stitch leaves the segments behind it slack.
    let mut controls = Controls::idle(1);
    controls.pull[0] = 30.0;
    state.strands[0] = Strand::Pulled;
    assert_eq!(
        solver.limb_report(&state, &controls, 0).tensions,
        [0.0, 0.0, 30.0]
    );
}

#[test]
fn closed_strand_shares_round_its_knot_by_the_same_law() {
    for sign in [1.0, -1.0] {
        let rig = rectangle(true, Passage::Sliding(FRICTION));
        let mut solver = Solver::new(&rig);
        let mut state = rig.laid(Pose::default());
        tie_at(&mut solver, &mut state, 0, 20.0);
        let held = material(&state, 0);
        let total: f64 = held.iter().sum();
        let small = sign * 0.01;
        let report = carry(&mut solver, &mut state, [small, 0.0, 0.0], 0);
        near(
            report.tensions[0],
            EA * (10.0 + small - held[0]) / held[0],
            ROUNDING,
        );
        near(report.tensions[3], 20.0, ROUNDING);
        let large = sign * 0.06;
        let report = carry(&mut solver, &mut state, [large, 0.0, 0.0], 0);
        let (long, across) = if sign > 0.0 {
            (1.0, 1.0 / ratio())
        } else {
            (1.0 / ratio(), 1.0)
        };
        let out = 10.0 + large;
        let t = shared(
            total,
            &[(out, long), (6.0, across), (out, long), (6.0, across)],
        )
        .unwrap();
        for (k, share) in [long, across, long, across].into_iter().enumerate() {
            near(report.tensions[k], share * t, ROUNDING);
        }
        near(material(&state, 0).iter().sum(), total, 1e-13);
    }
}

#[test]
fn closed_strand_with_a_locked_vertex_is_two_strands() {
    let mut rig = rectangle(true, Passage::Sliding(0.0));
    rig.limbs[0].passages[0] = Passage::Locked;
    rig.limbs[0].passages[2] = Passage::Locked;
    let mut solver = Solver::new(&rig);
    let mut state = rig.laid(Pose::default());
    tie_at(&mut solver, &mut state, 0, 20.0);
    let held = material(&state, 0);
    let report = carry(&mut solver, &mut state, [0.05, 0.0, 0.0], 0);
    // Halves 0 + 1 and 2 + 3, each without friction: T = EA (16.05 − S)/S.
    let half = held[0] + held[1];
    let expected = EA * (16.05 - half) / half;
    for tension in report.tensions {
        near(tension, expected, ROUNDING);
    }
    let now = material(&state, 0);
    near(now[0] + now[1], half, 1e-14 * 8.0);
    near(now[2] + now[3], held[2] + held[3], 1e-14 * 8.0);
}
