//! Mated surfaces and crushing of the bed: blocks under dead load on an endless bed.

use crate::math::Vec3;
use crate::mechanics::{Arrival, Asperity, Bed, BedLaw, Controls, DeadLoad, Pose, Rig, Solver};
use crate::verify::check::{Found, Sheet};
use crate::verify::rigging::{GENTLE, SEAT, arrived, axes, certified, let_go, push, push_from};

/// Weight of the block, N.
const WEIGHT: f64 = 100.0;
/// Fresh surfaces on a stiff bed, so that hardly any shear is left to stick.
const MATED: BedLaw = BedLaw {
    asperities: Asperity { angle: 15.0 * std::f64::consts::PI / 180.0, height: 0.7, rounding: 0.1 },
    ..BedLaw::plane(10.0, 1e4, 0.3)
};

/// The ramp h(σ) and its slope as they are printed, in the functions of the library.
fn ramp(law: &BedLaw, slid: f64) -> (f64, f64) {
    let Asperity { angle, height, rounding } = law.asperities;
    let long = libm::hypot(slid, rounding);
    let left = libm::exp(-libm::tan(angle) * (long - rounding) / height);
    (height * (1.0 - left), libm::tan(angle) * left * slid / long)
}

fn block(law: BedLaw, force: Vec3) -> Rig {
    let bed = Bed::rectangle(Vec3::zeros(), axes(), law, (20.0, 10.0), (8, 4));
    let mut rig = Rig::new(Vec3::zeros(), bed, SEAT);
    rig.loads.push(DeadLoad { point: Vec3::zeros(), force, during_tying: true });
    rig
}

/// A mated block pressed by a dead load and pushed along its bed, guided.
pub fn mated_block(s: &mut Sheet) -> Found<()> {
    s.law(
        "mated block pressed by 100 N and pushed along its bed, guided",
        "Patton's law of a rock joint in additive form: load N (μ + h′(σ)), rise h(σ) − N/(k_n A)",
    );
    let (mut loads, mut rises) = (Vec::new(), Vec::new());
    for direction in [[1.0, 0.0, 0.0], [0.0, -1.0, 0.0], [0.6, 0.8, 0.0]] {
        let rig = block(MATED, Vec3::new(0.0, 0.0, -WEIGHT));
        let sunk = WEIGHT / (MATED.normal * rig.bed.area);
        let mut state = rig.laid(Pose { shift: Vec3::new(0.0, 0.0, -sunk), ..Pose::default() });
        let mut solver = Solver::new(&rig);
        let mut controls = push_from(&rig, &state, &Controls::idle(0), direction, true);
        for slid in [0.05, 0.1, 0.3, 0.8, 2.0, 5.0] {
            let load = push(&mut solver, &mut state, &mut controls, slid, 8)?;
            let (height, slope) = ramp(&MATED, slid);
            loads.push((load, WEIGHT * (MATED.friction + slope)));
            rises.push((state.pose().shift.z, height - sunk));
        }
    }
    s.within(2e-9, "the solver's balance: 1e-10 N and 1e-11 of 100 N");
    s.worst("load", "N", &loads);
    s.within(1e-11, "the solver's balance over k_n A");
    s.worst("rise of the block", "mm", &rises);
    Ok(())
}

/// Where a block of this friction goes that is laid `slid` mm off its hollow under a load inclined by `tangent`.
fn laid(friction: f64, tangent: f64, slid: f64) -> Found<(Arrival, Vec3)> {
    let law = BedLaw { friction, ..MATED };
    let angle = libm::atan(tangent);
    let (down, along) = (WEIGHT * libm::cos(angle), WEIGHT * libm::sin(angle));
    let mut rig = block(law, Vec3::new(along, 0.0, -down));
    // Nothing turns: a moment would ride up on one side.
    rig.envelope = Some(crate::verify::rigging::against_turning(1e9));
    let (height, _) = ramp(&law, slid);
    let rise = height - down / (law.normal * rig.bed.area);
    let mut state = rig.laid(Pose { shift: Vec3::new(slid, 0.0, rise), ..Pose::default() });
    let mut solver = Solver::new(&rig);
    let arrival = let_go(&mut solver, &mut state, &Controls::idle(0))?;
    if arrival == Arrival::Arrived(1.0) {
        certified(&mut solver, &state, &Controls::idle(0))?;
    }
    Ok((arrival, state.pose().shift))
}

/// A mated block on an incline, and one released beside its hollow.
pub fn mated_incline(s: &mut Sheet) -> Found<()> {
    s.law(
        "mated block on an incline, and released beside its hollow",
        "it leaves its hollow when tan α > μ + max h′, and goes home by itself where h′ > μ",
    );
    // The steepest slope of the ramp, by a fine search.
    let steepest = (1..20_000).map(|k| ramp(&MATED, 1e-4 * f64::from(k)).1).fold(0.0, f64::max);
    let (mut rests, mut leaves, mut home) = (0, 0, 0);
    for (share, holds) in [(0.5, true), (0.999, true), (1.001, false), (1.5, false)] {
        let (arrival, _) = laid(MATED.friction, share * (MATED.friction + steepest), 0.0)?;
        rests += usize::from(holds && arrival == Arrival::Arrived(1.0));
        leaves += usize::from(!holds && matches!(arrival, Arrival::Lost(_)));
    }
    s.count("rests up to a thousandth below μ + max h′", rests, 2);
    s.count("leaves from a thousandth above", leaves, 2);
    let slid = 0.4;
    let (_, slope) = ramp(&MATED, slid);
    for (friction, goes) in [(0.5 * slope, true), (1.02 * slope, false), (2.0 * slope, false)] {
        let (arrival, shift) = laid(friction, 0.0, slid)?;
        let moved = shift.x < slid - 0.1;
        home += usize::from(arrival == Arrival::Arrived(1.0) && moved == goes);
    }
    s.count("released at 0.4 mm it goes home where h′ > μ, and stays where not", home, 3);
    Ok(())
}

/// A flat block pressed into a bed that crushes, by displacement.
pub fn crushed_block(s: &mut Sheet) -> Found<()> {
    s.law(
        "flat block pressed into a bed that crushes",
        "N = k_n A δ up to p_c/k_n, N = p_c A from there on; unloaded along k_n A, with what crushed left behind",
    );
    let law = BedLaw { crush: 2.0, ..BedLaw::plane(10.0, 3.0, 0.5) };
    let rig = block(law, Vec3::zeros());
    let mut state = rig.laid(Pose::default());
    let mut solver = Solver::new(&rig);
    let mut controls = push_from(&rig, &state, &Controls::idle(0), [0.0, 0.0, -1.0], true);
    let area = rig.bed.area;
    let mut loads = Vec::new();
    for (depth, pressure) in [(0.1, 1.0), (0.2, 2.0), (0.5, 2.0), (1.0, 2.0), (0.9, 1.0), (0.8, 0.0), (1.2, 2.0)] {
        loads.push((push(&mut solver, &mut state, &mut controls, depth, 4)?, pressure * area));
    }
    s.within(5e-9, "the solver's balance: 1e-10 N and 1e-11 of 400 N");
    s.worst("load", "N", &loads);
    // Crushed by 0.8 mm to 1.0 mm, and by another 0.2 mm to 1.2 mm.
    s.within(1e-9, "exact where pressure does not change while a cell yields");
    s.worst("work of crushing, p_c A times what was crushed", "N mm", &[(solver.yield_work, 2.0 * area * 1.0)]);
    arrived(solver.ramp(&mut state, &controls, &controls, GENTLE, None))
}
