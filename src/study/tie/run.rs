//! One sequence of ties under way: pulls, locks, and what follows the last.

use super::super::arrival::{arrived, check, note_jumps};
use super::super::measure;
use super::super::result::{Jump, Measures, Outcome, PullEnd, TieRecord, Watch};
use super::super::watched::watched;
use super::{PULL, SETTLE, SIGHT, Tied};
use crate::math::Vec6;
use crate::mechanics::{Controls, Motion, Ramp, Solver, State, Strand};
use crate::model::{Case, Construct, StopRule, TieSpec};

#[derive(Clone)]
pub(super) struct Run<'a> {
    pub case: &'a Case,
    pub construct: &'a Construct,
    pub state: State,
    pub controls: Controls,
    pub before: Measures,
    /// Whether each tie is recorded.
    pub recorded: bool,
    pub ties: Vec<TieRecord>,
    pub jumps: Vec<Jump>,
    /// Steps of each pull.
    pub pull: Ramp,
}

impl<'a> Run<'a> {
    pub fn new(case: &'a Case, construct: &'a Construct, now: Tied) -> Self {
        Self {
            case,
            construct,
            state: now.state,
            controls: now.controls,
            before: Measures::default(),
            recorded: true,
            ties: Vec::new(),
            jumps: Vec::new(),
            pull: PULL,
        }
    }

    /// The loads that come on after tying.
    pub(super) fn after(&mut self, solver: &mut Solver<'_>) -> Result<(), Outcome> {
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
        note_jumps(self.construct, solver, &mut self.jumps, during);
        arrived(self.case, arrival, during)?;
        self.controls = to;
        check(solver, &self.state, &self.controls, during)
    }

    pub(super) fn tie(&mut self, solver: &mut Solver<'_>, tie: &TieSpec, during: &str) -> Result<(), Outcome> {
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
        let watch =
            |state: &State| watched.iter().map(|w| w.short(self.case, state.pose())).fold(f64::INFINITY, f64::min);
        let before = (!watched.is_empty()).then(|| watch(&self.state));
        let short = before.is_some_and(|short| short < -SIGHT);
        let mut to = self.controls.clone();
        for &k in &tie.limbs {
            to.pull[k] = self.construct.limbs[k].tension;
        }
        for &k in &tie.screws {
            to.tighten[k] = self.construct.screws[k].preload;
        }
        let until: Option<&dyn Fn(&State) -> f64> = if short { Some(&watch) } else { None };
        let arrival = solver.ramp(&mut self.state, &self.controls, &to, self.pull, until);
        note_jumps(self.construct, solver, &mut self.jumps, during);
        let fraction = arrived(self.case, arrival, during)?;
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
            watch: before.map(|before| Watch { before, after: watch(&self.state) }),
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
    fn lock(&mut self, solver: &mut Solver<'_>, tie: &TieSpec, during: &str) -> Result<(), Outcome> {
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

    /// An instrument holds the fragment where it lies while all else finds its rest.
    pub(super) fn hold(&mut self, solver: &mut Solver<'_>, during: &str) -> Result<(), Outcome> {
        self.controls.motion = Motion::Held;
        let to = self.controls.clone();
        let arrival = solver.ramp(&mut self.state, &self.controls, &to, SETTLE, None);
        arrived(self.case, arrival, during).map(|_| ())
    }

    /// The instrument lets go: the wrench that it bore is taken off gradually.
    pub(super) fn release(&mut self, solver: &mut Solver<'_>, during: &str) -> Result<(), Outcome> {
        self.controls.motion = Motion::Free;
        self.controls.instrument = -solver.net_wrench(&self.state, &self.controls);
        if self.controls.instrument == Vec6::zeros() {
            return Ok(());
        }
        let mut to = self.controls.clone();
        to.instrument = Vec6::zeros();
        self.ramp(solver, to, during)
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
        let changes = tensions.iter().enumerate().map(|(k, now)| now - before.map_or(0.0, |b| b[k])).collect();
        self.ties.push(TieRecord {
            limbs: tie.limbs.iter().map(|k| self.construct.limbs[*k].name.clone()).collect(),
            screws: tie.screws.iter().map(|k| self.construct.screws[*k].name.clone()).collect(),
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

    pub(super) fn measures(&self) -> Measures {
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
