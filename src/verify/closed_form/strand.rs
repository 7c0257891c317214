//! The strand: force over a crossing, belt friction, tension that survives relaxation.

use crate::math::{Vec3, lower, upper};
use crate::mechanics::{Controls, Motion, Passage, Rig, Strand};
use crate::verify::check::{Found, Sheet};
use crate::verify::rigging::{GENTLE, arrived, carry, certified, laid, material, root, strung, tie_at};
use std::f64::consts::{FRAC_PI_2, PI};

/// Friction at every turn.
pub const FRICTION: f64 = 0.15;
/// Axial rigidity of the strand, N.
pub const EA: f64 = 2000.0;
/// Two roundings of EA (ℓ − S)/S with lengths of 10 mm: EA × 1e-16 × a few, N.
pub const ROUNDING: f64 = 1e-11;
const WHY_ROUNDING: &str = "EA times a few roundings of lengths of 10 mm";

/// A strand over a crossing without friction, pulled and tied, and wherever the crossing goes.
pub fn crossing(s: &mut Sheet) -> Found<()> {
    s.law(
        "strand over a crossing without friction",
        "statics of a rope over a frictionless peg: it bears T(u₁ + u₂); two legs at 2ψ give 2T cos ψ",
    );
    let (a, b, p) = ([-7.0, 3.0, -9.0], [2.0, -8.0, -4.0], [4.0, 1.0, 5.0]);
    let rig = strung([a, b], &[p], 0.0, EA);
    let (mut solver, mut state) = laid(&rig);
    let mut controls = Controls::idle(1);
    state.strands[0] = Strand::Pulled;
    controls.pull[0] = 37.0;
    let p = Vec3::from(p);
    let expected = ((Vec3::from(a) - p).normalize() + (Vec3::from(b) - p).normalize()) * 37.0;
    let net = solver.net_wrench(&state, &controls);
    s.within(1e-12, "roundings of sums of a few numbers of size 100");
    s.equal("pulled with 37 N: force, off by", "N", (upper(&net) - expected).norm(), 0.0);
    let moment = (lower(&net) - p.cross(&expected)).norm();
    s.within(1e-11, "the same, times an arm of 7 mm");
    s.equal("pulled with 37 N: moment, off by", "N·mm", moment, 0.0);
    solver.lock(&mut state, &controls, 0, vec![0.0; 2]);
    let tied = solver.limb_report(&state, &Controls::idle(1), 0);
    let off = (upper(&tied.wrench) - expected).norm();
    s.within(1e-10, "locking a tension and reading it back loses EA/T roundings");
    s.equal("locked: force, off by", "N", off, 0.0);

    let mut legs = Vec::new();
    for degrees in [5.0f64, 30.0, 60.0, 85.0, 89.9] {
        let half = degrees.to_radians();
        let (x, z) = (20.0 * libm::sin(half), -20.0 * libm::cos(half));
        let rig = strung([[x, 0.0, z], [-x, 0.0, z]], &[[0.0; 3]], 0.0, EA);
        let (mut solver, mut state) = laid(&rig);
        tie_at(&mut solver, &mut state, 0, 25.0);
        let report = carry(&mut solver, &mut state, [0.0; 3], 0)?;
        let force = upper(&report.wrench);
        legs.push((-force.z, 50.0 * libm::cos(half)));
        legs.push((libm::hypot(force.x, force.y), 0.0));
    }
    s.within(ROUNDING, WHY_ROUNDING);
    s.worst("two legs of 25 N: 2T cos ψ", "N", &legs);

    let rig = corner(Passage::Sliding(0.0));
    let (mut solver, mut state) = laid(&rig);
    tie_at(&mut solver, &mut state, 0, 25.0);
    let rest = 20.0 / (1.0 + 25.0 / EA);
    let mut one = Vec::new();
    for shift in [[0.4, 0.0, 0.0], [0.4, 0.7, -0.3], [0.1, -0.05, 1.0]] {
        let report = carry(&mut solver, &mut state, shift, 0)?;
        // One elastic strand of the whole length: T = EA (ℓ − S)/S.
        let [x, y, z] = shift;
        let length = libm::hypot(libm::hypot(x + 10.0, y), z) + libm::hypot(libm::hypot(x, y + 10.0), z);
        let expected = EA * (length - rest) / rest;
        one.extend(report.tensions.iter().map(|t| (*t, expected)));
    }
    s.within(1e-10, "EA times the rounding of lengths of 20 mm");
    s.worst("one tension wherever the crossing goes", "N", &one);
    Ok(())
}

/// T₂/T₁ of a right angle on its bound, e^(μπ/2).
pub fn ratio() -> f64 {
    libm::exp(FRICTION * FRAC_PI_2)
}

/// A right-angled turn over one crossing.
pub fn corner(passage: Passage) -> Rig {
    let mut rig = strung([[-10.0, 0.0, 0.0], [0.0, -10.0, 0.0]], &[[0.0; 3]], FRICTION, EA);
    rig.limbs[0].passages[1] = passage;
    rig
}

/// A rectangle (anchor, two crossings 6 mm apart, anchor) whose angles stay right when the fragment
/// moves along its long side, so that every bound is exactly μπ/2; with `closed` the strand runs on
/// from the last anchor to the first.
pub fn rectangle(closed: bool, passage: Passage) -> Rig {
    let mut rig = strung([[0.0; 3], [0.0, 6.0, 0.0]], &[[10.0, 0.0, 0.0], [10.0, 6.0, 0.0]], FRICTION, EA);
    rig.limbs[0].passages = vec![passage; 4];
    rig.limbs[0].closed = closed;
    rig
}

/// Tension T of the tightest segments of a strand of rest material `held`, whose segments (length,
/// share of T) are in fixed ratio: Σ ℓ/(1 + share·T/EA) = held, by bisection.
///
/// # Errors
/// When there is no such tension below 1000 N.
pub fn shared(held: f64, segments: &[(f64, f64)]) -> Found<f64> {
    root(0.0, 1000.0, |t| segments.iter().map(|(length, share)| length / (1.0 + share * t / EA)).sum::<f64>() - held)
}

/// Belt friction at turns: pulled, and tied with the turns sticking and slipping either way.
pub fn capstan(s: &mut Sheet) -> Found<()> {
    s.law("belt friction at a turn, μ 0.15", "Euler–Eytelwein: T₂/T₁ = e^(μθ)");
    let rig = corner(Passage::Sliding(FRICTION));
    let (mut solver, mut state) = laid(&rig);
    let mut controls = Controls::idle(1);
    state.strands[0] = Strand::Pulled;
    controls.pull[0] = 25.0;
    let report = solver.limb_report(&state, &controls, 0);
    let found = report.tensions[1] / report.tensions[0];
    s.within(5e-6, "half a unit of the last digit as printed");
    s.equal("90° while pulled, as printed", "", found, 1.26569);
    s.within(4e-15, "two roundings");
    s.equal("90° while pulled, e^(μπ/2)", "", found, ratio());
    let rig = rectangle(false, Passage::Sliding(FRICTION));
    let (mut solver, mut state) = laid(&rig);
    state.strands[0] = Strand::Pulled;
    let report = solver.limb_report(&state, &controls, 0);
    s.within(1e-14, "a few roundings");
    let found = report.tensions[2] / report.tensions[0];
    s.equal("two turns of 90° while pulled, e^(μπ)", "", found, libm::exp(FRICTION * PI));

    let (mut sticks, mut slips, mut again) = (Vec::new(), Vec::new(), Vec::new());
    let mut kept = Vec::new();
    for sign in [1.0, -1.0] {
        let rig = rectangle(false, Passage::Sliding(FRICTION));
        let (mut solver, mut state) = laid(&rig);
        tie_at(&mut solver, &mut state, 0, 25.0);
        let held = material(&state, 0);
        let total: f64 = held.iter().sum();
        // Inside the bound every segment stretches on its own.
        let small = sign * 0.01;
        let report = carry(&mut solver, &mut state, [small, 0.0, 0.0], 0)?;
        sticks.push((report.tensions[0], EA * (10.0 + small - held[0]) / held[0]));
        sticks.push((report.tensions[1], 25.0));
        // Far enough it slips, and stands exactly on the bound.
        let large = sign * 0.08;
        let report = carry(&mut solver, &mut state, [large, 0.0, 0.0], 0)?;
        let out = 10.0 + large;
        let (outer, inner) = if sign > 0.0 { (1.0, 1.0 / ratio()) } else { (1.0 / ratio(), 1.0) };
        let t = shared(total, &[(out, outer), (6.0, inner), (out, outer)])?;
        for (tension, share) in report.tensions.iter().zip([outer, inner, outer]) {
            slips.push((*tension, share * t));
        }
        let now = material(&state, 0);
        kept.push((now.iter().sum(), total));
        // A little way back it sticks again, with what it holds now.
        let back = large - 0.01 * sign;
        let report = carry(&mut solver, &mut state, [back, 0.0, 0.0], 0)?;
        again.push((report.tensions[0], EA * (10.0 + back - now[0]) / now[0]));
        again.push((report.tensions[1], inner * t));
    }
    s.within(ROUNDING, WHY_ROUNDING);
    s.worst("tied: each segment alone while it sticks", "N", &sticks);
    s.worst("tied: on the bound while it slips, both ways", "N", &slips);
    s.worst("tied: sticks again on the way back", "N", &again);
    s.within(1e-13, "roundings of a length of 26 mm");
    s.worst("tied: material kept", "mm", &kept);
    Ok(())
}

/// A fraction of every tension survives relaxation at a fixed pose.
pub fn retained(s: &mut Sheet) -> Found<()> {
    s.law(
        "tension retained after relaxation at a fixed pose",
        "Hooke's law of the strand: a fraction ρ is kept by the rest length S' = ℓ EA/(EA + ρT)",
    );
    let mut pairs = Vec::new();
    for retained in [0.9, 0.75, 0.5, 0.0] {
        let rig = strung([[-8.0, 0.0, -3.0], [-9.0, 9.0, 0.0]], &[[0.0; 3], [0.0, 5.0, 1.0]], FRICTION, EA);
        let (mut solver, mut state) = laid(&rig);
        let mut from = Controls { motion: Motion::Held, ..Controls::idle(1) };
        state.strands[0] = Strand::Pulled;
        from.pull[0] = 50.0;
        solver.lock(&mut state, &from, 0, vec![0.0; 3]);
        from.pull[0] = 0.0;
        let before = solver.limb_report(&state, &from, 0);
        if let Strand::Tied { rest, feed } = &mut state.strands[0] {
            for i in 0..3 {
                let kept = retained * before.tensions[i];
                feed[i] = before.lengths[i] * EA / (EA + kept) - rest[i];
            }
        }
        let mut to = from.clone();
        to.feed = 1.0;
        arrived(solver.ramp(&mut state, &from, &to, GENTLE, None))?;
        certified(&mut solver, &state, &to)?;
        solver.absorb_feed(&mut state, &mut to);
        let after = solver.limb_report(&state, &to, 0);
        let both = after.tensions.iter().zip(&before.tensions);
        pairs.extend(both.map(|(a, b)| (*a, retained * b)));
    }
    s.within(1e-9, "EA times the rounding of 10 mm is 1e-11 N; asked for is a hundred times that");
    s.worst("tension of each segment", "N", &pairs);
    Ok(())
}
