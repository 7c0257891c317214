//! What a report tells of verification: the case's own refinement and balance, and the suite.

use super::fact::Fact;
use crate::show::report::verify::refined;
use crate::show::words::{joined, pushed};
use crate::study::PushPlan;
use crate::verify::Verification;
use crate::verify::refinement::{CELLS, PULLS, PUSHES};
use schemars::JsonSchema;
use serde::Serialize;

/// What was verified in a run.
#[derive(Debug, Clone, Default, PartialEq, Serialize, JsonSchema)]
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

/// How many checks and refinements there were, and how many were within tolerance.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Counts {
    /// Checks.
    pub checks: Fact,
    /// Those within tolerance.
    pub checks_within: Fact,
    /// Quantities refined.
    pub series: Fact,
    /// Those within tolerance.
    pub series_within: Fact,
    /// What is out of tolerance, in words.
    pub beyond: Vec<String>,
    /// What the checks are held against, each once.
    pub against: Vec<String>,
}

impl Counts {
    fn of(found: &Verification) -> Self {
        let within = |passed: usize| Fact::count(passed, "");
        let checks = found.checks.iter().filter(|c| !c.passed);
        let series = found.series.iter().filter(|s| !s.passed);
        let beyond = checks
            .map(|c| match &c.trouble {
                None => c.name.clone(),
                Some(trouble) => format!("{}: {trouble}", c.name),
            })
            .chain(series.map(|s| format!("{}: {} by {}", s.subject, s.quantity, refined(s.refined))))
            .collect();
        Self {
            checks: within(found.checks.len()),
            checks_within: within(found.checks.iter().filter(|c| c.passed).count()),
            series: within(found.series.len()),
            series_within: within(found.series.iter().filter(|s| s.passed).count()),
            beyond,
            against: against(found),
        }
    }
}

/// The sources of checks, each once.
fn against(found: &Verification) -> Vec<String> {
    let mut list: Vec<String> = Vec::new();
    for c in &found.checks {
        if !list.contains(&c.source) {
            list.push(c.source.clone());
        }
    }
    list
}

/// What page and methods section say of verification.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Checked {
    /// Of the case; absent when no construct is held.
    pub case: Option<Counts>,
    /// Constructs left out, joined; empty when there are none.
    pub left_out: String,
    /// Of the suite; absent when it was not run.
    pub suite: Option<Counts>,
    /// Cells of the bed aimed at, coarsest first.
    pub cells: String,
    /// Steps of the push, fewest first.
    pub pushes: String,
    /// Steps of each pull, fewest first.
    pub pulls: String,
    /// Direction of the push that was refined.
    pub pushed: String,
    /// Its distance.
    pub to: Fact,
}

impl Checked {
    pub(super) fn new(found: &Verified) -> Self {
        let plan = PushPlan::default();
        let list = |levels: &[usize]| joined(&levels.iter().map(usize::to_string).collect::<Vec<_>>());
        let any = !(found.case.checks.is_empty() && found.case.series.is_empty());
        Self {
            case: any.then(|| Counts::of(&found.case)),
            left_out: if found.left_out.is_empty() { String::new() } else { joined(&found.left_out) },
            suite: found.suite.as_ref().map(Counts::of),
            cells: list(&CELLS),
            pushes: list(&PUSHES),
            pulls: list(&PULLS),
            pushed: pushed(&plan.direction.name),
            to: Fact::exact(plan.to, "mm"),
        }
    }
}
