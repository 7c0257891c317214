//! Soft tissue, slack limbs and dead loads.

use crate::math::{Rotation, Vec3, lower, rotation, rotation_vector, stack, upper};
use crate::mechanics::{Controls, DeadLoad, Envelope, Pose, Solver, Strand, Tether};
use crate::verify::check::{Found, Sheet};
use crate::verify::rigging::{
    GENTLE, aloft, arrived, bone, carry, laid, limb, push, push_from, rest, rigid, root, tie_at,
};

/// The solver's balance, N.
const BALANCE: f64 = 2e-9;
const WHY_BALANCE: &str = "the solver's balance";

/// An envelope of 1 N/mm and 100 N·mm/rad at rest in the reduced pose.
pub(super) const SOFT: Envelope = Envelope {
    shift_stiffness: 1.0,
    turn_stiffness: 100.0,
    rest: Pose {
        shift: Vec3::new(0.0, 0.0, 0.0),
        turn: Rotation::new_unchecked(nalgebra::Quaternion::new(1.0, 0.0, 0.0, 0.0)),
    },
};

/// A tether pulls only beyond its slack, and with its moment.
pub fn tether(s: &mut Sheet) -> Found<()> {
    s.law("tether with 0.5 mm of slack", "Hooke's law beyond the slack, nothing before it; moment of a force");
    let mut rig = aloft();
    rig.envelope = Some(SOFT);
    rig.tethers.push(Tether {
        fragment: Vec3::zeros(),
        scapula: Vec3::new(0.0, 8.0, 0.0),
        stiffness: 20.0,
        slack: 0.5,
    });
    let (mut solver, mut state) = laid(&rig);
    let idle = Controls::idle(0);
    let mut controls = push_from(&rig, &state, &idle, [0.0, -1.0, 0.0], true);
    let (mut loads, mut tensions) = (Vec::new(), Vec::new());
    // On one line everything is linear: 1 N/mm, and 20 N/mm more beyond half a millimetre.
    // Toward the scapula it never pushes.
    for (distance, load) in [(0.3, 0.3), (0.5, 0.5), (0.6, 2.6), (2.0, 32.0), (0.4, 0.4), (-3.0, -3.0)] {
        let found = push(&mut solver, &mut state, &mut controls, distance, 4)?;
        loads.push((found, load));
        let tension = rig.tethers[0].tension(state.pose(), &rig.reference);
        tensions.push((tension, load - distance));
    }
    s.within(BALANCE, WHY_BALANCE);
    s.worst("load of a push, with 1 N/mm beside it", "N", &loads);
    s.worst("its tension", "N", &tensions);

    let mut rig = aloft();
    let (p, q) = (Vec3::new(3.0, -2.0, 1.0), Vec3::new(5.0, 4.0, -6.0));
    rig.tethers.push(Tether { fragment: p, scapula: q, stiffness: 20.0, slack: 0.0 });
    let (mut solver, mut state) = laid(&rig);
    let shift = Vec3::new(-1.0, -0.5, 2.0);
    let turn = rotation(&Vec3::new(0.1, -0.2, 0.3));
    state.configuration.pose = Pose { shift, turn };
    let line = q - shift - turn * p;
    let force = line.normalize() * (20.0 * (line.norm() - (q - p).norm()));
    let net = solver.net_wrench(&state, &idle);
    s.within(1e-12, "a few roundings of numbers near 100");
    s.equal("its force at a turned pose, off by", "N", (upper(&net) - force).norm(), 0.0);
    let moment = (lower(&net) - (turn * p).cross(&force)).norm();
    s.within(1e-11, "the same, times an arm");
    s.equal("its moment there, off by", "N·mm", moment, 0.0);
    Ok(())
}

/// A limb goes slack, comes back, and takes no part meanwhile.
pub fn slack(s: &mut Sheet) -> Found<()> {
    s.law("limb that goes slack", "Hooke's law of the strand, T = EA max(0, ℓ − S)/S");
    let mut rig = aloft();
    let path = vec![rigid(&mut rig, [-10.0, 0.0, 0.0]), bone([0.0; 3])];
    rig.add_limb(limb(path, 0.0, 2000.0));
    let (mut solver, mut state) = laid(&rig);
    tie_at(&mut solver, &mut state, 0, 25.0);
    let rest = 10.0 / (1.0 + 25.0 / 2000.0);
    let mut carried = Vec::new();
    for x in [0.0, -0.1, rest - 10.0, -0.2, -3.0, 0.05] {
        let report = carry(&mut solver, &mut state, [x, 0.0, 0.0], 0)?;
        let tension = (2000.0 * (10.0 + x - rest) / rest).max(0.0);
        carried.push((report.tensions[0], tension));
        carried.push((-upper(&report.wrench).x, tension));
    }
    s.within(1e-11, "EA times the rounding of 10 mm");
    s.worst("carried to and fro: tension and force", "N", &carried);

    rig.envelope = Some(SOFT);
    let (mut solver, mut state) = laid(&rig);
    // 0.4 mm of strand too much: slack until then, EA/S beyond.
    state.strands[0] = Strand::Tied { rest: vec![10.4], feed: vec![0.0] };
    let idle = Controls::idle(1);
    let mut controls = push_from(&rig, &state, &idle, [1.0, 0.0, 0.0], true);
    let mut loads = Vec::new();
    for distance in [0.2f64, 0.4, 0.5, 0.9, 0.1] {
        let expected = distance + 2000.0 / 10.4 * (distance - 0.4).max(0.0);
        let found = push(&mut solver, &mut state, &mut controls, distance, 4)?;
        loads.push((found, expected));
    }
    s.within(2.0 * BALANCE, WHY_BALANCE);
    s.worst("load of a push that tightens it after 0.4 mm", "N", &loads);
    Ok(())
}

/// The envelope resists shifts and finite turns.
pub fn envelope(s: &mut Sheet) -> Found<()> {
    s.law(
        "envelope at finite shifts and turns",
        "Hooke's law; the turn of a finite rotation is its rotation vector (Euler's theorem)",
    );
    let mut rig = aloft();
    let home = Pose { shift: Vec3::new(0.5, -1.0, 0.2), turn: rotation(&Vec3::new(0.0, 0.3, 0.0)) };
    rig.envelope = Some(Envelope { shift_stiffness: 1.5, turn_stiffness: 120.0, rest: home });
    let mut solver = Solver::new(&rig);
    // A turn of 1.2 rad about a slanted axis from the rest pose.
    let axis = Vec3::new(1.0, 2.0, -2.0) / 3.0;
    let mut state = rig.laid(Pose::default());
    let away = Vec3::new(2.0, 0.0, -1.0);
    state.configuration.pose = Pose { shift: home.shift + away, turn: rotation(&(axis * 1.2)) * home.turn };
    let net = solver.net_wrench(&state, &Controls::idle(0));
    s.within(1e-12, "a few roundings of numbers near 100");
    s.equal("force, off k c by", "N", (upper(&net) + away * 1.5).norm(), 0.0);
    let off = (lower(&net) + axis * (120.0 * 1.2)).norm();
    s.equal("moment at 1.2 rad, off k θ by", "N·mm", off, 0.0);
    let mut state = rig.laid(home);
    let from = Controls::idle(0);
    let mut to = from.clone();
    to.instrument = stack(&Vec3::new(0.0, 3.0, 0.0), &(axis * 36.0));
    arrived(solver.ramp(&mut state, &from, &to, GENTLE, None))?;
    let moved = (state.pose().shift - home.shift - Vec3::new(0.0, 2.0, 0.0)).norm();
    s.within(BALANCE, WHY_BALANCE);
    s.equal("rest under 3 N, off F/k by", "mm", moved, 0.0);
    let turned = rotation_vector(&(state.pose().turn * home.turn.inverse()));
    s.equal("rest under 36 N·mm, off M/k by", "rad", (turned - axis * 0.3).norm(), 0.0);
    Ok(())
}

/// A dead load keeps its direction while the fragment turns.
pub fn dead_load(s: &mut Sheet) -> Found<()> {
    s.law("dead load on an arm, against a rotational spring", "moment balance: k θ = F a cos θ");
    let mut rig = aloft();
    rig.envelope = Some(Envelope { shift_stiffness: 10.0, turn_stiffness: 200.0, rest: Pose::default() });
    rig.loads.push(DeadLoad {
        point: Vec3::new(8.0, 0.0, 0.0),
        force: Vec3::new(0.0, -15.0, 0.0),
        during_tying: false,
    });
    let (mut solver, mut state) = laid(&rig);
    // It comes on with the late loads only.
    let mut half = Controls::idle(0);
    let early = solver.net_wrench(&state, &half).norm();
    s.within(0.0, "nothing acts");
    s.equal("before it comes on", "N", early, 0.0);
    half.late_loads = 0.5;
    rest(&mut solver, &mut state, &half)?;
    let theta = root(0.0, 1.0, |x: f64| 7.5 * 8.0 * libm::cos(x) - 200.0 * x)?;
    let turn = rotation_vector(&state.pose().turn);
    s.within(BALANCE, WHY_BALANCE);
    s.equal("turn under half of it", "rad", -turn.z, theta);
    s.equal("shift under half of it", "mm", -state.pose().shift.y, 0.75);
    Ok(())
}
