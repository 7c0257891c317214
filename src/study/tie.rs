//! Tying: an ordered sequence of pulls and locks, from the reduced or the displaced pose.
//!
//! Each tie pulls its limbs together from zero to their target, stops by its rule, and locks them
//! with the knot's growth. What the fragment does meanwhile (against friction, tissue and every
//! limb already tied) is solved, not assumed.

use super::measure;
use super::result::{Hold, Jump, Measures, Mode, Outcome, PullEnd, Start, TieRecord};
use super::setup;
use crate::case::{Case, Construct, StopRule, TieSpec};
use crate::math::{Vec3, Vec6, lower, upper};
use crate::mechanics::{
    Arrival, Certificate, Controls, Motion, Pose, Ramp, Rig, Settings, Solver, State, Strand,
};

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

/// A watched point this close to its reduced place at the start of a pull (mm) is not short of it:
/// far below what eye and probe can tell.
const SIGHT: f64 = 0.1;

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
    let mut solver = Solver::new(rig);
    let mut run = Run {
        case,
        construct,
        state: rig.laid(setup::start_pose(case, from)),
        controls: Controls::idle(rig.limbs.len()),
        ties: Vec::new(),
        jumps: Vec::new(),
        pull,
    };
    let end = run.whole(&mut solver);
    let outcome = end.err().unwrap_or(Outcome::Held);
    let tied = outcome
        .is_held()
        .then(|| measure::tied_state(case, construct, &mut solver, &run.state, &run.controls));
    let hold = Hold {
        construct: construct.name.clone(),
        from,
        outcome,
        ties: run.ties,
        jumps: run.jumps,
        tied,
    };
    let ready = hold.outcome.is_held().then_some(Tied {
        state: run.state,
        controls: run.controls,
    });
    (hold, ready)
}

struct Run<'a> {
    case: &'a Case,
    construct: &'a Construct,
    state: State,
    controls: Controls,
    ties: Vec<TieRecord>,
    jumps: Vec<Jump>,
    pull: Ramp,
}

impl Run<'_> {
    fn whole(&mut self, solver: &mut Solver<'_>) -> Result<(), Outcome> {
        // An instrument has laid the fragment where it starts; it lets go before the first tie.
        self.release(solver, "release before tying")?;
        for tie in &self.construct.ties {
            let names: Vec<&str> = tie
                .limbs
                .iter()
                .map(|k| self.construct.limbs[*k].name.as_str())
                .collect();
            self.tie(solver, tie, &format!("tie of {}", names.join(" + ")))?;
        }
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
        for &k in &tie.limbs {
            self.state.strands[k] = Strand::Pulled;
        }
        if tie.held {
            self.controls.motion = Motion::Held;
        }
        let watched = self.watched(solver, tie);
        let watch = |state: &State| {
            watched
                .iter()
                .map(|w| w.short(self.case, state.pose()))
                .fold(f64::INFINITY, f64::min)
        };
        let short = !watched.is_empty() && watch(&self.state) < -SIGHT;
        let mut to = self.controls.clone();
        for &k in &tie.limbs {
            to.pull[k] = self.construct.limbs[k].tension;
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
        check(solver, &self.state, &self.controls, during)?;
        let end = match (tie.stop, short) {
            (StopRule::Tension, _) => PullEnd::Tension,
            (StopRule::Reduced, false) => PullEnd::NotReducing,
            (StopRule::Reduced, true) if fraction < 1.0 => PullEnd::Reduced,
            (StopRule::Reduced, true) => PullEnd::Cap,
        };
        let pulled = self.controls.pull[tie.limbs[0]];
        self.lock(solver, tie, during)?;
        if tie.held {
            self.release(solver, during)?;
        }
        self.record(solver, tie, end, pulled);
        Ok(())
    }

    /// The points that a reducing tie watches.
    fn watched(&self, solver: &Solver<'_>, tie: &TieSpec) -> Vec<Watched> {
        if tie.stop != StopRule::Reduced {
            return Vec::new();
        }
        let rig = solver.rig();
        tie.limbs
            .iter()
            .filter_map(|&k| {
                let spec = &self.construct.limbs[k];
                let places = super::taut::places(&self.case.fragment, self.construct, spec);
                let on_fragment = |v: &usize| rig.is_on_fragment(k, *v);
                let bite = (0..places.len())
                    .find(|v| matches!(spec.path[*v], crate::case::Stop::Bite { .. }));
                let turn = bite.or_else(|| (0..places.len()).find(on_fragment))?;
                let pull = solver.unit_pull(&self.state, k);
                let normal = self.case.fragment.normal;
                let in_bed = pull - normal * pull.dot(&normal);
                Some(Watched {
                    point: measure::nearest_on_line(&self.case.fragment, &places[turn]),
                    direction: in_bed.try_normalize(1e-9)?,
                })
            })
            .collect()
    }

    /// Locks the limbs of a tie and lets their knots grow.
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

    /// Relaxation after the last tie: every strand keeps a fraction of its tension at the pose it
    /// has, then all is solved again.
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
        let mut to = self.controls.clone();
        to.feed = 1.0;
        self.ramp(solver, to, "relaxation")?;
        solver.absorb_feed(&mut self.state, &mut self.controls);
        Ok(())
    }

    fn record(&mut self, solver: &mut Solver<'_>, tie: &TieSpec, end: PullEnd, pulled: f64) {
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
            end,
            pulled,
            locked: tie.limbs.iter().map(|k| tensions[*k]).collect(),
            changes,
            paths,
            tensions,
            friction_work: 0.0,
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

/// A point of the articular fracture line and the in-bed direction in which a limb pulls it.
struct Watched {
    point: Vec3,
    direction: Vec3,
}

impl Watched {
    /// How far the point is beyond its reduced place along the pull, mm; negative is short of it.
    fn short(&self, case: &Case, pose: &Pose) -> f64 {
        let place = pose.place(&case.fragment.centroid, &self.point);
        (place - self.point).dot(&self.direction)
    }
}

/// Turns the solver's leaps into findings.
pub(super) fn note_jumps(solver: &mut Solver<'_>, jumps: &mut Vec<Jump>, during: &str) {
    jumps.extend(solver.leaps.drain(..).map(|leap| Jump {
        during: during.to_owned(),
        shift: upper(&leap.twist).norm(),
        turn: lower(&leap.twist).norm().to_degrees(),
    }));
}

/// The fraction reached, or how the study ends.
pub(super) fn arrived(case: &Case, arrival: Arrival, during: &str) -> Result<f64, Outcome> {
    let during = during.to_owned();
    match arrival {
        Arrival::Arrived(fraction) => Ok(fraction),
        Arrival::Lost(pose) => Err(Outcome::NotHeld {
            mode: mode(case, &pose),
            during,
            shift: pose.shift.into(),
            turn: pose.turn.scaled_axis().map(f64::to_degrees).into(),
        }),
        Arrival::Free(pose) => Err(Outcome::NotHeld {
            mode: Mode::Free,
            during,
            shift: pose.shift.into(),
            turn: pose.turn.scaled_axis().map(f64::to_degrees).into(),
        }),
        Arrival::Stuck {
            net_force,
            net_moment,
        } => Err(Outcome::Uncertified {
            during,
            net_force,
            net_moment,
        }),
    }
}

/// How a lost fragment has gone: turned over, out of its bed, or along it.
fn mode(case: &Case, pose: &Pose) -> Mode {
    let off = pose.shift.dot(&case.fragment.normal);
    if pose.turn.angle() >= Settings::default().lost_turn {
        Mode::Turns
    } else if off > 0.5 * pose.shift.norm() {
        Mode::LiftOff
    } else {
        Mode::Slides
    }
}

/// Certifies a state, or says that it cannot be.
pub(super) fn check(
    solver: &mut Solver<'_>,
    state: &State,
    controls: &Controls,
    during: &str,
) -> Result<(), Outcome> {
    let certificate = solver.certify(state, controls);
    refusal(&certificate, during).map_or(Ok(()), Err)
}

/// Why a state whose certificate does not hold is refused; `None` when it holds.
pub(super) fn refusal(certificate: &Certificate, during: &str) -> Option<Outcome> {
    (!certificate.holds()).then(|| Outcome::Uncertified {
        during: during.to_owned(),
        net_force: certificate.net_force.max(certificate.net_node_force),
        net_moment: certificate.net_moment,
    })
}
