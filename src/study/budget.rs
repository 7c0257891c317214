//! How much may the arm do? Phases of rehabilitation one after the other, each so many cycles of a load.
//!
//! Relaxation first, then the phases in order; sets and growth go on from phase to phase. What of a part's force is more
//! than before begins its own set, so that phases of one load are one long phase (superposition of linear creep,
//! assumed). Displacements are those of the centroid from as tied, whatever way it went. No healing is modelled: bone
//! that unites bears what no suture has to; screws do not work loose.
//!
//! ```
//! use rimhold::model::spread::Subject;
//! use rimhold::study::{BudgetPlan, budget};
//!
//! let subject = Subject::open("quarter", &["one-by-one".to_owned()]).unwrap();
//! let found = budget(subject, &BudgetPlan { draws: 4, ..BudgetPlan::default() }, &())?;
//! for phase in &found.phases {
//!     println!("{}: {:.1?} mm left over", phase.name, phase.left);
//! }
//! # Ok::<(), rimhold::study::Refused>(())
//! ```

use super::push::{PushPlan, push};
use super::result::{Budget, EventKind, Failure, Outcome, Phase, Start, Within};
use super::scatter;
use super::settle::{Borne, Run, SettlePlan, sprung};
use super::tie::{Tied, tied_only};
use super::{Refused, Watcher};
use crate::mechanics::{Solver, State, Strand};
use crate::model::spread::Subject;
use crate::model::{Case, Construct, PhaseSpec, usual_phases};
use crate::par;
use schemars::JsonSchema;
use serde::Serialize;

/// What a repair is allowed, mm.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct Allowed {
    /// Displacement left over (residual) under the least load.
    pub left: f64,
    /// Displacement at the largest load.
    pub peak: f64,
    /// Motion between the two in one cycle.
    pub motion: f64,
}

impl Default for Allowed {
    /// The displacements at which loads are read; motion under load from memory, after what is said of bone that is to
    /// grow together (no source read).
    fn default() -> Self {
        Self { left: 1.0, peak: 2.0, motion: 0.2 }
    }
}

/// How a budget is made.
#[derive(Debug, Clone, PartialEq)]
pub struct BudgetPlan {
    /// Where tying starts.
    pub from: Start,
    /// What is allowed.
    pub allowed: Allowed,
    /// Draws of the uncertain inputs; none: the inputs as they stand alone.
    pub draws: u64,
    /// Seed of the draws.
    pub seed: u64,
    /// Bed cells aimed at in the draws.
    pub cells: usize,
}

impl Default for BudgetPlan {
    fn default() -> Self {
        Self { from: Start::Reduced, allowed: Allowed::default(), draws: 32, seed: 1, cells: 220 }
    }
}

/// The phases of a case: its own, or the usual ones.
pub fn phases(case: &Case) -> Vec<PhaseSpec> {
    if case.phases.is_empty() { usual_phases() } else { case.phases.clone() }
}

/// Runs the phases on the first construct of a subject, and on draws of its inputs.
///
/// # Errors
/// A spread that does not fit, and an end before there was anything to report.
pub fn budget(subject: Subject, plan: &BudgetPlan, watcher: &dyn Watcher) -> Result<Budget, Refused> {
    let case = subject.case().clone();
    let construct = subject.constructs().next().cloned().ok_or_else(|| Refused::Asked("no construct".to_owned()))?;
    let phases = phases(&case);
    watcher.stage(1 + plan.draws, "draws");
    let mut course = Course { failing: true, ..Course::default() };
    course.run(&case, &construct, &phases, plan.from, watcher);
    watcher.step();
    if watcher.stops() {
        return Err(Refused::Ended);
    }
    let Course { tied, mut found, outcome, .. } = course;
    let mut done = 0;
    if plan.draws > 0 {
        let of = scatter::Plan {
            samples: plan.draws,
            seed: plan.seed,
            from: plan.from,
            cells: plan.cells,
            ..scatter::Plan::default()
        };
        let study = scatter::Study::new(subject, None, of)?;
        let one = |k| {
            let reading = study.sample(k);
            let (case, construct) = (reading.case.ok()?, reading.constructs.into_iter().next()?.ok()?);
            let mut course = Course::default();
            course.run(&case, &construct, &phases, plan.from, watcher);
            Some(course).filter(|c| !c.outcome.is_uncertified())
        };
        let draws = par::until(
            plan.draws,
            || (),
            |(), k| {
                let course = one(k);
                watcher.step();
                (!watcher.stops()).then_some(course)
            },
        );
        done = draws.len() as u64;
        let valid: Vec<&Course> = draws.iter().flatten().collect();
        for (k, phase) in found.iter_mut().enumerate() {
            phase.within = Some(within(&plan.allowed, &valid, k));
        }
    }
    Ok(Budget {
        case: case.name.clone(),
        construct: construct.name.clone(),
        from: plan.from,
        allowed: plan.allowed,
        outcome,
        tied,
        phases: found,
        draws: plan.draws,
        done,
        seed: plan.seed,
        complete: done == plan.draws,
    })
}

/// How many draws are within what is allowed at the end of a phase, and in all before.
fn within(allowed: &Allowed, draws: &[&Course], phase: usize) -> Within {
    let share = |is: &dyn Fn(&Phase) -> bool| {
        let so_far = |c: &&&Course| c.found.len() > phase && c.found[..=phase].iter().all(is);
        draws.iter().filter(so_far).count() as u64
    };
    Within {
        of: draws.len() as u64,
        left: share(&|p| p.keeps(allowed)[0]),
        peak: share(&|p| p.keeps(allowed)[1]),
        both: share(&|p| p.keeps(allowed)[..2] == [true; 2]),
        motion: share(&|p| p.keeps(allowed)[2]),
        held: share(&|p| p.outcome.is_held()),
    }
}

/// A repair on its way through the phases.
#[derive(Default)]
struct Course {
    /// Whether the failure load after each phase is looked for, and every computed cycle kept.
    failing: bool,
    tied: Option<super::result::CyclePoint>,
    found: Vec<Phase>,
    outcome: Outcome,
}

impl Course {
    fn run(&mut self, case: &Case, construct: &Construct, phases: &[PhaseSpec], from: Start, watcher: &dyn Watcher) {
        let rig = super::rig(case, construct, from);
        let (tied, mut solver) = match tied_only(case, construct, &rig, from, watcher) {
            None => return,
            Some(Err(outcome)) => {
                self.outcome = outcome;
                return;
            }
            Some(Ok(found)) => found,
        };
        let end = self.course(case, construct, phases, &tied, &mut solver, watcher);
        self.outcome = end.err().unwrap_or(Outcome::Held);
    }

    fn course(
        &mut self,
        case: &Case,
        construct: &Construct,
        phases: &[PhaseSpec],
        tied: &Tied,
        solver: &mut Solver<'_>,
        watcher: &dyn Watcher,
    ) -> Result<(), Outcome> {
        let plans: Vec<SettlePlan> = phases.iter().map(|p| plan(case, p)).collect();
        let Some(first) = plans.first() else {
            return Ok(());
        };
        let mut run = Run::new((case, construct, solver.rig()), tied, first, self.failing);
        run.before = Some(Borne::default());
        self.tied = self.failing.then(|| run.point(solver, 0, 0.0));
        run.relax(solver)?;
        for (spec, plan) in phases.iter().zip(&plans) {
            if watcher.stops() {
                return Ok(());
            }
            run.plan = plan;
            let had = gone(&run.state);
            let mut points = Vec::new();
            let end = run.cycles(solver, &mut points);
            let gave = names(construct, solver, &had, &gone(&run.state));
            let mut phase = Phase {
                name: spec.name.clone(),
                low: spec.low,
                high: spec.high,
                direction: spec.direction.name.clone(),
                cycles: spec.cycles,
                tag: spec.tag,
                source: spec.source.clone(),
                outcome: end.clone().err().unwrap_or(Outcome::Held),
                left: points.last().filter(|_| end.is_ok()).map(|p| p.rest),
                peak: points.last().filter(|_| end.is_ok()).map(|p| p.peak),
                points,
                fails: None,
                gave,
                jumps: std::mem::take(&mut run.jumps),
                within: None,
            };
            if self.failing && end.is_ok() {
                phase.fails = fails(&run, solver, tied);
            }
            self.found.push(phase);
            end?;
        }
        Ok(())
    }
}

fn plan(case: &Case, phase: &PhaseSpec) -> SettlePlan {
    let PhaseSpec { low, high, cycles, ref direction, .. } = *phase;
    SettlePlan { low, high, cycles, ..SettlePlan::of(case).along(direction) }
}

/// Failure of what a phase has left, unloaded first, pushed along its direction.
fn fails(run: &Run<'_>, solver: &Solver<'_>, tied: &Tied) -> Option<Failure> {
    let (mut run, mut solver) = (run.clone(), solver.clone());
    run.load(&mut solver, 0.0, "unloading").ok()?;
    run.controls.applied = tied.controls.applied;
    let left = Tied { state: run.state, controls: run.controls };
    let plan = PushPlan { direction: run.plan.direction.clone(), settled: false, ..PushPlan::to_failure() };
    push(run.case, run.construct, solver.rig(), &left, &plan).failure
}

/// What gave way so far: of sprung points whether each is beyond its limit, of limbs whether each bears.
fn gone(state: &State) -> (Vec<bool>, Vec<bool>) {
    let spent = state.gives.iter().map(|g| g.spent > 0.0);
    (spent.collect(), state.strands.iter().map(|s| *s == Strand::Loose).collect())
}

/// The names of what gave between two states.
fn names(
    construct: &Construct,
    solver: &Solver<'_>,
    had: &(Vec<bool>, Vec<bool>),
    has: &(Vec<bool>, Vec<bool>),
) -> Vec<(EventKind, String)> {
    let rig = solver.rig();
    let new = |a: &[bool], b: &[bool]| (0..b.len()).filter(|k| b[*k] && !a[*k]).collect::<Vec<_>>();
    let node = |node| sprung(construct, rig, node, EventKind::AboveAnchor, EventKind::BiteTears);
    let nodes = new(&had.0, &has.0).into_iter().map(node);
    let limbs = new(&had.1, &has.1).into_iter().map(|k| (EventKind::AboveStrand, construct.limbs[k].name.clone()));
    nodes.chain(limbs).collect()
}
