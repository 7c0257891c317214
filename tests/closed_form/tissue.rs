//! Soft tissue and loads: springs with slack, springs toward a pose, constant forces. Source:
//! Hooke's law; the turn of a finite rotation is its rotation vector (Euler's theorem), so a
//! rotational spring bears k θ about the axis of the turn.

use crate::rigging::{aloft, bone, carry, limb, near, push, push_from, rest, rigid, tie_at};
use rimhold::math::{Rotation, Vec3, lower, upper};
use rimhold::mechanics::{Arrival, Controls, DeadLoad, Envelope, Pose, Solver, Tether};

/// The solver's balance, N.
const BALANCE: f64 = 2e-9;

#[test]
fn tether_pulls_only_beyond_its_slack() {
    let mut rig = aloft();
    rig.envelope = Some(Envelope {
        shift_stiffness: 1.0,
        turn_stiffness: 100.0,
        rest: Pose::default(),
    });
    rig.tethers.push(Tether {
        fragment: Vec3::zeros(),
        scapula: Vec3::new(0.0, 8.0, 0.0),
        stiffness: 20.0,
        slack: 0.5,
    });
    let mut solver = Solver::new(&rig);
    let mut state = rig.laid(Pose::default());
    let mut controls = push_from(&rig, &state, &Controls::idle(0), [0.0, -1.0, 0.0], true);
    // On one line everything is linear: 1 N/mm, and 20 N/mm more beyond half a millimetre.
    for (distance, load) in [(0.3, 0.3), (0.5, 0.5), (0.6, 2.6), (2.0, 32.0), (0.4, 0.4)] {
        let found = push(&mut solver, &mut state, &mut controls, distance, 4);
        near(found, load, BALANCE);
        let tension = rig.tethers[0].tension(state.pose(), &rig.reference);
        near(tension, load - distance, BALANCE);
    }
    // Toward the scapula it never pushes.
    let found = push(&mut solver, &mut state, &mut controls, -3.0, 4);
    near(found, -3.0, BALANCE);
}

#[test]
fn tether_off_the_reference_point_has_its_moment() {
    let mut rig = aloft();
    let (p, q) = (Vec3::new(3.0, -2.0, 1.0), Vec3::new(5.0, 4.0, -6.0));
    rig.tethers.push(Tether {
        fragment: p,
        scapula: q,
        stiffness: 20.0,
        slack: 0.0,
    });
    let mut solver = Solver::new(&rig);
    let mut state = rig.laid(Pose::default());
    let shift = Vec3::new(-1.0, -0.5, 2.0);
    let turn = Rotation::new(Vec3::new(0.1, -0.2, 0.3));
    state.configuration.pose = Pose { shift, turn };
    let line = q - shift - turn * p;
    let force = line.normalize() * (20.0 * (line.norm() - (q - p).norm()));
    assert!(line.norm() > (q - p).norm());
    let net = solver.net_wrench(&state, &Controls::idle(0));
    // A few roundings of numbers near 100.
    near((upper(&net) - force).norm(), 0.0, 1e-12);
    near((lower(&net) - (turn * p).cross(&force)).norm(), 0.0, 1e-11);
}

#[test]
fn envelope_resists_shift_and_finite_turn() {
    let mut rig = aloft();
    let home = Pose {
        shift: Vec3::new(0.5, -1.0, 0.2),
        turn: Rotation::new(Vec3::new(0.0, 0.3, 0.0)),
    };
    rig.envelope = Some(Envelope {
        shift_stiffness: 1.5,
        turn_stiffness: 120.0,
        rest: home,
    });
    let mut solver = Solver::new(&rig);
    // A turn of 1.2 rad about a slanted axis from the rest pose: k θ about that axis, exactly.
    let axis = Vec3::new(1.0, 2.0, -2.0) / 3.0;
    let mut state = rig.laid(Pose::default());
    let away = Vec3::new(2.0, 0.0, -1.0);
    state.configuration.pose = Pose {
        shift: home.shift + away,
        turn: Rotation::new(axis * 1.2) * home.turn,
    };
    let net = solver.net_wrench(&state, &Controls::idle(0));
    near((upper(&net) + away * 1.5).norm(), 0.0, 1e-13);
    near((lower(&net) + axis * (120.0 * 1.2)).norm(), 0.0, 1e-12);
    // And in equilibrium under a moment M and a force F it rests at M/k and F/k from its rest pose.
    let mut state = rig.laid(home);
    let from = Controls::idle(0);
    let mut to = from.clone();
    to.instrument = rimhold::math::stack(&Vec3::new(0.0, 3.0, 0.0), &(axis * 36.0));
    let arrival = solver.ramp(&mut state, &from, &to, crate::rigging::GENTLE, None);
    assert_eq!(arrival, Arrival::Arrived(1.0));
    let moved = state.pose().shift - home.shift;
    near((moved - Vec3::new(0.0, 2.0, 0.0)).norm(), 0.0, BALANCE);
    let turned = (state.pose().turn * home.turn.inverse()).scaled_axis();
    near((turned - axis * 0.3).norm(), 0.0, BALANCE);
}

#[test]
fn dead_load_keeps_its_direction_while_the_fragment_turns() {
    let mut rig = aloft();
    rig.envelope = Some(Envelope {
        shift_stiffness: 10.0,
        turn_stiffness: 200.0,
        rest: Pose::default(),
    });
    rig.loads.push(DeadLoad {
        point: Vec3::new(8.0, 0.0, 0.0),
        force: Vec3::new(0.0, -15.0, 0.0),
        during_tying: false,
    });
    let mut solver = Solver::new(&rig);
    let mut state = rig.laid(Pose::default());
    // It comes on with the late loads only.
    let mut half = Controls::idle(0);
    near(solver.net_wrench(&state, &half).norm(), 0.0, 0.0);
    half.late_loads = 0.5;
    rest(&mut solver, &mut state, &half);
    // k θ = F a cos θ with F = 7.5 N, a = 8 mm; F/k of shift.
    let theta = crate::rigging::root(0.0, 1.0, |x: f64| 7.5 * 8.0 * x.cos() - 200.0 * x);
    let turn = state.pose().turn.scaled_axis();
    near((turn - Vec3::new(0.0, 0.0, -theta)).norm(), 0.0, BALANCE);
    near(
        (state.pose().shift - Vec3::new(0.0, -0.75, 0.0)).norm(),
        0.0,
        BALANCE,
    );
}

#[test]
fn limb_goes_slack_and_comes_back() {
    let mut rig = aloft();
    let path = vec![rigid(&mut rig, [-10.0, 0.0, 0.0]), bone([0.0; 3])];
    rig.add_limb(limb(path, 0.0, 2000.0));
    let mut solver = Solver::new(&rig);
    let mut state = rig.laid(Pose::default());
    tie_at(&mut solver, &mut state, 0, 25.0);
    let rest = 10.0 / (1.0 + 25.0 / 2000.0);
    for x in [0.0, -0.1, rest - 10.0, -0.2, -3.0, 0.05] {
        let report = carry(&mut solver, &mut state, [x, 0.0, 0.0], 0);
        let tension = (2000.0 * (10.0 + x - rest) / rest).max(0.0);
        // EA times the rounding of 10 mm.
        near(report.tensions[0], tension, 1e-11);
        near(upper(&report.wrench).x, -tension, 1e-11);
        near(report.axial[0], tension, 1e-11);
    }
}

#[test]
fn slack_limb_takes_no_part_in_a_push() {
    let mut rig = aloft();
    rig.envelope = Some(Envelope {
        shift_stiffness: 1.0,
        turn_stiffness: 100.0,
        rest: Pose::default(),
    });
    let path = vec![rigid(&mut rig, [-10.0, 0.0, 0.0]), bone([0.0; 3])];
    rig.add_limb(limb(path, 0.0, 2000.0));
    let mut solver = Solver::new(&rig);
    let mut state = rig.laid(Pose::default());
    // 0.4 mm of strand too much: slack until then, EA/S beyond.
    state.strands[0] = rimhold::mechanics::Strand::Tied {
        rest: vec![10.4],
        feed: vec![0.0],
    };
    let mut controls = push_from(&rig, &state, &Controls::idle(1), [1.0, 0.0, 0.0], true);
    for distance in [0.2f64, 0.4, 0.5, 0.9, 0.1] {
        let expected = distance + 2000.0 / 10.4 * (distance - 0.4).max(0.0);
        near(
            push(&mut solver, &mut state, &mut controls, distance, 4),
            expected,
            2.0 * BALANCE,
        );
    }
}
