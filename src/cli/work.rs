//! The work itself: constructs side by side on all cores, results in the order given.

use super::progress::Progress;
use crate::case::{Case, Construct};
use crate::report::reading;
use crate::study::result::{Certificate, Compared, Outcome, Start};
use crate::study::{PushPlan, push, rig, rose, tie};
use rayon::prelude::*;

/// Directions of a rose.
const PETALS: usize = 24;

/// What to do with each construct.
#[derive(Debug, Clone)]
pub(super) struct Plan {
    /// Where tying starts.
    pub from: Start,
    /// The push, if one is asked for.
    pub push: Option<PushPlan>,
    /// Whether to push round the bed plane too.
    pub rose: bool,
}

/// Ties (and pushes) every construct. Each is solved by one thread, so digits do not depend on
/// how many there are.
pub(super) fn work(
    case: &Case,
    constructs: &[Construct],
    plan: &Plan,
    quiet: bool,
) -> Vec<Compared> {
    let progress = Progress::start(constructs.len(), quiet);
    constructs
        .par_iter()
        .map(|construct| {
            let result = one(case, construct, plan);
            progress.step();
            result
        })
        .collect()
}

fn one(case: &Case, construct: &Construct, plan: &Plan) -> Compared {
    let rig = rig(case, construct, plan.from);
    let (mut hold, mut tied) = tie(case, construct, &rig, plan.from);
    // The studies certify each state that they accept; this is the last gate before a reader.
    let doubtful = hold
        .ties
        .iter()
        .map(|t| &t.certificate)
        .chain(hold.tied.as_ref().map(|t| &t.certificate))
        .find(|c| !c.holds())
        .map(|c| uncertified(c, "tying"));
    if let Some(outcome) = doubtful {
        hold.outcome = outcome;
        hold.ties.clear();
        hold.tied = None;
        tied = None;
    }
    let mut petals = None;
    let mut pushed = None;
    if let (Some(tied), Some(push_plan)) = (&tied, &plan.push) {
        let mut result = push(case, construct, &rig, tied, push_plan);
        if let Some(k) = result.curve.iter().position(|p| !p.certificate.holds()) {
            result.outcome = uncertified(&result.curve[k].certificate, "push");
            result.curve.truncate(k);
            result.load_at = crate::study::MARKS.map(|m| crate::study::load_at(&result.curve, m));
            let reach = result.curve.last().map_or(0.0, |p| p.displacement);
            result.events.retain(|e| e.displacement <= reach);
            result.peak = result
                .curve
                .iter()
                .max_by(|a, b| a.load.total_cmp(&b.load))
                .map(|p| [p.load, p.displacement]);
        }
        pushed = Some(result);
        if plan.rose {
            petals = Some(rose(case, construct, &rig, tied, PETALS));
        }
    }
    Compared {
        reading: reading(case, &hold, pushed.as_ref()),
        hold,
        push: pushed,
        rose: petals,
    }
}

fn uncertified(certificate: &Certificate, during: &str) -> Outcome {
    Outcome::Uncertified {
        during: during.to_owned(),
        net_force: certificate.net_force.max(certificate.net_node_force),
        net_moment: certificate.net_moment,
    }
}

/// Whether any state could not be certified: no finding, but a defect to be told.
pub(super) fn has_uncertified(results: &[Compared]) -> bool {
    let bad = |outcome: &Outcome| matches!(outcome, Outcome::Uncertified { .. });
    results
        .iter()
        .any(|r| bad(&r.hold.outcome) || r.push.as_ref().is_some_and(|p| bad(&p.outcome)))
}
