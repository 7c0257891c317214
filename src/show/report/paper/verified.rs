//! What a report tells of verification: the case's own refinement and balance, and the suite.

use super::fact::{Fact, Facts};
use crate::list::distinct;
use crate::show::report::verify::refined;
use crate::show::words::{joined, pushed};
use crate::study::PushPlan;
use crate::verify::Verification;
use crate::verify::refinement::{CELLS, PULLS, PUSHES};
use serde::Serialize;

/// What was verified in a run.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct Verified {
    /// The case with each of its constructs that is held.
    pub case: Verification,
    /// Constructs of which nothing could be refined, because they are not held.
    pub left_out: Vec<String>,
    /// The program's whole suite; absent when it was not run.
    pub suite: Option<Verification>,
}

impl Verified {
    /// Whether anything was refined, so that orders of convergence are told.
    pub(super) fn has_refined(&self) -> bool {
        !self.case.series.is_empty() || self.suite.as_ref().is_some_and(|s| !s.series.is_empty())
    }
}

/// How many checks and refinements there were and how many were within tolerance, what was not, and what they are
/// held against.
fn counts(found: &Verification) -> Facts {
    let checks = found.checks.iter().filter(|c| !c.passed).map(|c| match &c.trouble {
        None => c.name.clone(),
        Some(trouble) => format!("{}: {trouble}", c.name),
    });
    let series = found.series.iter().filter(|s| !s.passed);
    let series = series.map(|s| format!("{}: {} by {}", s.subject, s.quantity, refined(s.refined)));
    let (beyond_checks, beyond_series) = (checks.collect::<Vec<_>>(), series.collect::<Vec<_>>());
    Facts(vec![
        ("checks", Fact::count(found.checks.len(), "").into()),
        ("checks_within", Fact::count(found.checks.len() - beyond_checks.len(), "").into()),
        ("series", Fact::count(found.series.len(), "").into()),
        ("series_within", Fact::count(found.series.len() - beyond_series.len(), "").into()),
        ("beyond", [beyond_checks, beyond_series].concat().into()),
        ("against", distinct(found.checks.iter().map(|c| &c.source)).into()),
    ])
}

/// What page and methods section say of verification: of the case where a construct is held, of the suite where it
/// was run.
pub(super) fn verification(found: &Verified) -> Facts {
    let plan = PushPlan::default();
    let list = |levels: &[usize]| joined(&levels.iter().map(usize::to_string).collect::<Vec<_>>());
    let any = !(found.case.checks.is_empty() && found.case.series.is_empty());
    let left_out = if found.left_out.is_empty() { String::new() } else { joined(&found.left_out) };
    Facts(vec![
        ("case", any.then(|| counts(&found.case)).into()),
        ("left_out", left_out.into()),
        ("suite", found.suite.as_ref().map(counts).into()),
        ("cells", list(&CELLS).into()),
        ("pushes", list(&PUSHES).into()),
        ("pulls", list(&PULLS).into()),
        ("pushed", pushed(&plan.direction.name).into()),
        ("to", Fact::exact(plan.to, "mm").into()),
    ])
}
