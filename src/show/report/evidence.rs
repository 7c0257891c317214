//! Words and numbers of a verification, and of predictions beside publications, that table and Markdown
//! share; the JSON document of both.

use super::CAUTION;
use crate::show::words::significant;
use crate::study::result::Start;
use crate::verify::published::{Band, Comparison, Fact, Predictions, Published, Verdict, Where};
use crate::verify::{Category, Check, Order, Refined, Relation, Series, Verification};
use schemars::JsonSchema;
use serde::Serialize;

/// Version of the document's shape; it changes when a field changes its meaning or goes.
const SCHEMA: &str = "rimhold-verify/1";

/// What was asked for.
#[derive(Debug, Clone, Default, PartialEq, Serialize, JsonSchema)]
pub struct AskedToVerify {
    /// Whether the published comparisons were asked for.
    pub published: bool,
    /// The case whose calculation is verified too.
    pub case: Option<String>,
    /// The construct on it.
    pub construct: Option<String>,
    /// Where tying starts.
    pub from: Option<Start>,
}

/// The document of `rimhold verify`.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct VerifyDocument {
    /// `rimhold-verify/1`.
    pub schema: String,
    /// Version of the program.
    pub version: String,
    /// What this is and is not.
    pub caution: String,
    /// What was asked for.
    pub asked: AskedToVerify,
    /// Whether everything is within tolerance; absent for predictions, which pass and fail nothing.
    pub passed: Option<bool>,
    /// The verification.
    pub verification: Option<Verification>,
    /// Predictions beside publications.
    pub published: Option<Predictions>,
}

impl VerifyDocument {
    /// A document of one run.
    pub fn new(asked: AskedToVerify, verification: Option<Verification>, published: Option<Predictions>) -> Self {
        Self {
            schema: SCHEMA.to_owned(),
            version: env!("CARGO_PKG_VERSION").to_owned(),
            caution: CAUTION.to_owned(),
            asked,
            passed: verification.as_ref().map(Verification::passed),
            verification,
            published,
        }
    }
}

/// The JSON Schema (draft 2020-12) of the document of `rimhold verify`.
pub fn verify_schema() -> serde_json::Value {
    let mut schema = schemars::schema_for!(VerifyDocument);
    schema.insert("title".to_owned(), SCHEMA.into());
    schema.to_value()
}

/// The same, or a dash.
pub(super) fn or_dash(value: Option<f64>, digits: usize) -> String {
    value.map_or_else(|| "-".to_owned(), |v| significant(v, digits))
}

/// A share in percent with two significant digits, or a dash.
pub(super) fn share(value: Option<f64>) -> String {
    value.map_or_else(|| "-".to_owned(), |v| significant(100.0 * v, 2))
}

/// What is expected of a check.
pub(super) fn expected(check: &Check) -> String {
    if check.trouble.is_some() {
        return "-".to_owned();
    }
    let value = significant(check.expected, 6);
    match check.relation {
        Relation::Equal => value,
        Relation::AtMost => format!("<= {value}"),
        Relation::AtLeast => format!(">= {value}"),
    }
}

/// A name with its unit.
pub(super) fn with_unit(name: &str, unit: &str) -> String {
    if unit.is_empty() { name.to_owned() } else { format!("{name} ({unit})") }
}

/// `ok`, or what cannot be overlooked.
pub(super) fn ok(passed: bool) -> &'static str {
    if passed { "ok" } else { "FAIL" }
}

/// Order of convergence in a word or two.
pub(super) fn order(order: &Order) -> String {
    match order {
        Order::Settled { order, .. } => format!("{order:.2}"),
        Order::Unsettled { order, .. } => format!("{order:.1}?"),
        Order::Alternates => "alternates".to_owned(),
        Order::DoesNotShrink => "none".to_owned(),
        Order::NoChange => "no change".to_owned(),
    }
}

/// What the words of [`order`] mean.
pub(super) const ORDERS: &str = "Order: a number is the observed order of convergence on the three finest levels; with a \
     question mark the three coarsest show another or none, so it is not settled. \"alternates\": the last \
     changes have opposite signs; \"none\": they do not shrink by an order of a half: then no order is \
     claimed, nothing is extrapolated, and the error is the largest change to a finer level. Index: grid \
     convergence index (Roache 1994; ASME V&V 20): the error times 1.25 where the order is settled and \
     times 3 elsewhere, in percent of the value.";

/// What is refined.
pub(super) fn refined(refined: Refined) -> &'static str {
    match refined {
        Refined::Cells => "cells of the bed",
        Refined::PushSteps => "steps of the push",
        Refined::PullSteps => "steps of each pull",
    }
}

/// Series of one subject and one refinement stand together.
pub(super) fn grouped(series: &[Series]) -> Vec<&[Series]> {
    series.chunk_by(|a, b| a.subject == b.subject && a.refined == b.refined).collect()
}

/// The checks by what they verify, in the order in which that is told.
pub(super) fn by_category(found: &Verification) -> [(Category, Vec<Check>); 2] {
    [Category::CodeVerification, Category::CalculationVerification].map(|category| {
        let checks = found.checks.iter().filter(|c| c.category == category);
        (category, checks.cloned().collect())
    })
}

/// Checks of one law stand together.
pub(super) fn by_law(checks: &[Check]) -> Vec<&[Check]> {
    checks.chunk_by(|a, b| a.law == b.law && a.source == b.source).collect()
}

/// The end of it in a sentence.
pub(super) fn summary(found: &Verification) -> String {
    let all = format!("{} checks and {} refinements", found.checks.len(), found.series.len());
    match found.failures() {
        0 => format!("{all}: all within their tolerances."),
        n => format!("{all}: {n} OUT OF TOLERANCE."),
    }
}

/// A predicted band: median and where 90 % of the draws that give a value lie.
pub(super) fn band(band: &Option<Band>) -> String {
    band.as_ref().map_or_else(
        || "not held in any draw".to_owned(),
        |b| format!("{} ({} to {})", significant(b.median, 3), significant(b.low, 3), significant(b.high, 3)),
    )
}

/// How many draws gave a value, of how many.
pub(super) fn drawn(band: &Option<Band>) -> String {
    band.map_or_else(|| "0".to_owned(), |b| format!("{} of {}", b.draws, b.draws + b.without))
}

/// What was published: mean and range.
pub(super) fn published(published: &Option<Published>) -> String {
    match published {
        None => "not read".to_owned(),
        Some(p) => match p.range {
            Some([low, high]) => {
                format!("{} ({} to {})", significant(p.mean, 3), significant(low, 3), significant(high, 3))
            }
            None => significant(p.mean, 3),
        },
    }
}

/// The verdict in a word.
pub(super) fn verdict(comparison: &Comparison) -> &'static str {
    match comparison.verdict {
        Some(Verdict::Inside) => "inside",
        Some(Verdict::Overlaps) => "overlaps",
        Some(Verdict::Outside) => "OUTSIDE",
        None => "none",
    }
}

/// What the verdicts mean.
pub(super) const VERDICTS: &str = "Predicted: median, and the band that holds 90 % of the draws that give a value. How many do \
     stands beside: a fragment that is not held, or is lost before, gives none, and with those counted as bearing \
     nothing the bands of loads would reach lower. Verdict: inside (the band lies in the published range), overlaps (both have something in common; where only a mean was published, \
     the band holds it), outside. A wide band overlaps easily: an overlap is no validation.";

/// What the design is.
pub(super) fn design(found: &Predictions) -> String {
    let calibrated = if found.calibrated.is_empty() {
        "No number of the model is calibrated on one of these studies, and nothing is tuned.".to_owned()
    } else {
        format!("Calibrated, so that no comparison with it counts: {}.", found.calibrated.join("; "))
    };
    format!(
        "{} draws of {} inputs (Latin hypercube, seed {}) over the spread of the program's table of values, half \
         of the draws on either side of each default. {calibrated}",
        found.draws,
        found.inputs.len(),
        found.seed
    )
}

/// Yes, no or no answer.
pub(super) fn answer(answer: Option<bool>) -> &'static str {
    match answer {
        Some(true) => "yes",
        Some(false) => "no",
        None => "no answer",
    }
}

/// The range of inputs over which a fact holds, and over which it does not.
pub(super) fn range(fact: &Fact) -> String {
    let at = |w: &Where| {
        let side = if w.upward { "from" } else { "up to" };
        let unit = if w.unit.is_empty() { String::new() } else { format!(" {}", w.unit) };
        format!("{} {side} {}{unit} ({} draws)", w.input, significant(w.bound, 3), w.draws)
    };
    let whole = |answer: &str| match fact.without {
        0 => format!("{answer} over the whole spread"),
        none => format!("{answer} in every draw that answers; {none} of {} do not", fact.yes + fact.no + none),
    };
    match (&fact.always, &fact.never) {
        _ if fact.no == 0 && fact.yes > 0 => whole("yes"),
        _ if fact.yes == 0 && fact.no > 0 => whole("no"),
        (None, None) => "no end of one input's spread decides it beyond chance".to_owned(),
        (Some(a), None) => format!("always yes with {}", at(a)),
        (None, Some(n)) => format!("always no with {}", at(n)),
        (Some(a), Some(n)) => format!("always yes with {}; always no with {}", at(a), at(n)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_keep_their_significant_digits() {
        for (value, digits, words) in [
            (0.0, 6, "0"),
            (22.51666, 6, "22.5167"),
            (0.8, 6, "0.8"),
            (100.0, 6, "100"),
            (1.26569, 6, "1.26569"),
            (6.1e-10, 6, "6.1e-10"),
            (-0.012345, 3, "-0.0123"),
            (1_234_567.0, 3, "1.2e6"),
        ] {
            assert_eq!(significant(value, digits), words);
        }
    }
}
