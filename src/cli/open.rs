//! Cases and constructs by their names: every bad file is reported, not the first alone.

use super::say::Failure;
use crate::model::spread::Subject;
use crate::model::{Case, Construct};
use crate::study::result::Start;

/// A case and constructs.
#[derive(Debug)]
pub(super) struct Opened {
    /// The case.
    pub case: Case,
    /// The constructs, in the order named, each with a name of its own.
    pub constructs: Vec<Construct>,
}

/// Most constructs at once: as many as a table and a figure can still tell apart.
const MOST: usize = 24;

/// Names typed, or those that are taken when none are.
pub(super) fn names(typed: &[String], otherwise: &[&str]) -> Vec<String> {
    if typed.is_empty() { otherwise.iter().map(|n| (*n).to_owned()).collect() } else { typed.to_vec() }
}

/// Opens a case and the constructs named, to be varied. Tying must be able to start there: a displaced pose
/// must not lie deeper in the bed than bone gives.
pub(super) fn subject(case: &str, constructs: &[String], from: Start) -> Result<Subject, Failure> {
    if constructs.len() > MOST {
        return Err(Failure::Input(format!(
            "{} constructs are too many at once; allowed: up to {MOST}",
            constructs.len()
        )));
    }
    let subject = Subject::open(case, constructs).map_err(Failure::Files)?;
    if from == Start::Displaced {
        subject.case().check_displaced(case)?;
    }
    Ok(subject)
}

/// The same as they stand in their files.
pub(super) fn open(case: &str, constructs: &[String], from: Start) -> Result<Opened, Failure> {
    subject(case, constructs, from).map(|subject| Opened::from(&subject))
}

impl From<&Subject> for Opened {
    fn from(subject: &Subject) -> Self {
        Self { case: subject.case().clone(), constructs: subject.constructs().cloned().collect() }
    }
}
