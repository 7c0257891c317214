//! Cases and constructs by their names: every bad file is reported, not the first alone.

use super::failure::Failure;
use crate::model::{Case, Construct, ConstructFile};
use crate::study::result::Start;

/// A case and constructs on it.
#[derive(Debug)]
pub(super) struct Opened {
    /// The argument that named the case.
    pub named: String,
    /// The case.
    pub case: Case,
    /// The constructs, in the order named, each with a name of its own.
    pub constructs: Vec<Construct>,
}

/// Most constructs at once: as many as a table and a figure can still tell apart.
const MOST: usize = 24;

/// Opens a case and the constructs named.
pub(super) fn open(case: &str, constructs: &[String]) -> Result<Opened, Failure> {
    if constructs.len() > MOST {
        return Err(Failure::Input(format!(
            "{} constructs are too many at once; allowed: up to {MOST}",
            constructs.len()
        )));
    }
    let named = case.to_owned();
    let mut wrong = Vec::new();
    let case = Case::open(case).map_err(|p| wrong.push(p)).ok();
    let mut fitted = Vec::new();
    for name in constructs {
        let construct = ConstructFile::open(name).and_then(|file| match &case {
            // Where the case is wrong, the construct is at least checked in itself.
            None => Ok(None),
            Some(case) => file.fit(case).map(Some),
        });
        match construct {
            Ok(construct) => fitted.extend(construct),
            Err(problems) if !wrong.contains(&problems) => wrong.push(problems),
            Err(_) => {}
        }
    }
    match case {
        Some(case) if wrong.is_empty() => {
            tell_apart(&mut fitted);
            Ok(Opened { named, case, constructs: fitted })
        }
        _ => Err(Failure::Files(wrong)),
    }
}

/// Checks that tying can start there: a displaced pose must not lie deeper in the bed than bone gives.
pub(super) fn check_start(opened: &Opened, from: Start) -> Result<(), Failure> {
    match from {
        Start::Reduced => Ok(()),
        Start::Displaced => opened.case.check_displaced(&opened.named).map_err(|p| Failure::Files(vec![p])),
    }
}

/// Numbers constructs that bear the same name: two files may, and so may one named twice.
fn tell_apart(constructs: &mut [Construct]) {
    for k in 1..constructs.len() {
        let base = constructs[k].name.clone();
        let mut number = 2;
        while constructs[..k].iter().any(|c| c.name == constructs[k].name) {
            constructs[k].name = format!("{base} ({number})");
            number += 1;
        }
    }
}
