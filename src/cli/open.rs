//! Cases and constructs by their names: every bad file is reported, not the first alone.

use super::failure::Failure;
use crate::case::{Case, Construct, ConstructFile};

/// A case and constructs on it.
#[derive(Debug)]
pub(super) struct Opened {
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
            Ok(Opened {
                case,
                constructs: fitted,
            })
        }
        _ => Err(Failure::Files(wrong)),
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
