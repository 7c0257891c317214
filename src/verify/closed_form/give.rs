//! What gives: soft bites, relaxation and cycles of a bite, a clamp that slides, an anchor that pulls out, a strand
//! that breaks.

use crate::math::Vec3;
use crate::mechanics::{
    Anchor, Controls, Envelope, Limb, Limits, Motion, Pose, Rig, Solver, Spring, State, Strand, Vertex,
};
use crate::verify::check::{Found, Sheet};
use crate::verify::rigging::{
    GENTLE, aloft, arrived, at_distance, bone, certified, hold, limb, material, push_from, rigid, root, tie_at,
};

const EA: f64 = 2000.0;
/// The bite of the default case: k₀ 4 N/mm, c 0.4 per mm.
const BITE: Spring = Spring::soft(4.0, 0.4);
const WHY_BALANCE: &str = "the solver's balance: 1e-10 N and 1e-11 of the force, over the stiffness";

/// A straight limb of 12 mm along x from `from` to a vertex at the fragment's reference point.
fn straight(rig: &mut Rig, from: Vertex, to: Vertex, limits: Limits) {
    rig.add_limb(Limb { limits, ..limb(vec![from, to], 0.0, EA) });
}

/// A limb on a bite.
fn on_a_bite() -> Rig {
    let mut rig = aloft();
    let from = rigid(&mut rig, [-12.0, 0.0, 0.0]);
    straight(&mut rig, from, Vertex::Bite { point: Vec3::zeros(), spring: BITE }, Limits::NONE);
    rig
}

fn pulled(rig: &Rig, tension: f64) -> Found<(State, Controls)> {
    let mut solver = Solver::new(rig);
    let mut state = rig.laid(Pose::default());
    let mut controls = Controls { motion: Motion::Held, ..rig.idle() };
    let from = controls.clone();
    state.strands[0] = Strand::Pulled;
    controls.pull[0] = tension;
    arrived(solver.ramp(&mut state, &from, &controls, GENTLE, None))?;
    certified(&mut solver, &state, &controls)?;
    Ok((state, controls))
}

/// A labral bite: drawn, relaxed, and in cycles.
pub fn bite(s: &mut Sheet) -> Found<()> {
    s.law(
        "a labral bite drawn, relaxed at a fixed pose, and set by cycles",
        "Fung's exponential law, d = ln(1 + c F/k₀)/c; springs in series by hand; F_n = f(d − Σ F_i s₁/F₀ ΔL_i)",
    );
    let (mut drawn, mut relaxed, mut cycles) = (Vec::new(), Vec::new(), Vec::new());
    for tension in [2.0, 15.0, 50.0] {
        let rig = on_a_bite();
        let (mut state, mut controls) = pulled(&rig, tension)?;
        let mut solver = Solver::new(&rig);
        drawn.push((-state.configuration.nodes[0].x, libm::log1p(0.4 * tension / 4.0) / 0.4));
        solver.lock(&mut state, &controls, 0, vec![0.0]);
        controls.pull[0] = 0.0;
        hold(&mut solver, &mut state, &controls)?;
        // Relaxed: at first 0.6 F at a fixed offset; then strand and bite share what is left. By hand: the
        // strand's rest S, the bite's draw d less what went into its rest, one scalar equation.
        let rest: f64 = material(&state, 0).iter().sum();
        let gone = BITE.stretch(tension) - BITE.stretch(0.6 * tension);
        solver.relax(&mut state, &controls, 0.6, 1.0);
        let mut to = controls.clone();
        to.feed = 1.0;
        arrived(solver.ramp(&mut state, &controls, &to, GENTLE, None))?;
        solver.absorb_feed(&mut state, &mut to);
        let found = solver.limb_report(&state, &to, 0).tensions[0];
        // The bite's place is `gone + stretch(F)` toward the anchor: 12 − that is the strand's length.
        let by_hand = root(1e-9, tension, |f| (12.0 - gone - BITE.stretch(f)) / (1.0 + f / EA) - rest)?;
        relaxed.push((found, by_hand));
        // Ten cycles at a fixed pose: F is implicit in its own set.
        let (mut set, mut level) = (gone, 0.0);
        for n in 1..=10 {
            let next = 1.0 + 0.6 * libm::log10(f64::from(n));
            let creep = 0.5 / 20.0 * (next - level);
            level = next;
            state.gives[0].creep = creep;
            let mut fed = to.clone();
            fed.feed = 1.0;
            arrived(solver.ramp(&mut state, &to, &fed, GENTLE, None))?;
            solver.absorb_feed(&mut state, &mut fed);
            let found = solver.limb_report(&state, &fed, 0).tensions[0];
            let by_hand = root(1e-12, tension, |f| (12.0 - set - f * creep - BITE.stretch(f)) / (1.0 + f / EA) - rest)?;
            set += by_hand * creep;
            cycles.push((found, by_hand));
        }
    }
    s.within(1e-10, WHY_BALANCE);
    s.worst("draw under a tension", "mm", &drawn);
    s.within(1e-8, WHY_BALANCE);
    s.worst("force after relaxation and a new balance", "N", &relaxed);
    s.worst("force in each of ten cycles", "N", &cycles);
    Ok(())
}

/// Distances (mm) with their loads (N), the work lost (N·mm), and the last state.
type Carried = (Vec<(f64, f64)>, f64, State);

/// Loads of a straight limb whose fragment is carried away from its anchor, guided, step by step.
fn carried(rig: &Rig, tension: f64, to: f64, steps: usize) -> Found<Carried> {
    let mut solver = Solver::new(rig);
    let mut state = rig.laid(Pose::default());
    tie_at(&mut solver, &mut state, 0, tension);
    hold(&mut solver, &mut state, &rig.idle())?;
    let mut controls = push_from(rig, &state, &rig.idle(), [1.0, 0.0, 0.0], true);
    let mut loads = Vec::new();
    for k in 0..=steps {
        let distance = to * k as f64 / steps as f64;
        let target = at_distance(&controls, distance);
        arrived(solver.ramp(&mut state, &controls, &target, GENTLE, None))?;
        certified(&mut solver, &state, &target)?;
        controls = target;
        loads.push((distance, state.configuration.load));
    }
    Ok((loads, solver.yield_work, state))
}

/// A clamp that slides, and a strand that breaks.
pub fn clamp(s: &mut Sheet) -> Found<()> {
    s.law(
        "a clamp that slides, and a strand that breaks",
        "T = T_s while strand slides through, the work is T_s times its length; a broken strand bears nothing",
    );
    let (grip, to) = (40.0, 2.0);
    // The tie end is the last vertex: on the anchor.
    let mut rig = aloft();
    let anchor = rigid(&mut rig, [-12.0, 0.0, 0.0]);
    straight(&mut rig, bone([0.0; 3]), anchor, Limits { grip, ..Limits::NONE });
    let (loads, work, state) = carried(&rig, 25.0, to, 20)?;
    let rest: f64 = material(&state, 0).iter().sum();
    let sliding: Vec<_> = loads.iter().filter(|l| l.0 >= 0.3).map(|l| (l.1, grip)).collect();
    s.within(1e-8, WHY_BALANCE);
    s.worst("load while it slides", "N", &sliding);
    s.worst("rest material, (12 + 2)/(1 + T_s/EA)", "mm", &[(rest, (12.0 + to) / (1.0 + grip / EA))]);
    let slid = rest - 12.0 / (1.0 + 25.0 / EA);
    s.worst("work lost in the clamp, T_s times what slid through", "N mm", &[(work, grip * slid)]);
    let mut rig = aloft();
    let anchor = rigid(&mut rig, [-12.0, 0.0, 0.0]);
    // A second, slack-proof hold keeps the balance solvable once it is broken.
    rig.envelope = Some(Envelope { shift_stiffness: 1.0, turn_stiffness: 1.0, rest: Pose::default() });
    straight(&mut rig, bone([0.0; 3]), anchor, Limits { strength: 60.0, ..Limits::NONE });
    let (loads, _, state) = carried(&rig, 25.0, 1.0, 20)?;
    let after: Vec<_> = loads.iter().filter(|l| l.0 >= 0.5).map(|l| (l.1, l.0)).collect();
    s.worst("a strand of 60 N has broken: the load is the envelope's alone", "N", &after);
    s.count("and is gone", usize::from(state.strands[0] == Strand::Loose), 1);
    Ok(())
}

/// An anchor that pulls out under a strand stiffer than its fall.
pub fn pull_out(s: &mut Sheet) -> Found<()> {
    s.law(
        "an anchor that pulls out",
        "peak = holding strength H; then H (1 − α/5 mm): the area under the falling branch is ½ H × 5 mm",
    );
    let holding = 100.0;
    let spring = Spring { strength: holding, run_out: 5.0, ..Spring::linear(75.0) };
    let mut rig = aloft();
    let anchor = Vertex::Anchor(rig.add_anchor(Anchor { place: Vec3::new(-12.0, 0.0, 0.0), spring: Some(spring) }));
    rig.envelope = Some(Envelope { shift_stiffness: 1e-3, turn_stiffness: 1.0, rest: Pose::default() });
    straight(&mut rig, bone([0.0; 3]), anchor, Limits::NONE);
    let (loads, work, state) = carried(&rig, 25.0, 8.0, 400)?;
    let own = |l: &(f64, f64)| l.1 - 1e-3 * l.0;
    let peak = loads.iter().map(own).fold(0.0, f64::max);
    s.within(0.2, "a step of 0.02 mm of a limb of some 50 N/mm may pass the peak by so much");
    s.worst("peak", "N", &[(peak, holding)]);
    s.within(0.02 * 250.0, "of first order in the steps: 0.02 mm of 5 mm");
    s.worst("work of pulling it out", "N mm", &[(work, 0.5 * holding * 5.0)]);
    s.count("it is out", usize::from(state.gives[0].gone), 1);
    Ok(())
}
