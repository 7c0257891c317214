//! One check of a suite, as plain data, and the sheet on which the checks of one law are written.

use crate::study::result::Outcome;
use schemars::JsonSchema;
use serde::Serialize;

/// The kind of evidence that a check is, in the words of the FDA's guidance "Assessing the
/// Credibility of Computational Modeling and Simulation in Medical Device Submissions" (2023).
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Category {
    /// Are the equations coded right?
    CodeVerification,
    /// Is this answer resolved?
    CalculationVerification,
}

impl Category {
    /// Its name and its question.
    pub fn words(self) -> (&'static str, &'static str) {
        match self {
            Self::CodeVerification => ("Code verification", "are the equations coded right?"),
            Self::CalculationVerification => ("Calculation verification", "is the answer resolved?"),
        }
    }
}

/// How what was obtained must stand to what is expected.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Relation {
    /// Equal within the tolerance.
    Equal,
    /// At most as large, but for the tolerance.
    AtMost,
    /// At least as large, but for the tolerance.
    AtLeast,
}

/// One check.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Check {
    /// Kind of evidence.
    pub category: Category,
    /// The law or question that it belongs to.
    pub law: String,
    /// What is compared.
    pub name: String,
    /// Unit of both numbers; empty for a pure number.
    pub unit: String,
    /// How the two must stand to each other.
    pub relation: Relation,
    /// What is expected.
    pub expected: f64,
    /// What the program gave; absent where it gave nothing (see `trouble`).
    pub obtained: Option<f64>,
    /// How far it is off: the distance for an equality, the excess for a bound (never below zero).
    pub error: Option<f64>,
    /// What is allowed, in the same unit.
    pub tolerance: f64,
    /// What makes the tolerance so large.
    pub reason: String,
    /// Where the expectation comes from, outside this program.
    pub source: String,
    /// Whether it is within tolerance.
    pub passed: bool,
    /// Why nothing was obtained.
    pub trouble: Option<String>,
}

/// Why a construct that should hold its fragment gave no tied state.
pub(super) fn not_tied(subject: &str, outcome: &Outcome) -> String {
    match outcome {
        Outcome::Held => format!("{subject}: held, without a tied state"),
        Outcome::NotHeld { during, .. } => format!("{subject}: not held during the {during}"),
        Outcome::Uncertified { during, net_force, net_moment } => format!(
            "{subject}: no state of balance was found during the {during}; {net_force:.1e} N and {net_moment:.1e} N mm are left"
        ),
    }
}

/// What a step of a check came to, or why it gave nothing.
pub type Found<T> = Result<T, String>;

/// The checks of one law, written one after the other.
pub struct Sheet {
    category: Category,
    law: &'static str,
    source: &'static str,
    tolerance: f64,
    reason: &'static str,
    checks: Vec<Check>,
}

impl Sheet {
    /// Fills a sheet, which says first what law it is of. Where `write` breaks off, the trouble becomes a failed
    /// check.
    pub fn of(write: impl FnOnce(&mut Self) -> Found<()>) -> Vec<Check> {
        let category = Category::CodeVerification;
        let mut sheet = Self { category, law: "", source: "", tolerance: 0.0, reason: "", checks: Vec::new() };
        if let Err(trouble) = write(&mut sheet) {
            sheet.trouble("ran to its end", trouble);
        }
        sheet.checks
    }

    /// The law that the checks are of, and where its answers come from: a verification of code.
    pub fn law(&mut self, law: &'static str, source: &'static str) {
        (self.law, self.source) = (law, source);
    }

    /// The same of a verification of the calculation.
    pub fn calculation(&mut self, law: &'static str, source: &'static str) {
        self.category = Category::CalculationVerification;
        self.law(law, source);
    }

    /// Sets the tolerance of the checks that follow, and what makes it so large.
    pub fn within(&mut self, tolerance: f64, reason: &'static str) -> &mut Self {
        self.tolerance = tolerance;
        self.reason = reason;
        self
    }

    /// Two numbers that must be equal within the tolerance.
    pub fn equal(&mut self, name: impl Into<String>, unit: &str, obtained: f64, expected: f64) {
        self.put(name, unit, Relation::Equal, obtained, expected);
    }

    /// A number that must not pass a bound by more than the tolerance.
    pub fn at_most(&mut self, name: impl Into<String>, unit: &str, obtained: f64, bound: f64) {
        self.put(name, unit, Relation::AtMost, obtained, bound);
    }

    /// A number that must not fall short of a bound by more than the tolerance.
    pub fn at_least(&mut self, name: impl Into<String>, unit: &str, obtained: f64, bound: f64) {
        self.put(name, unit, Relation::AtLeast, obtained, bound);
    }

    /// Pairs (obtained, expected) of one kind: the one that is farthest off stands for all.
    pub fn worst(&mut self, name: &str, unit: &str, pairs: &[(f64, f64)]) {
        let off = |p: &(f64, f64)| (p.0 - p.1).abs();
        let worst = pairs.iter().copied().reduce(|a, b| {
            // What is no number is farthest off of all.
            if off(&a).is_nan() || off(&a) >= off(&b) { a } else { b }
        });
        match worst {
            Some((obtained, expected)) => {
                self.equal(format!("{name} (worst of {})", pairs.len()), unit, obtained, expected)
            }
            None => self.trouble(name, "nothing to compare".to_owned()),
        }
    }

    /// Whether something holds, counted: `good` of `all` cases must be all.
    pub fn count(&mut self, name: impl Into<String>, good: usize, all: usize) {
        let (tolerance, reason) = (self.tolerance, self.reason);
        self.within(0.0, "a count");
        self.put(name, "", Relation::Equal, good as f64, all as f64);
        self.within(tolerance, reason);
    }

    /// A check that gave nothing.
    pub fn trouble(&mut self, name: &str, trouble: String) {
        self.put(name, "", Relation::Equal, f64::NAN, f64::NAN);
        if let Some(check) = self.checks.last_mut() {
            check.trouble = Some(trouble);
        }
    }

    fn put(&mut self, name: impl Into<String>, unit: &str, relation: Relation, obtained: f64, expected: f64) {
        let error = match relation {
            Relation::Equal => (obtained - expected).abs(),
            // `max` would take what is no number for zero.
            Relation::AtMost if obtained <= expected => 0.0,
            Relation::AtLeast if obtained >= expected => 0.0,
            Relation::AtMost | Relation::AtLeast => (obtained - expected).abs(),
        };
        self.checks.push(Check {
            category: self.category,
            law: self.law.to_owned(),
            name: name.into(),
            unit: unit.to_owned(),
            relation,
            expected,
            obtained: obtained.is_finite().then_some(obtained),
            error: error.is_finite().then_some(error),
            tolerance: self.tolerance,
            reason: self.reason.to_owned(),
            source: self.source.to_owned(),
            passed: error <= self.tolerance,
            trouble: None,
        });
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_check_fails_beyond_its_tolerance_on_what_is_no_number_and_on_trouble() {
        let checks = Sheet::of(|s| {
            s.within(0.1, "why");
            s.equal("inside", "N", 1.05, 1.0);
            s.equal("outside", "N", 1.2, 1.0);
            s.equal("no number", "N", f64::NAN, 1.0);
            s.at_most("below", "N", -5.0, 1.0);
            s.at_most("above", "N", 1.2, 1.0);
            s.at_most("no number", "N", f64::NAN, 1.0);
            s.at_least("short", "N", 0.8, 1.0);
            s.worst("worst", "N", &[(1.0, 1.0), (1.3, 1.0), (1.1, 1.0)]);
            s.worst("worst", "N", &[(1.0, 1.0), (f64::NAN, 1.0), (1.1, 1.0)]);
            s.worst("none", "N", &[]);
            s.count("count", 3, 3);
            s.count("count", 2, 3);
            Err("broke off".into())
        });
        let passed: Vec<bool> = checks.iter().map(|c| c.passed).collect();
        assert_eq!(passed, [true, false, false, true, false, false, false, false, false, false, true, false, false]);
        assert_eq!(checks[7].obtained, Some(1.3));
        assert_eq!(checks[12].trouble.as_deref(), Some("broke off"));
    }
}
