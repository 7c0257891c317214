//! The suite: which checks are run, in which order, and whether all are within tolerance.

use super::check::{Check, Found, Sheet};
use super::refinement::Series;
use super::refinement::{self, Subject};
use super::{balance, bound, closed_form, minimum_of_energy, threads};
use crate::model::{Case, Construct, ConstructFile};
use crate::par;
use crate::study::result::{Outcome, Start};
use crate::study::{self, Watcher};
use schemars::JsonSchema;
use serde::Serialize;

/// What a verification found.
#[derive(Debug, Clone, Default, PartialEq, Serialize, JsonSchema)]
pub struct Verification {
    /// Checks against what is known from outside, and balances.
    pub checks: Vec<Check>,
    /// Refinements.
    pub series: Vec<Series>,
    /// Constructs that do not hold their fragment: findings, of which there is nothing to verify.
    pub lost: Vec<Lost>,
}

/// A construct under which its fragment comes to no rest.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Lost {
    /// Construct and case.
    pub subject: String,
    /// How the fragment escapes.
    pub outcome: Outcome,
}

impl Verification {
    /// Whether everything is within tolerance.
    pub fn passed(&self) -> bool {
        self.failures() == 0
    }

    /// How many checks and series are out of tolerance.
    pub fn failures(&self) -> usize {
        self.checks.iter().filter(|c| !c.passed).count() + self.series.iter().filter(|s| !s.passed).count()
    }

    /// Takes up another part.
    pub fn extend(&mut self, other: Self) {
        self.checks.extend(other.checks);
        self.series.extend(other.series);
        self.lost.extend(other.lost);
    }
}

/// A part of the suite, worked on by itself.
pub type Part<'a> = Box<dyn Fn() -> Verification + Send + Sync + 'a>;

/// Constructs whose calculation is verified with the suite, on the case `quarter`.
const DEFAULT: [&str; 2] = ["one-by-one", "two-by-two-crossed"];

fn checked(write: impl FnOnce(&mut Sheet) -> Found<()>) -> Verification {
    Verification { checks: Sheet::of(write), ..Verification::default() }
}

/// Refinement and balance of one case and construct: its parts.
pub fn of<'a>(case: &'a Case, construct: &'a Construct, from: Start) -> Vec<Part<'a>> {
    let subject = Subject { case, construct, from };
    let (hold, _) = study::tie(case, construct, &study::rig(case, construct, from), from);
    if let outcome @ Outcome::NotHeld { .. } = hold.outcome {
        let lost = vec![Lost { subject: subject.name(), outcome }];
        return vec![Box::new(move || Verification { lost: lost.clone(), ..Verification::default() })];
    }
    let ways = [refinement::cells, refinement::push_steps, refinement::pull_steps, refinement::cycle_steps];
    let refined = ways.map(|refine| -> Part<'a> {
        Box::new(move || match refine(&subject) {
            Ok(series) => Verification { series, ..Verification::default() },
            Err(trouble) => checked(|s| {
                s.calculation("refinement of cells and steps", "the calculation itself");
                Err(format!("{}: {trouble}", subject.name()))
            }),
        })
    });
    let balanced = [balance::forces, balance::work, bound::bound]
        .map(|law| -> Part<'a> { Box::new(move || checked(|s| law(&subject, s))) });
    refined.into_iter().chain(balanced).collect()
}

/// The parts of the suite that need no case: closed forms, cone program, second solver, threads.
pub fn parts() -> Vec<Part<'static>> {
    let laws = closed_form::ALL.into_iter().chain([bound::known_bounds, minimum_of_energy, threads]);
    laws.map(|law| -> Part<'static> { Box::new(move || checked(law)) }).collect()
}

/// The case and the constructs whose calculation is verified with the suite.
///
/// # Errors
/// Never with the built-in files as they are shipped.
pub fn own() -> Result<(Case, Vec<Construct>), crate::model::Problems> {
    let case = Case::open("quarter")?;
    let constructs = DEFAULT.iter().map(|name| ConstructFile::open(name)?.fit(&case)).collect::<Result<_, _>>()?;
    Ok((case, constructs))
}

/// Runs parts side by side; what each found, in their order.
pub fn run(parts: &[Part<'_>], watcher: &dyn Watcher) -> Vec<Verification> {
    watcher.stage(parts.len() as u64, "parts of the verification");
    let one = |part: &Part<'_>| {
        let found = part();
        watcher.step();
        found
    };
    par::map(parts, one)
}
