//! What holds better: constructs tied, pushed, and pushed round the bed plane.
//!
//! ```
//! use rimhold::model::{Case, ConstructFile};
//! use rimhold::study::{ComparePlan, compare_all};
//!
//! let case = Case::open("small")?;
//! let fit = |name| ConstructFile::open(name)?.fit(&case);
//! let constructs = [fit("single-row")?, fit("one-by-one")?];
//! for found in compare_all(&case, &constructs, &ComparePlan::default(), &()) {
//!     let load = found.push.and_then(|push| push.load_at[1]);
//!     println!("{}: {load:.0?} N at 1 mm", found.hold.construct);
//! }
//! # Ok::<(), rimhold::model::Problems>(())
//! ```

use super::Watcher;
use super::push::{PushPlan, push, pushed_on, rose};
use super::result::{Compared, Hold, Start, Tally};
use super::tie::{Tied, tie, tie_in_steps};
use crate::mechanics::{Ramp, Rig};
use crate::model::{Case, Construct};
use crate::par;

/// Directions of a rose.
const PETALS: usize = 24;

/// What to do with each construct.
#[derive(Debug, Clone, PartialEq)]
pub struct ComparePlan {
    /// Where tying starts.
    pub from: Start,
    /// The push, if one is asked for.
    pub push: Option<PushPlan>,
    /// Whether to push round the bed plane too.
    pub rose: bool,
    /// Steps of each pull, all alike; adaptive ones when absent.
    pub pull_steps: Option<usize>,
}

impl Default for ComparePlan {
    fn default() -> Self {
        Self { from: Start::Reduced, push: Some(PushPlan::default()), rose: false, pull_steps: None }
    }
}

/// Ties (and pushes) every construct. Each is solved by one thread, so digits do not depend on how many
/// there are.
pub fn compare_all(case: &Case, constructs: &[Construct], plan: &ComparePlan, watcher: &dyn Watcher) -> Vec<Compared> {
    watcher.stage(constructs.len() as u64, "constructs");
    let one = |construct: &Construct| {
        let found = compare(case, construct, plan);
        watcher.step();
        found
    };
    par::map(constructs, one)
}

/// Ties (and pushes) a construct.
pub fn compare(case: &Case, construct: &Construct, plan: &ComparePlan) -> Compared {
    let rig = super::rig(case, construct, plan.from);
    let (mut hold, mut tied) = match plan.pull_steps {
        None => tie(case, construct, &rig, plan.from),
        Some(n) => {
            let step = 1.0 / n as f64;
            tie_in_steps(
                case,
                construct,
                &rig,
                plan.from,
                Ramp { first: step, largest: step, continued: false, ..Ramp::EVEN },
            )
        }
    };
    if hold.clear_if_doubtful() {
        tied = None;
    }
    let (mut found, settled) = bears((case, construct, &rig), hold, tied.as_ref(), plan.push.as_ref(), true, &());
    if let (Some(tied), Some(push), true) = (&tied, &plan.push, plan.rose) {
        // What is settled already is not settled again.
        let push = PushPlan { settled: push.settled && settled.is_none(), ..push.clone() };
        found.rose = Some(rose(case, construct, &rig, settled.as_ref().unwrap_or(tied), &push, PETALS));
    }
    found
}

/// What a tied repair bears; where that is asked, to failure and as tied too. With the settled one, where it was to be
/// settled.
pub(super) fn bears(
    (case, construct, rig): (&Case, &Construct, &Rig),
    hold: Hold,
    tied: Option<&Tied>,
    plan: Option<&PushPlan>,
    to_failure: bool,
    watcher: &dyn Watcher,
) -> (Compared, Option<Tied>) {
    let mut found = Compared { hold, push: None, as_tied: None, ultimate: None, rose: None };
    let (Some(tied), Some(plan)) = (tied, plan) else {
        return (found, None);
    };
    if plan.settled && to_failure {
        let as_tied = PushPlan { settled: false, ..plan.clone() };
        found.as_tied = Some(push(case, construct, rig, tied, &as_tied).load_at);
    }
    let (push, ultimate, settled) = pushed_on((case, construct, rig), tied, plan, to_failure, watcher);
    (found.push, found.ultimate) = (Some(push), ultimate);
    (found, settled)
}

impl Compared {
    /// Whether any state of ties, push or rose could not be certified: no finding, but a defect to be
    /// told.
    pub fn is_doubtful(&self) -> bool {
        let to_failure = self.ultimate.as_ref().is_some_and(|u| u.outcome.is_uncertified());
        to_failure || !Tally::of(self).is_whole()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::ConstructFile;
    use crate::study::result::Outcome;

    #[test]
    fn a_state_that_is_not_certified_is_told_wherever_it_is() {
        let case = Case::open("small").unwrap();
        let construct = ConstructFile::open("single-row").unwrap().fit(&case).unwrap();
        let plan =
            ComparePlan { from: Start::Reduced, push: Some(PushPlan::default()), rose: true, ..ComparePlan::default() };
        let sound = compare(&case, &construct, &plan);
        assert!(!sound.is_doubtful());
        // Ties and tied state, push, and every state of every petal.
        let count = |c: &Compared| {
            let petals = c.rose.iter().flatten().map(|p| p.tally.states);
            c.hold.ties.len() + 1 + c.push.as_ref().unwrap().curve.len() + petals.sum::<usize>()
        };
        let tally = Tally::of(&sound);
        assert_eq!((tally.states, tally.certified), (count(&sound), count(&sound)));
        assert!(sound.rose.iter().flatten().all(|p| p.tally.states == 21));
        let doubt = || Outcome::Uncertified { during: "push".to_owned(), net_force: 1.0, net_moment: 0.0 };
        type Spoil = fn(&mut Compared, Outcome);
        let spoil: [Spoil; 4] = [
            |c, doubt| c.hold.outcome = doubt,
            |c, doubt| c.push.as_mut().unwrap().outcome = doubt,
            |c, _| c.push.as_mut().unwrap().curve[3].certificate.net_force = 1.0,
            |c, _| c.rose.as_mut().unwrap()[5].tally.certified -= 1,
        ];
        for (k, spoil) in spoil.iter().enumerate() {
            let mut spoiled = sound.clone();
            spoil(&mut spoiled, doubt());
            assert!(spoiled.is_doubtful(), "{k}");
        }
    }
}
