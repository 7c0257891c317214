//! Verification as part of a report: the case's own, and the program's suite.

use super::super::open::Opened;
use super::super::say::Failure;
use super::Report;
use crate::show::report::paper::{Found, Verified};
use crate::study::Watcher;
use crate::study::result::Start;
use crate::verify::{self, Part, Verification};

/// Whose a part is: of the case, of the suite.
type Owner = [bool; 2];

/// Refines and balances each construct that is held, and runs the suite unless told not to.
pub(super) fn verify(
    wanted: &Report,
    opened: &Opened,
    found: &[Found],
    watcher: &dyn Watcher,
) -> Result<Verified, Failure> {
    let (case, constructs) = (&opened.case, &opened.constructs);
    let (own_case, mut own) = verify::own()?;
    let mut parts: Vec<(Owner, Part<'_>)> = Vec::new();
    if wanted.no_suite {
        own.clear();
    } else {
        parts.extend(verify::parts().into_iter().map(|part| ([false, true], part)));
    }
    let mut left_out = Vec::new();
    let mut shared = Vec::new();
    for (construct, found) in constructs.iter().zip(found) {
        if found.compared.hold.tied.is_none() {
            left_out.push(construct.name.clone());
            continue;
        }
        // The suite verifies a case and constructs of its own: what is the same is done once.
        let same = wanted.from == Start::Reduced && *case == own_case && own.contains(construct);
        if same {
            shared.push(construct);
        }
        parts.extend(verify::of(case, construct, wanted.from).into_iter().map(|part| ([true, same], part)));
    }
    for construct in own.iter().filter(|c| !shared.contains(c)) {
        parts.extend(verify::of(&own_case, construct, Start::Reduced).into_iter().map(|part| ([false, true], part)));
    }
    let (owners, parts): (Vec<Owner>, Vec<Part<'_>>) = parts.into_iter().unzip();
    let done = verify::run(&parts, watcher);
    let mut verified =
        Verified { left_out, suite: (!wanted.no_suite).then(Verification::default), ..Verified::default() };
    for ([of_case, of_suite], part) in owners.into_iter().zip(done) {
        if let (true, Some(suite)) = (of_suite, &mut verified.suite) {
            suite.extend(part.clone());
        }
        if of_case {
            verified.case.extend(part);
        }
    }
    Ok(verified)
}
