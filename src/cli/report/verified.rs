//! Verification as part of a report: the case's own, and the program's suite.

use super::super::arguments::Report;
use super::super::failure::Failure;
use super::super::open::Opened;
use super::super::progress::Progress;
use crate::model::Case;
use crate::show::report::paper::{Found, Verified};
use crate::study::result::Start;
use crate::verify::{self, Part, Verification};
use rayon::prelude::*;

/// Whose a part is.
#[derive(Clone, Copy, Default)]
struct Owner {
    case: bool,
    suite: bool,
}

/// Refines and balances each construct that is held, and runs the suite unless told not to.
pub(super) fn verify(wanted: &Report, opened: &Opened, found: &[Found], quiet: bool) -> Result<Verified, Failure> {
    let from = wanted.from.start();
    let (case, constructs) = (&opened.case, &opened.constructs);
    let (own_case, own): (Case, _) = verify::own().map_err(|p| Failure::Files(vec![p]))?;
    let own = if wanted.no_suite { Vec::new() } else { own };
    let mut parts: Vec<(Owner, Part<'_>)> = Vec::new();
    if !wanted.no_suite {
        let suite = Owner { suite: true, ..Owner::default() };
        parts.extend(verify::parts().into_iter().map(|part| (suite, part)));
    }
    let mut left_out = Vec::new();
    let mut shared = Vec::new();
    for (construct, found) in constructs.iter().zip(found) {
        if found.compared.hold.tied.is_none() {
            left_out.push(construct.name.clone());
            continue;
        }
        // The suite verifies a case and constructs of its own: what is the same is done once.
        let same = from == Start::Reduced && *case == own_case && own.contains(construct);
        if same {
            shared.push(construct);
        }
        let owner = Owner { case: true, suite: same };
        let of = verify::of(case, construct, from);
        parts.extend(of.into_iter().map(|part| (owner, part)));
    }
    for construct in own.iter().filter(|c| !shared.contains(c)) {
        let owner = Owner { suite: true, ..Owner::default() };
        let of = verify::of(&own_case, construct, Start::Reduced);
        parts.extend(of.into_iter().map(|part| (owner, part)));
    }
    let progress = Progress::of("verifying", parts.len(), quiet);
    let done: Vec<(Owner, Verification)> = parts
        .par_iter()
        .map(|(owner, part)| {
            let found = part();
            progress.step();
            (*owner, found)
        })
        .collect();
    let mut verified =
        Verified { left_out, suite: (!wanted.no_suite).then(Verification::default), ..Verified::default() };
    for (owner, part) in done {
        if let (true, Some(suite)) = (owner.suite, &mut verified.suite) {
            suite.extend(part.clone());
        }
        if owner.case {
            verified.case.extend(part);
        }
    }
    Ok(verified)
}
