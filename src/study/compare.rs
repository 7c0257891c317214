//! One construct of a comparison: tied, pushed, and pushed round the bed plane.

use super::push::{PushPlan, push, rose};
use super::result::{Compared, Outcome, Start};
use super::tie::tie;
use crate::case::{Case, Construct};

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
    Compared {
        hold,
        push: pushed,
        rose: petals,
        reading: Vec::new(),
    }
}

impl Compared {
    /// Whether any state could not be certified: no finding, but a defect to be told.
    pub fn is_doubtful(&self) -> bool {
        let bad = |outcome: &Outcome| matches!(outcome, Outcome::Uncertified { .. });
        bad(&self.hold.outcome) || self.push.as_ref().is_some_and(|p| bad(&p.outcome))
    }
}
