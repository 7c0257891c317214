//! A repair tried by hand: tied so far, parts lost, the fragment moved and let go.
//!
//! ```
//! use rimhold::math::Vec3;
//! use rimhold::model::{Case, ConstructFile};
//! use rimhold::study::{Moment, Trial, TrialPlan};
//!
//! let case = Case::open("quarter")?;
//! let construct = ConstructFile::open("one-by-one")?.fit(&case)?;
//! let trial = Trial::run(&case, &construct, &TrialPlan::default(), &()).unwrap();
//! let first = trial.state(Moment::After(1)).unwrap();
//! println!("{:.1} mm of step after the first tie", first.measures.step.value);
//! let moved = trial.moved(Moment::End, Vec3::new(0.0, -1.0, 0.0)).unwrap();
//! println!("{:.0} N to move it 1 mm inferiorly", moved.load);
//! # assert!(moved.load > 0.0 && moved.back.is_some());
//! # Ok::<(), rimhold::model::Problems>(())
//! ```

use super::compare::bears;
use super::lose::Set;
use super::push::{PushPlan, Walked, never_begun, walked_by_hand};
use super::result::{Compared, LimbState, Measures, Outcome, Push, Start, TiedState};
use super::tie::{PULL, Sequence, Tied, let_go};
use super::{Refused, Watcher, measure};
use crate::math::{Vec3, rotation};
use crate::mechanics::{Pose, Rig, Setting, Solver, Strand};
use crate::model::{Case, Construct};

/// Cells of the bed while one drags, and how much farther a step of a pull may stray then: our choice, assumed; half the
/// time, and loads within a hundredth of those of all cells (see the tests).
const COARSE_CELLS: usize = 250;
const COARSER: f64 = 8.0;

/// How a repair is tied before it is tried.
#[derive(Debug, Clone, PartialEq)]
pub struct TrialPlan {
    /// Where tying starts.
    pub from: Start,
    /// The push of the repair, after which its numbers are read; none, where only its ties are.
    pub push: Option<PushPlan>,
    /// Whether all is computed; otherwise what can be had while one drags: on a coarser bed in coarser steps, without the
    /// push to failure and without that of the repair as tied beside the settled one.
    pub whole: bool,
    /// Names of parts that are lost after the last tie.
    pub lost: Vec<String>,
}

impl Default for TrialPlan {
    fn default() -> Self {
        Self { from: Start::Displaced, push: Some(PushPlan::default()), whole: true, lost: Vec::new() }
    }
}

/// A moment of a repair.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Moment {
    /// After so many ties; none: before the first.
    After(usize),
    /// After all of them and what was lost, as tied.
    Tied,
    /// The same, settled where the push is of the settled repair.
    End,
}

/// The fragment moved by hand, and let go.
#[derive(Debug, Clone, PartialEq)]
pub struct HandMoved {
    /// Load that holds it there, N.
    pub load: f64,
    /// Largest load on the way, N.
    pub most: f64,
    /// How far its reference point went along the pull, mm: less than it was to go where fixation fails on the way.
    pub reached: f64,
    /// How the move ended.
    pub outcome: Outcome,
    /// The state there.
    pub there: TiedState,
    /// The state after it was let go; absent where it finds none.
    pub back: Option<TiedState>,
}

/// A repair that was tied, lost what it lost, and was pushed.
#[derive(Debug, Clone)]
pub struct Trial {
    /// The case.
    pub case: Case,
    /// The construct.
    pub construct: Construct,
    /// How the fragment lay before the first tie.
    pub before: Measures,
    /// Whether all was computed.
    pub whole: bool,
    /// What was found: its ties, as tied, its pushes.
    pub found: Compared,
    rig: Rig,
    push: Option<PushPlan>,
    /// Before the first tie and after each.
    ties: Vec<Tied>,
    tied: Option<Tied>,
    settled: Option<Tied>,
}

impl Trial {
    /// Ties a construct, takes off what is lost, and pushes it.
    ///
    /// # Errors
    /// Names that no part has, and an end that was asked for.
    pub fn run(case: &Case, construct: &Construct, plan: &TrialPlan, watcher: &dyn Watcher) -> Result<Self, Refused> {
        let mut case = case.clone();
        let (mut pull, mut push) = (PULL, plan.push.clone());
        if !plan.whole {
            case.bed.cells = case.bed.cells.min(COARSE_CELLS);
            pull.stray *= COARSER;
            push.iter_mut().for_each(|push| push.steps = push.steps.div_ceil(2));
        }
        let case = &case;
        let rig = super::rig(case, construct, plan.from);
        let mut sequence = Sequence::start(case, construct, &rig, plan.from).in_steps(pull);
        let mut ties = vec![sequence.now()];
        for tie in &construct.ties {
            if watcher.stops() {
                return Err(Refused::Ended);
            }
            sequence.next(tie);
            if !sequence.is_held() {
                break;
            }
            ties.push(sequence.now());
        }
        if let Some(lost) = Set::named(construct, &plan.lost)? {
            sequence.lose(&lost.limbs, &lost.screws);
        }
        let before = sequence.before();
        let mut tying = sequence.finish();
        if tying.hold.clear_if_doubtful() {
            tying.tied = None;
        }
        if watcher.stops() {
            return Err(Refused::Ended);
        }
        let tied = tying.tied.as_ref();
        let (found, settled) = bears((case, construct, &rig), tying.hold, tied, push.as_ref(), plan.whole, watcher);
        if watcher.stops() {
            return Err(Refused::Ended);
        }
        let (case, construct) = (case.clone(), construct.clone());
        Ok(Self { case, construct, before, whole: plan.whole, found, rig, push, ties, tied: tying.tied, settled })
    }

    /// The push, also one that never began; `None` where none was asked for.
    pub fn push(&self) -> Option<Push> {
        let plan = self.push.as_ref()?;
        let outcome = || self.found.hold.outcome.clone();
        let never = || never_begun(&self.case, &self.construct, plan, outcome());
        Some(self.found.push.clone().unwrap_or_else(never))
    }

    /// Whether the repair was settled and came to rest.
    pub fn is_settled(&self) -> bool {
        self.settled.is_some()
    }

    fn at(&self, moment: Moment) -> Option<&Tied> {
        match moment {
            Moment::After(ties) => self.ties.get(ties),
            Moment::Tied => self.tied.as_ref(),
            Moment::End => self.settled.as_ref().or(self.tied.as_ref()),
        }
    }

    /// The state at a moment; what is not tied yet, or was lost, has no path and no screw. `None` where fixation failed
    /// before.
    pub fn state(&self, moment: Moment) -> Option<TiedState> {
        let mut solver = Solver::new(&self.rig);
        self.at(moment).map(|tied| self.seen(&mut solver, tied))
    }

    fn seen(&self, solver: &mut Solver<'_>, tied: &Tied) -> TiedState {
        let mut seen = measure::tied_state(&self.case, &self.construct, solver, &tied.state, &tied.controls);
        for (limb, strand) in seen.limbs.iter_mut().zip(&tied.state.strands) {
            if *strand == Strand::Loose {
                untie(limb);
            }
        }
        let mut set = tied.state.screws.iter().map(|screw| *screw != Setting::Absent);
        seen.screws.retain(|_| set.next().unwrap_or(false));
        seen
    }

    /// Where the fragment was given up when fixation failed while it was tied: its pose alone, to be drawn. It is no state of
    /// rest, and no number of it is a result. `None` where tying came to its end.
    pub fn given_up(&self) -> Option<TiedState> {
        let Outcome::NotHeld { shift, turn, .. } = self.found.hold.outcome else {
            return None;
        };
        let turn = rotation(&Vec3::from(turn).map(f64::to_radians));
        let mut seen = self.state(Moment::After(self.ties.len() - 1))?;
        seen.measures = measure::measures(&self.case.fragment, &Pose { shift: shift.into(), turn });
        seen.limbs.iter_mut().for_each(untie);
        seen.screws.clear();
        seen.anchors.iter_mut().for_each(|anchor| anchor.force = 0.0);
        seen.bed.cells.clear();
        Some(seen)
    }

    /// Moves the fragment from where it lies at a moment by so many millimetres of the socket frame, 10 at most, and lets
    /// it go.
    /// `None` without a state to move it from.
    pub fn moved(&self, moment: Moment, by: Vec3) -> Option<HandMoved> {
        let from = self.at(moment)?;
        let mut solver = Solver::new(&self.rig);
        solver.home = *from.state.pose();
        let walked = walked_by_hand(&self.case, &self.construct, &mut solver, from, by);
        let Walked { there, reached, most, outcome } = walked;
        let load = there.state.configuration.load;
        let seen = self.seen(&mut solver, &there);
        let back = let_go(&self.case, &self.construct, &mut solver, &there).ok();
        let back = back.map(|tied| self.seen(&mut solver, &tied));
        Some(HandMoved { load, most, reached, outcome, there: seen, back })
    }
}

/// What of a limb is drawn where it is not tied: nothing.
fn untie(limb: &mut LimbState) {
    limb.path.clear();
    limb.kinds.clear();
    limb.tensions.clear();
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::ConstructFile;
    use crate::study::{ComparePlan, LosePlan, compare, lose};

    fn scene() -> (Case, Construct) {
        let case = Case::open("quarter").unwrap();
        let construct = ConstructFile::open("one-by-one").unwrap().fit(&case).unwrap();
        (case, construct)
    }

    #[test]
    fn its_numbers_are_those_of_compare_and_of_lose() {
        let (case, construct) = scene();
        for from in [Start::Reduced, Start::Displaced] {
            let trial = Trial::run(&case, &construct, &TrialPlan { from, ..TrialPlan::default() }, &()).unwrap();
            assert_eq!(trial.found, compare(&case, &construct, &ComparePlan { from, ..ComparePlan::default() }));
        }
        let together = vec!["superior-loop".to_owned()];
        let plan = LosePlan { together: together.clone(), ..LosePlan::default() };
        let lost = lose(&case, &construct, &[], &plan, &()).unwrap().losses;
        let lost = lost.iter().find(|l| l.together).unwrap();
        let plan = TrialPlan { from: Start::Reduced, lost: together, ..TrialPlan::default() };
        let trial = Trial::run(&case, &construct, &plan, &()).unwrap();
        assert_eq!(trial.found.ultimate.unwrap().failure, lost.after.failure);
        assert_eq!(trial.found.push.unwrap().load_at[1], lost.after.load);
    }

    /// While one drags: loads within 1 % of those of all cells, step-off within 0.03 mm, for every built-in construct on the
    /// default case (found: 0.4 %, 0.013 mm).
    #[test]
    fn what_is_had_while_one_drags_is_near() {
        let case = Case::open("quarter").unwrap();
        for (name, _) in crate::model::CONSTRUCTS {
            let construct = ConstructFile::open(name).unwrap().fit(&case).unwrap();
            let run = |whole| {
                let found =
                    Trial::run(&case, &construct, &TrialPlan { whole, ..TrialPlan::default() }, &()).unwrap().found;
                let step = found.hold.tied.as_ref().map(|t| t.measures.step.value);
                (found.push.and_then(|p| p.load_at[1]), step, found.ultimate.is_some())
            };
            let (near, whole) = (run(false), run(true));
            assert!(!near.2);
            let apart = |a: Option<f64>, b: Option<f64>| a.zip(b).map(|(a, b)| (a - b).abs());
            assert_eq!(near.0.is_some(), whole.0.is_some(), "{name}");
            if let (Some(load), Some(step)) = (apart(near.0, whole.0), apart(near.1, whole.1)) {
                assert!(load < 0.01 * whole.0.unwrap() && step < 0.03, "{name}: {near:?} {whole:?}");
            }
        }
    }

    /// Moved along the direction of a push in its steps it takes what the push takes, to what the balance of a state may be
    /// off; let go, it lies nearer to where it lay than where it was moved to. Beyond its peak the load that holds it is less
    /// than the largest on the way.
    #[test]
    fn moved_by_hand_is_pushed_and_it_springs_back() {
        let (case, construct) = scene();
        let trial = Trial::run(&case, &construct, &TrialPlan::default(), &()).unwrap();
        let push = trial.found.push.as_ref().unwrap();
        let moved = trial.moved(Moment::End, Vec3::from(push.vector)).unwrap();
        assert!(moved.outcome.is_held());
        assert!((moved.load - push.load_at[1].unwrap()).abs() < 1e-4, "{} {:?}", moved.load, push.load_at);
        let far = trial.moved(Moment::End, 10.0 * Vec3::from(push.vector)).unwrap();
        assert!(far.most > 1.2 * far.load && far.most > moved.load, "{} {}", far.most, far.load);
        let lay = trial.state(Moment::End).unwrap().measures.pose().shift;
        let off = |state: &TiedState| (state.measures.pose().shift - lay).norm();
        assert!((off(&moved.there) - 1.0).abs() < 0.2, "{}", off(&moved.there));
        let back = moved.back.unwrap();
        assert!(back.certificate.holds());
        assert!(off(&back) < 0.9 * off(&moved.there), "{}", off(&back));
    }

    /// With the bridge first fixation fails on the default case: the fragment is drawn where it was given up, far from its
    /// place, and nothing holds it.
    #[test]
    fn a_fragment_that_is_lost_is_where_it_was_given_up() {
        let case = Case::open("quarter").unwrap();
        let own = ConstructFile::open("two-by-two-crossed").unwrap().fit(&case).unwrap();
        let ties = crate::study::bridge_first(&own).iter().map(|k| own.ties[*k].clone()).collect();
        let construct = Construct { ties, ..own.clone() };
        let plan = TrialPlan { push: None, ..TrialPlan::default() };
        let trial = Trial::run(&case, &construct, &plan, &()).unwrap();
        let Outcome::NotHeld { shift, .. } = trial.found.hold.outcome else { panic!("it holds") };
        let lost = trial.given_up().unwrap();
        assert!((Vec3::from(lost.measures.shift) - Vec3::from(shift)).norm() < 1e-9);
        assert!(lost.limbs.iter().all(|limb| limb.path.is_empty()));
        assert_eq!(Trial::run(&case, &own, &plan, &()).unwrap().given_up(), None);
    }

    #[test]
    fn before_the_first_tie_nothing_is_tied() {
        let (case, construct) = scene();
        let trial = Trial::run(&case, &construct, &TrialPlan::default(), &()).unwrap();
        let before = trial.state(Moment::After(0)).unwrap();
        assert_eq!(before.measures, trial.before);
        assert!(before.limbs.iter().all(|l| l.path.is_empty()));
        let first = trial.state(Moment::After(1)).unwrap();
        assert_eq!(first.limbs.iter().filter(|l| !l.path.is_empty()).count(), construct.ties[0].limbs.len());
        assert_eq!(trial.state(Moment::After(9)), None);
    }
}
