//! One construct of a comparison: tied, pushed, and pushed round the bed plane.

use super::push::{PushPlan, push, rose};
use super::result::{Compared, Start, Tally};
use super::tie::tie;
use crate::model::{Case, Construct};

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
}

/// Ties (and pushes) a construct. The reading is left empty.
pub fn compare(case: &Case, construct: &Construct, plan: &ComparePlan) -> Compared {
    let rig = super::rig(case, construct, plan.from);
    let (mut hold, mut tied) = tie(case, construct, &rig, plan.from);
    if hold.clear_if_doubtful() {
        tied = None;
    }
    let mut pushed = None;
    let mut petals = None;
    if let (Some(tied), Some(push_plan)) = (&tied, &plan.push) {
        pushed = Some(push(case, construct, &rig, tied, push_plan));
        if plan.rose {
            petals = Some(rose(case, construct, &rig, tied, PETALS));
        }
    }
    Compared { hold, push: pushed, rose: petals, reading: Vec::new() }
}

impl Compared {
    /// Whether any state of ties, push or rose could not be certified: no finding, but a defect to be
    /// told.
    pub fn is_doubtful(&self) -> bool {
        !Tally::of(self).is_whole()
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
        let plan = ComparePlan { from: Start::Reduced, push: Some(PushPlan::default()), rose: true };
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
