//! Settling: what a tied repair loses to relaxation and to cycles of load.
//!
//! Losses are millimetres of set in each part in series: a part that peaks at F in cycle n gains
//! `F s₁/F₀ [L(n) − L(n−1)]`, `L(0) = 0`, `L(n) = 1 + b log₁₀ n`, along its force, with F after the set. So a stiff
//! limb loses more tension than a soft loop from the same set.
//!
//! ```
//! use rimhold::model::{Case, ConstructFile};
//! use rimhold::study::{self, SettlePlan, result::Start};
//!
//! let case = Case::open("quarter")?;
//! let construct = ConstructFile::open("one-by-one")?.fit(&case)?;
//! let rig = study::rig(&case, &construct, Start::Reduced);
//! let (_, tied) = study::tie(&case, &construct, &rig, Start::Reduced);
//! let (settling, settled) = study::settle(&case, &construct, &rig, &tied.unwrap(), &SettlePlan::of(&case));
//! let last = settling.points.last().unwrap();
//! println!("{:.0} N on the bed after {} cycles", last.compression, last.cycle);
//! # assert!(settled.is_some());
//! # Ok::<(), rimhold::model::Problems>(())
//! ```

use super::arrival::{arrived, check, note_jumps};
use super::result::{CyclePoint, Jump, Loss, Outcome, Part, Settling};
use super::tie::Tied;
use super::{Direction, measure};
use crate::math::Vec3;
use crate::mechanics::{Controls, Ramp, Rig, Solver, State, Strand};
use crate::model::{Case, Construct, Fixing, SettlingSpec};

/// How a repair is settled.
#[derive(Debug, Clone, PartialEq)]
pub struct SettlePlan {
    /// Least load of a cycle, N.
    pub low: f64,
    /// Largest load of a cycle, N.
    pub high: f64,
    /// Number of cycles.
    pub cycles: u32,
    /// Direction of the load.
    pub direction: Direction,
    /// Steps in which the load of a cycle comes and goes; finer wherever the fragment moves farther than a step may.
    pub steps: usize,
}

impl SettlePlan {
    /// As the case says; where it names no direction along that of the default push.
    pub fn of(case: &Case) -> Self {
        Self::before_push(case, &Direction::default())
    }

    /// As the case says; where it names no direction along that of the push that follows.
    pub fn before_push(case: &Case, push: &Direction) -> Self {
        let SettlingSpec { low, high, cycles, .. } = case.settling;
        let direction = case.cycled.as_ref().unwrap_or(push).clone();
        Self { low, high, cycles: cycles as u32, direction, steps: STEPS }
    }

    /// The same along another direction.
    pub fn along(self, direction: &Direction) -> Self {
        Self { direction: direction.clone(), ..self }
    }
}

/// Cycles that are computed one by one; beyond them they are taken in blocks, ever larger.
const ONE_BY_ONE: u32 = 10;

/// Steps of a load by default.
const STEPS: usize = 2;

/// How what creeps and relaxes is stepped.
const CREEP: Ramp = Ramp::EVEN;

/// Settles a tied repair; with the settled state when it is still held.
pub fn settle(
    case: &Case,
    construct: &Construct,
    rig: &Rig,
    tied: &Tied,
    plan: &SettlePlan,
) -> (Settling, Option<Tied>) {
    let mut solver = Solver::new(rig);
    solver.home = *tied.state.pose();
    settle_with(case, construct, &mut solver, tied, plan, true)
}

/// The same with a solver of the rig; with `recorded` every computed cycle is kept and what each part has lost,
/// otherwise the first and the last alone.
pub(super) fn settle_with(
    case: &Case,
    construct: &Construct,
    solver: &mut Solver<'_>,
    tied: &Tied,
    plan: &SettlePlan,
    recorded: bool,
) -> (Settling, Option<Tied>) {
    let mut run = Run::new((case, construct, solver.rig()), tied, plan, recorded);
    let mut settling = Settling {
        construct: construct.name.clone(),
        direction: plan.direction.name.clone(),
        low: plan.low,
        high: plan.high,
        outcome: Outcome::Held,
        points: Vec::new(),
        losses: if recorded { run.parts(solver) } else { Vec::new() },
        jumps: Vec::new(),
    };
    let end = run.whole(solver, &mut settling);
    settling.jumps = std::mem::take(&mut run.jumps);
    run.account(solver, &mut settling.losses);
    if let Err(outcome) = end {
        settling.outcome = outcome;
        return (settling, None);
    }
    run.controls.applied = tied.controls.applied;
    (settling, Some(Tied { state: run.state, controls: run.controls }))
}

/// What the sprung parts of a repair have borne before: of each its force as shares that began to set at one time, with
/// the cycles that each has had since, and its peak force in the last cycle, N. Empty before any cycle.
#[derive(Debug, Clone, Default)]
pub(super) struct Borne {
    shares: Vec<Vec<[f64; 2]>>,
    forces: Vec<f64>,
    cycles: f64,
}

impl Borne {
    /// Before the first cycle of another load, under which the parts bear these forces: what of a force is more than
    /// before begins its own set (Boltzmann's superposition of linear creep).
    fn meet(&mut self, forces: &[f64]) {
        if self.shares.is_empty() {
            self.shares = vec![vec![[1.0, 0.0]]; forces.len()];
        }
        for ((shares, before), now) in self.shares.iter_mut().zip(&self.forces).zip(forces) {
            if now > before {
                let kept = before / now;
                shares.iter_mut().for_each(|share| share[0] *= kept);
                shares.push([1.0 - kept, 0.0]);
            }
        }
    }

    /// After so many cycles, the last of which had these peaks.
    fn pass(&mut self, cycles: f64, forces: Vec<f64>) {
        self.shares.iter_mut().flatten().for_each(|share| share[1] += cycles);
        self.cycles += cycles;
        self.forces = forces;
    }

    /// Growth of the level of set of a part from cycle `done` to cycle `next` after these.
    fn growth(&self, part: usize, [done, next]: [f64; 2], level: impl Fn(f64) -> f64) -> f64 {
        let since = |from: f64| level(from + next) - level(from + done);
        match self.shares.get(part) {
            Some(shares) => shares.iter().map(|[share, from]| share * since(*from)).sum(),
            None => since(0.0),
        }
    }
}

/// A tied repair that is being settled.
#[derive(Clone)]
pub(super) struct Run<'a> {
    pub case: &'a Case,
    pub construct: &'a Construct,
    pub state: State,
    pub controls: Controls,
    /// Shift of the fragment as tied, mm.
    pub from: Vec3,
    pub plan: &'a SettlePlan,
    /// What was borne before the cycles of the plan; none where nothing follows them.
    pub before: Option<Borne>,
    pub recorded: bool,
    pub jumps: Vec<Jump>,
}

impl<'a> Run<'a> {
    /// A repair as tied, of which nothing is borne before; loads come on at the reference point.
    pub fn new(
        (case, construct, rig): (&'a Case, &'a Construct, &Rig),
        tied: &Tied,
        plan: &'a SettlePlan,
        recorded: bool,
    ) -> Self {
        let Tied { state, mut controls } = tied.clone();
        controls.applied = (rig.reference, Vec3::zeros());
        let from = state.pose().shift;
        Self { case, construct, state, controls, from, plan, before: None, recorded, jumps: Vec::new() }
    }

    fn whole(&mut self, solver: &mut Solver<'_>, settling: &mut Settling) -> Result<(), Outcome> {
        settling.points.push(self.point(solver, 0, 0.0));
        let bites: Vec<f64> = self.forces(solver);
        self.relax(solver)?;
        let after = self.forces(solver);
        for (loss, (before, after)) in settling.losses.iter_mut().zip(bites.iter().zip(after)) {
            loss.relaxed = before - after;
        }
        self.cycles(solver, &mut settling.points)?;
        self.load(solver, 0.0, "unloading")
    }

    /// What relaxes in the minutes after the last tie.
    pub fn relax(&mut self, solver: &mut Solver<'_>) -> Result<(), Outcome> {
        let spec = self.case.settling;
        solver.relax(&mut self.state, &self.controls, spec.bite_kept, spec.strand_kept);
        self.feed(solver, "relaxation")
    }

    /// The cycles of the plan; they end under the least load.
    pub fn cycles(&mut self, solver: &mut Solver<'_>, points: &mut Vec<CyclePoint>) -> Result<(), Outcome> {
        let mut done = 0;
        let mut peaks = Vec::new();
        while done < self.plan.cycles {
            let next = if done < ONE_BY_ONE { done + 1 } else { block(done).min(self.plan.cycles) };
            let during = format!("cycle {next}");
            self.load(solver, self.plan.high, &during)?;
            if let (0, Some(before)) = (done, &mut self.before) {
                before.meet(&solver.pulls(&self.state, &self.controls));
            }
            self.creep(solver, f64::from(done), f64::from(next));
            self.feed(solver, &during)?;
            let peak = self.moved();
            if self.before.is_some() {
                peaks = solver.pulls(&self.state, &self.controls);
            }
            self.load(solver, self.plan.low, &during)?;
            done = next;
            if self.recorded || done == self.plan.cycles {
                points.push(self.point(solver, done, peak));
            }
        }
        if let Some(before) = &mut self.before {
            before.pass(f64::from(done), peaks);
        }
        Ok(())
    }

    /// Brings the load to so many newtons.
    pub fn load(&mut self, solver: &mut Solver<'_>, to: f64, during: &str) -> Result<(), Outcome> {
        let mut target = self.controls.clone();
        target.applied.1 = self.plan.direction.on(&self.case.fragment) * to;
        let step = 1.0 / self.plan.steps as f64;
        self.ramp(solver, target, Ramp { first: step, largest: step, ..Ramp::EVEN }, during)
    }

    /// Lets what was prepared relax or creep, and keeps it.
    fn feed(&mut self, solver: &mut Solver<'_>, during: &str) -> Result<(), Outcome> {
        let mut target = self.controls.clone();
        target.feed = 1.0;
        self.ramp(solver, target, CREEP, during)?;
        solver.absorb_feed(&mut self.state, &mut self.controls);
        Ok(())
    }

    fn ramp(&mut self, solver: &mut Solver<'_>, target: Controls, ramp: Ramp, during: &str) -> Result<(), Outcome> {
        let arrival = solver.ramp(&mut self.state, &self.controls, &target, ramp, None);
        note_jumps(self.construct, solver, &mut self.jumps, during);
        arrived(self.case, arrival, during)?;
        self.controls = target;
        check(solver, &self.state, &self.controls, during)
    }

    /// Prepares what creeps from cycle `done` to cycle `next` of the plan, after what was borne before.
    fn creep(&mut self, solver: &Solver<'_>, done: f64, next: f64) {
        let spec = &self.case.settling;
        let level = |n: f64| if n > 0.0 { 1.0 + spec.set_growth * libm::log10(n) } else { 0.0 };
        let none = Borne::default();
        let before = self.before.as_ref().unwrap_or(&none);
        let decades = |n: f64| libm::log10((before.cycles + n).max(1.0));
        let decades = decades(next) - decades(done);
        let rig = solver.rig();
        for (node, give) in self.state.gives.iter_mut().enumerate() {
            let set = rig
                .anchor_of(node)
                .map_or(spec.bite_set / BITE_FORCE, |anchor| self.construct.anchors[anchor].set / ANCHOR_FORCE);
            give.creep = set * before.growth(node, [done, next], level);
        }
        for (spec_of, strand) in self.construct.limbs.iter().zip(&mut self.state.strands) {
            if let Strand::Tied { feed, .. } = strand
                && let Some(last) = feed.last_mut()
            {
                *last = decades * grows(spec, spec_of.fixing);
            }
        }
    }

    /// Displacement from as tied, mm: along the load, or where loads of several directions follow each other whatever
    /// way it went.
    fn moved(&self) -> f64 {
        let moved = self.state.pose().shift - self.from;
        match self.before {
            None => moved.dot(&self.plan.direction.on(&self.case.fragment)),
            Some(_) => moved.norm(),
        }
    }

    pub fn point(&self, solver: &mut Solver<'_>, cycle: u32, peak: f64) -> CyclePoint {
        let bed = solver.bed_totals(&self.state);
        let limbs = 0..self.construct.limbs.len();
        CyclePoint {
            cycle,
            peak,
            rest: self.moved(),
            measures: measure::measures(&self.case.fragment, self.state.pose()),
            compression: bed.compression,
            contact: bed.contact(&solver.rig().bed),
            tensions: limbs.map(|k| solver.limb_report(&self.state, &self.controls, k).at_tie_end()).collect(),
            certificate: solver.certify_with(&self.state, &self.controls, &bed),
        }
    }

    /// Forces of anchors, bites, then of knots and clamps, N.
    fn forces(&self, solver: &mut Solver<'_>) -> Vec<f64> {
        let mut forces = solver.pulls(&self.state, &self.controls);
        let limbs = 0..self.construct.limbs.len();
        forces.extend(limbs.map(|k| solver.limb_report(&self.state, &self.controls, k).at_tie_end()));
        forces
    }

    /// The parts that can lose, in the order of [`forces`](Self::forces).
    fn parts(&self, solver: &mut Solver<'_>) -> Vec<Loss> {
        let rig = solver.rig();
        let forces = self.forces(solver);
        let springs =
            (0..self.state.gives.len()).map(|node| sprung(self.construct, rig, node, Part::Anchor, Part::Bite));
        let ends = self.construct.limbs.iter().map(|limb| match limb.fixing {
            Fixing::Knot => (Part::Knot, limb.name.clone()),
            Fixing::Knotless => (Part::Clamp, limb.name.clone()),
        });
        springs
            .chain(ends)
            .zip(forces)
            .map(|((part, name), before)| Loss { part, name, before, after: before, relaxed: 0.0, set: 0.0 })
            .collect()
    }

    fn account(&self, solver: &mut Solver<'_>, losses: &mut [Loss]) {
        let forces = self.forces(solver);
        let decades = libm::log10(f64::from(self.plan.cycles.max(1)));
        let sets = self.state.gives.iter().map(|give| give.set.norm());
        let ends = self.construct.limbs.iter().map(|limb| decades * grows(&self.case.settling, limb.fixing));
        for (loss, (after, set)) in losses.iter_mut().zip(forces.into_iter().zip(sets.chain(ends))) {
            (loss.after, loss.set) = (after, set);
        }
    }
}

/// What a sprung node is, an anchor or a bite, with its name: that of a bite is its limb's.
pub(super) fn sprung<T>(construct: &Construct, rig: &Rig, node: usize, anchor: T, bite: T) -> (T, String) {
    match rig.anchor_of(node) {
        Some(k) => (anchor, construct.anchors[k].name.clone()),
        None => (bite, rig.limbs_on(node).next().map_or_else(String::new, |k| construct.limbs[k].name.clone())),
    }
}

/// Growth of a knot or clamp over a decade of cycles, mm.
fn grows(spec: &SettlingSpec, fixing: Fixing) -> f64 {
    match fixing {
        Fixing::Knot => spec.knot_growth,
        Fixing::Knotless => spec.clamp_growth,
    }
}

/// Motion a decade of cycles that is too small to be noticed, mm.
const NOTICED: f64 = 0.01;
/// Force at which the set of a bite is given, N.
pub(crate) const BITE_FORCE: f64 = 20.0;
/// Force at which the set of an anchor is given, N.
pub(crate) const ANCHOR_FORCE: f64 = 25.0;

/// Where the block after so many cycles ends: 30, 100, 300, 1000, …
fn block(done: u32) -> u32 {
    let mut end = ONE_BY_ONE;
    loop {
        for step in [3 * end, 10 * end] {
            if step > done {
                return step;
            }
        }
        end *= 10;
    }
}

impl Settling {
    /// Whether the motion left at rest grows less from decade to decade of cycles; `None` below a decade.
    pub fn shakes_down(&self) -> Option<bool> {
        let rest = |cycle: f64| {
            let near = |p: &&CyclePoint| (libm::log10(f64::from(p.cycle.max(1)) / cycle)).abs();
            self.points.iter().skip(1).min_by(|a, b| near(a).total_cmp(&near(b)))
        };
        let last = self.points.last().filter(|p| p.cycle >= 10)?;
        let middle = rest(f64::from(last.cycle).sqrt())?;
        let first = self.points.get(1)?;
        let slope =
            |a: &CyclePoint, b: &CyclePoint| (b.peak - a.peak) / libm::log10(f64::from(b.cycle) / f64::from(a.cycle));
        Some(slope(middle, last) <= slope(first, middle) + NOTICED)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn level(n: f64) -> f64 {
        if n > 0.0 { 1.0 + 0.6 * libm::log10(n) } else { 0.0 }
    }

    /// Phases of given peak forces of one part, each so many cycles: the set over s₁/F₀, N.
    fn set(phases: &[(f64, f64)]) -> f64 {
        let mut before = Borne::default();
        let mut set = 0.0;
        for (force, cycles) in phases {
            before.meet(&[*force]);
            set += force * before.growth(0, [0.0, *cycles], level);
            before.pass(*cycles, vec![*force]);
        }
        set
    }

    /// Loads superpose (Boltzmann's principle of linear creep): of forces that rise, each step has had the cycles since
    /// it came. Rounding of a few sums.
    #[test]
    fn forces_that_rise_superpose() {
        let rising = set(&[(15.0, 100.0), (25.0, 30.0), (38.0, 10.0)]);
        let superposed = 15.0 * level(140.0) + 10.0 * level(40.0) + 13.0 * level(10.0);
        assert!((rising - superposed).abs() < 1e-12, "{rising} {superposed}");
        // A force that is no larger only goes on, and one cycle of next to nothing begins next to nothing anew.
        assert!((set(&[(25.0, 100.0), (25.0, 30.0)]) - 25.0 * level(130.0)).abs() < 1e-12);
        let preload = set(&[(20.0, 1.0), (20.1, 99.0)]) - 20.0 * level(100.0);
        assert!((preload - 0.1 * level(99.0)).abs() < 1e-12, "{preload}");
    }
}
