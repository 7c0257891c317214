//! Screws: the preloaded joint, and couples of two.

use crate::math::{Vec3, Vec6, lower, rotation, stack, upper};
use crate::mechanics::{Controls, Pose, Rig, Screw, Solver, State};
use crate::verify::check::{Found, Sheet};
use crate::verify::rigging::{
    GENTLE, LAW, SEAT, SHANK, against_turning, aloft, arrived, bed, certified, laid, push, push_from, tighten,
};

/// The solver's balance: 1e-10 N and 1e-11 of some 100 N, N.
const BALANCE: f64 = 2e-9;
const WHY_BALANCE: &str = "the solver's balance: 1e-10 N and 1e-11 of 100 N";

/// A screw down into the plane z = 0 at (x, y), its head `SHANK.grip` above.
pub fn down(x: f64, y: f64) -> Screw {
    Screw::new(Vec3::new(x, y, SHANK.grip), -Vec3::z(), SHANK)
}

/// A block of 20 × 10 mm on its bed with one screw through its middle.
pub fn screwed_block() -> Rig {
    let mut rig = Rig::new(Vec3::zeros(), bed(LAW, (16, 8)), SEAT);
    rig.screws.push(down(0.0, 0.0));
    rig
}

/// Loads a fragment by `force` N along z through the reference point and lets it come to rest.
///
/// # Errors
/// When it comes to none, or to one without a certificate.
pub fn load(solver: &mut Solver<'_>, state: &mut State, from: &mut Controls, force: f64) -> Found<()> {
    let mut to = from.clone();
    to.instrument = stack(&Vec3::new(0.0, 0.0, force), &Vec3::zeros());
    arrived(solver.ramp(state, from, &to, GENTLE, None))?;
    certified(solver, state, &to)?;
    *from = to;
    Ok(())
}

/// The preloaded joint: preload, an outer load that opens it, one that takes the head's preload.
pub fn bolted(s: &mut Sheet) -> Found<()> {
    s.law(
        "block under a screw of 120 N",
        "preloaded bolted joint of machine-design handbooks: the bolt takes F k_b/(k_b + k_m), and the joint opens at N₀/(1 − that share)",
    );
    let mut rig = screwed_block();
    let bolt = rig.screws[0].stiffness().axial;
    let share = bolt / (bolt + LAW.normal * 200.0);
    let (mut solver, mut state) = laid(&rig);
    let mut controls = tighten(&mut solver, &mut state, 120.0)?;
    s.within(BALANCE, WHY_BALANCE);
    s.worst(
        "tightened: pull of the head, compression of the bed",
        "N",
        &[(solver.screw_report(&state, &controls, 0).axial, 120.0), (solver.bed_forces(&state).0.z, 120.0)],
    );
    let (mut pull, mut bears) = (Vec::new(), Vec::new());
    let spent = 120.0 / share;
    for force in [0.5 * spent, 0.99 * spent, 1.01 * spent, 3.0 * spent, 0.0] {
        load(&mut solver, &mut state, &mut controls, -force)?;
        let report = solver.screw_report(&state, &controls, 0);
        pull.push((report.axial, (120.0 - share * force).max(0.0)));
        let pressed = solver.bed_forces(&state).0.z;
        bears.push((pressed, (120.0 + (1.0 - share) * force).max(force)));
    }
    s.within(
        2.0 * BALANCE,
        "linear but for two kinks: Newton ends far inside the balance asked for at 1700 N, 1.7e-8 N",
    );
    s.worst("pressed home and back: the head, which never pulls", "N", &pull);
    s.worst("pressed home and back: the bed", "N", &bears);
    // Open, the joint leaves one screw nothing that would keep the block from spinning about it.
    rig.envelope = Some(against_turning(100.0));
    let (mut solver, mut state) = laid(&rig);
    let mut controls = tighten(&mut solver, &mut state, 120.0)?;
    let (mut pull, mut bears) = (Vec::new(), Vec::new());
    let opens = 120.0 / (1.0 - share);
    for force in [20.0, 60.0, 0.99 * opens, 1.2 * opens, 2.0 * opens] {
        load(&mut solver, &mut state, &mut controls, force)?;
        let report = solver.screw_report(&state, &controls, 0);
        pull.push((report.axial, (120.0 + share * force).max(force)));
        let pressed = solver.bed_forces(&state).0.z;
        bears.push((pressed, (120.0 - (1.0 - share) * force).max(0.0)));
    }
    s.within(BALANCE, WHY_BALANCE);
    s.worst("drawn off until it opens, and beyond: the head", "N", &pull);
    s.worst("drawn off until it opens, and beyond: the bed", "N", &bears);
    Ok(())
}

/// Across its axis: one screw pushed sideways, two against a turn, one against none.
pub fn screws(s: &mut Sheet) -> Found<()> {
    s.law(
        "screws against a push and a turn",
        "springs and couples: K δ for one; k a²/2 sin φ about the middle of two that stand a apart, nothing about one",
    );
    let mut rig = aloft();
    rig.screws.push(down(0.0, 0.0));
    let k = rig.screws[0].stiffness();
    let mut solver = Solver::new(&rig);
    let (mut loads, mut along) = (Vec::new(), Vec::new());
    for direction in [[1.0, 0.0, 0.0], [0.6, -0.8, 0.0]] {
        // Turning forbidden: the shift alone.
        let mut state = rig.laid(Pose::default());
        let idle = tighten(&mut solver, &mut state, 0.0)?;
        let mut controls = push_from(&rig, &state, &idle, direction, true);
        for distance in [0.1, 0.5, 2.0] {
            let found = push(&mut solver, &mut state, &mut controls, distance, 4)?;
            loads.push((found, k.shift * distance));
            let report = solver.screw_report(&state, &controls, 0);
            loads.push((report.bearing.norm(), k.shift * distance));
            along.push((report.axial, 0.0));
        }
    }
    s.within(BALANCE, WHY_BALANCE);
    s.worst("sideways, kept from turning: K δ", "N", &loads);
    s.within(0.0, "nothing moves along the axis");
    s.worst("sideways, kept from turning: pull of the head", "N", &along);
    let apart = 9.0;
    let mut pair = aloft();
    pair.screws.push(down(-0.5 * apart, 0.0));
    pair.screws.push(down(0.5 * apart, 0.0));
    // The energy is k a²/2 (1 − cos φ): each hole moves by a sin(φ/2).
    let (mut forces, mut moments) = (Vec::new(), Vec::new());
    let mut solver = Solver::new(&pair);
    for angle in [0.001, 0.05, 0.3] {
        let net = turned(&mut solver, angle)?;
        forces.push((upper(&net).norm(), 0.0));
        moments.push((libm::hypot(lower(&net).x, lower(&net).y), 0.0));
        let moment = 0.5 * k.shift * apart * apart * libm::sin(angle);
        moments.push((-lower(&net).z, moment));
    }
    s.within(1e-11, "rounding of k a, 1e3 N");
    s.worst("two turned by up to 0.3 rad: force", "N", &forces);
    s.within(1e-10, "rounding of k a², 1e4 N·mm");
    s.worst("two turned by up to 0.3 rad: k a²/2 sin φ", "N·mm", &moments);
    let net = turned(&mut Solver::new(&rig), 0.3)?;
    s.within(1e-12, "nothing shifts and nothing tilts");
    s.equal("one turned about itself: force and moment", "N", net.norm(), 0.0);
    Ok(())
}

/// Force and moment of a rig's screws, set without preload, on a fragment turned about z.
fn turned(solver: &mut Solver<'_>, angle: f64) -> Found<Vec6> {
    let mut state = solver.rig().laid(Pose::default());
    let idle = tighten(solver, &mut state, 0.0)?;
    state.configuration.pose.turn = rotation(&Vec3::new(0.0, 0.0, angle));
    Ok(solver.net_wrench(&state, &idle))
}
