//! Tying: an ordered sequence of pulls and locks, from the reduced or the displaced pose.
//!
//! Each tie pulls its limbs together from zero to their target, stops by its rule, and locks them
//! with the knot's growth. What the fragment does meanwhile (against friction, tissue and every
//! limb already tied) is solved, not assumed.

use super::lock;
use super::measure;
use super::result::{Hold, Jump, Measures, Outcome, PullEnd, Start, TieRecord, Watch};
use super::setup;
use super::watched::watched;
use crate::case::{Case, Construct, StopRule, TieSpec};
use crate::math::Vec6;
use crate::mechanics::{Controls, Motion, Ramp, Rig, Setting, Solver, State, Strand};

use super::arrival::{arrived, check, note_jumps};

/// How pulls are stepped: in tenths and fifths, and finer wherever the fragment moves farther than a
/// step may. Against pulls in a hundred steps this changes loads by under 0.2 %.
const PULL: Ramp = Ramp {
    first: 0.1,
    largest: 0.2,
    continued: false,
};

/// How the small changes after a pull are stepped: at once, and finer where that does not converge.
const SETTLE: Ramp = Ramp {
    first: 1.0,
    largest: 1.0,
    continued: false,
};

/// What eye and probe can tell, mm (assumed): a watched point this close to its reduced place at the
/// start of a pull is not short of it.
pub(super) const SIGHT: f64 = 0.1;

/// A tied fragment, ready to be pushed.
#[derive(Debug, Clone)]
pub struct Tied {
    /// The state.
    pub state: State,
    /// The controls that it rests under.
    pub controls: Controls,
}

/// Ties the construct in its order and reports. With the tied state when it is held.
pub fn tie(case: &Case, construct: &Construct, rig: &Rig, from: Start) -> (Hold, Option<Tied>) {
    tie_in_steps(case, construct, rig, from, PULL)
}

/// The same with the pulls stepped otherwise: how much the answer owes to the steps.
pub fn tie_in_steps(
    case: &Case,
    construct: &Construct,
    rig: &Rig,
    from: Start,
    pull: Ramp,
) -> (Hold, Option<Tied>) {
    let mut walk = Walk::start(case, construct, rig, from);
    walk.run.pull = pull;
    for tie in &construct.ties {
        walk.next(tie);
    }
    let tying = walk.finish();
    (tying.hold, tying.tied)
}

/// Ties the construct in its order and keeps the tied state alone, without records of the ties, and
/// the solver that found it.
pub(super) fn tied_only<'a>(
    case: &'a Case,
    construct: &'a Construct,
    rig: &'a Rig,
    from: Start,
) -> Result<(Tied, Solver<'a>), Outcome> {
    let mut walk = Walk::start(case, construct, rig, from);
    walk.run.recorded = false;
    for tie in &construct.ties {
        walk.next(tie);
    }
    let (mut run, mut solver) = (walk.run, walk.solver);
    if !walk.outcome.is_held() {
        return Err(walk.outcome);
    }
    run.after(&mut solver)?;
    let tied = Tied {
        state: run.state,
        controls: run.controls,
    };
    Ok((tied, solver))
}

/// What tying came to, with how the fragment lay before the first tie.
pub(super) struct Tying {
    pub before: Measures,
    pub hold: Hold,
    pub tied: Option<Tied>,
}

/// Tying under way. A copy goes on like the original to the last digit: the solver's work space goes
/// with it.
#[derive(Clone)]
pub(super) struct Walk<'a> {
    run: Run<'a>,
    solver: Solver<'a>,
    from: Start,
    outcome: Outcome,
}

impl<'a> Walk<'a> {
    /// Lays the fragment where tying starts.
    pub fn start(case: &'a Case, construct: &'a Construct, rig: &'a Rig, from: Start) -> Self {
        let mut solver = Solver::new(rig);
        let mut run = Run {
            case,
            construct,
            state: rig.laid(setup::start_pose(case, from)),
            controls: rig.idle(),
            before: Measures::default(),
            ties: Vec::new(),
            jumps: Vec::new(),
            pull: PULL,
            recorded: true,
        };
        // An instrument has laid the fragment where it starts; it lets go before the first tie.
        let end = run.release(&mut solver, "release before tying");
        run.before = run.measures();
        Self {
            run,
            solver,
            from,
            outcome: end.err().unwrap_or(Outcome::Held),
        }
    }

    /// How the fragment lay before the first tie.
    pub fn before(&self) -> Measures {
        self.run.before
    }

    /// Makes the next tie, unless the fragment is lost already.
    pub fn next(&mut self, tie: &TieSpec) {
        if !self.outcome.is_held() {
            return;
        }
        let (run, solver) = (&mut self.run, &mut self.solver);
        // The shank of a screw that is placed holds sideways whatever friction does.
        let free = run.state.screws.iter().all(|s| *s == Setting::Absent);
        if let Some(last) = run.ties.last_mut().filter(|_| free) {
            last.lock = Some(lock::against(run.construct, solver, &run.state, tie));
        }
        let names = run.construct.names_of(tie).join(" + ");
        let end = run.tie(solver, tie, &format!("tie of {names}"));
        self.outcome = end.err().unwrap_or(Outcome::Held);
    }

    /// What follows the last tie, and the tied state.
    pub fn finish(mut self) -> Tying {
        let (mut run, solver) = (self.run, &mut self.solver);
        if self.outcome.is_held() {
            self.outcome = run.after(solver).err().unwrap_or(Outcome::Held);
        }
        let held = self.outcome.is_held();
        let state = |solver| {
            measure::tied_state(run.case, run.construct, solver, &run.state, &run.controls)
        };
        Tying {
            before: run.before,
            hold: Hold {
                construct: run.construct.name.clone(),
                from: self.from,
                outcome: self.outcome,
                tied: held.then(|| state(solver)),
                ties: run.ties,
                jumps: run.jumps,
            },
            tied: held.then_some(Tied {
                state: run.state,
                controls: run.controls,
            }),
        }
    }
}

#[derive(Clone)]
struct Run<'a> {
    case: &'a Case,
    construct: &'a Construct,
    state: State,
    controls: Controls,
    before: Measures,
    /// Whether each tie is recorded.
    recorded: bool,
    ties: Vec<TieRecord>,
    jumps: Vec<Jump>,
    pull: Ramp,
}

impl Run<'_> {
    /// Relaxation, and the loads that come on after tying.
    fn after(&mut self, solver: &mut Solver<'_>) -> Result<(), Outcome> {
        if self.construct.retained < 1.0 {
            self.relax(solver)?;
        }
        if self.case.loads.iter().any(|load| !load.during_tying) {
            let mut to = self.controls.clone();
            to.late_loads = 1.0;
            self.ramp(solver, to, "loads after tying")?;
        }
        Ok(())
    }

    /// Ramps to new controls; the state and the controls follow.
    fn ramp(&mut self, solver: &mut Solver<'_>, to: Controls, during: &str) -> Result<(), Outcome> {
        let arrival = solver.ramp(&mut self.state, &self.controls, &to, SETTLE, None);
        note_jumps(solver, &mut self.jumps, during);
        arrived(self.case, arrival, during)?;
        self.controls = to;
        check(solver, &self.state, &self.controls, during)
    }

    fn tie(&mut self, solver: &mut Solver<'_>, tie: &TieSpec, during: &str) -> Result<(), Outcome> {
        let work_before = solver.friction_work;
        for &k in &tie.limbs {
            self.state.strands[k] = Strand::Pulled;
        }
        for &k in &tie.screws {
            solver.place_screw(&mut self.state, k);
        }
        if tie.held {
            self.controls.motion = Motion::Held;
        }
        let watched = watched(self.case, self.construct, solver, &self.state, tie);
        let watch = |state: &State| {
            watched
                .iter()
                .map(|w| w.short(self.case, state.pose()))
                .fold(f64::INFINITY, f64::min)
        };
        let before = (!watched.is_empty()).then(|| watch(&self.state));
        let short = before.is_some_and(|short| short < -SIGHT);
        let mut to = self.controls.clone();
        for &k in &tie.limbs {
            to.pull[k] = self.construct.limbs[k].tension;
        }
        for &k in &tie.screws {
            to.tighten[k] = self.construct.screws[k].preload;
        }
        let fraction = {
            let state = &mut self.state;
            let watch: Option<&dyn Fn(&State) -> f64> = if short { Some(&watch) } else { None };
            let arrival = solver.ramp(state, &self.controls, &to, self.pull, watch);
            note_jumps(solver, &mut self.jumps, during);
            arrived(self.case, arrival, during)?
        };
        for &k in &tie.limbs {
            self.controls.pull[k] = fraction * to.pull[k];
        }
        for &k in &tie.screws {
            self.controls.tighten[k] = fraction * to.tighten[k];
        }
        check(solver, &self.state, &self.controls, during)?;
        let end = match (tie.stop, short) {
            (StopRule::Tension, _) => PullEnd::Tension,
            (StopRule::Reduced, false) => PullEnd::NotReducing,
            (StopRule::Reduced, true) if fraction < 1.0 => PullEnd::Reduced,
            (StopRule::Reduced, true) => PullEnd::Cap,
        };
        // Screws count when nothing else is pulled.
        let largest = |controls: &Controls| {
            let of = |list: &[usize], all: &[f64]| list.iter().map(|k| all[*k]).fold(0.0, f64::max);
            match tie.limbs.as_slice() {
                [] => of(&tie.screws, &controls.tighten),
                limbs => of(limbs, &controls.pull),
            }
        };
        let pull = Pull {
            end,
            target: largest(&to),
            pulled: largest(&self.controls),
            watch: before.map(|before| Watch {
                before,
                after: watch(&self.state),
            }),
            work_before,
        };
        self.lock(solver, tie, during)?;
        if tie.held {
            self.release(solver, during)?;
        }
        if self.recorded {
            self.record(solver, tie, pull);
        }
        Ok(())
    }

    /// Locks the limbs and screws of a tie and lets knots grow.
    fn lock(
        &mut self,
        solver: &mut Solver<'_>,
        tie: &TieSpec,
        during: &str,
    ) -> Result<(), Outcome> {
        let mut slack = false;
        for &k in &tie.limbs {
            let spec = &self.construct.limbs[k];
            let mut feed = vec![0.0; solver.rig().limbs[k].segments()];
            if let Some(last) = feed.last_mut() {
                *last = spec.knot_slack;
            }
            slack |= spec.knot_slack > 0.0;
            solver.lock(&mut self.state, &self.controls, k, feed);
            self.controls.pull[k] = 0.0;
        }
        for &k in &tie.screws {
            solver.lock_screw(&mut self.state, &self.controls, k);
            self.controls.tighten[k] = 0.0;
        }
        // Without slack the ramp still settles what locking itself shifts: a closed strand evens
        // out across its knot.
        let mut to = self.controls.clone();
        to.feed = if slack { 1.0 } else { 0.0 };
        self.ramp(solver, to, during)?;
        solver.absorb_feed(&mut self.state, &mut self.controls);
        Ok(())
    }

    /// The instrument lets go: the wrench that it bore is taken off gradually.
    fn release(&mut self, solver: &mut Solver<'_>, during: &str) -> Result<(), Outcome> {
        self.controls.motion = Motion::Free;
        self.controls.instrument = -solver.net_wrench(&self.state, &self.controls);
        if self.controls.instrument == Vec6::zeros() {
            return Ok(());
        }
        let mut to = self.controls.clone();
        to.instrument = Vec6::zeros();
        self.ramp(solver, to, during)
    }

    /// Relaxation after the last tie: every strand and every screw's head keeps a fraction of its
    /// pull at the pose it has, then all is solved again.
    fn relax(&mut self, solver: &mut Solver<'_>) -> Result<(), Outcome> {
        for k in 0..self.construct.limbs.len() {
            let report = solver.limb_report(&self.state, &self.controls, k);
            let rigidity = solver.rig().limbs[k].rigidity;
            if let Strand::Tied { rest, feed } = &mut self.state.strands[k] {
                for i in 0..rest.len() {
                    let kept = self.construct.retained * report.tensions[i];
                    if report.tensions[i] > 0.0 {
                        feed[i] = report.lengths[i] * rigidity / (rigidity + kept) - rest[i];
                    }
                }
            }
        }
        for k in 0..self.construct.screws.len() {
            let pull = solver.screw_report(&self.state, &self.controls, k).axial;
            let stiffness = solver.rig().screws[k].stiffness().axial;
            if let Setting::Locked { feed, .. } = &mut self.state.screws[k]
                && pull > 0.0
            {
                *feed = (1.0 - self.construct.retained) * pull / stiffness;
            }
        }
        let mut to = self.controls.clone();
        to.feed = 1.0;
        self.ramp(solver, to, "relaxation")?;
        solver.absorb_feed(&mut self.state, &mut self.controls);
        Ok(())
    }

    fn record(&mut self, solver: &mut Solver<'_>, tie: &TieSpec, pull: Pull) {
        let mut tensions = Vec::with_capacity(self.construct.limbs.len());
        let mut paths = Vec::with_capacity(self.construct.limbs.len());
        for k in 0..self.construct.limbs.len() {
            let report = solver.limb_report(&self.state, &self.controls, k);
            tensions.push(report.at_tie_end());
            paths.push(if self.state.strands[k] == Strand::Loose {
                Vec::new()
            } else {
                report.places.iter().map(|p| (*p).into()).collect()
            });
        }
        let before = self.ties.last().map(|t| t.tensions.as_slice());
        let changes = tensions
            .iter()
            .enumerate()
            .map(|(k, now)| now - before.map_or(0.0, |b| b[k]))
            .collect();
        self.ties.push(TieRecord {
            limbs: tie
                .limbs
                .iter()
                .map(|k| self.construct.limbs[*k].name.clone())
                .collect(),
            screws: tie
                .screws
                .iter()
                .map(|k| self.construct.screws[*k].name.clone())
                .collect(),
            heads: (0..self.construct.screws.len())
                .map(|k| solver.screw_report(&self.state, &self.controls, k).axial)
                .collect(),
            end: pull.end,
            target: pull.target,
            watch: pull.watch,
            pulled: pull.pulled,
            locked: tie.limbs.iter().map(|k| tensions[*k]).collect(),
            changes,
            paths,
            tensions,
            friction_work: solver.friction_work - pull.work_before,
            lock: None,
            measures: self.measures(),
            compression: solver.bed_forces(&self.state).0.norm(),
            certificate: solver.certify(&self.state, &self.controls),
        });
    }

    fn measures(&self) -> Measures {
        measure::measures(&self.case.fragment, self.state.pose())
    }
}

/// What the pull of a tie came to, as in [`TieRecord`].
struct Pull {
    end: PullEnd,
    target: f64,
    watch: Option<Watch>,
    pulled: f64,
    /// Work against friction before it, N·mm.
    work_before: f64,
}
