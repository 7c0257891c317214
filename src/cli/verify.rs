//! `rimhold verify`: the parts of the suite on all cores, in order, and their report.

use super::arguments::{Common, Format, Verify};
use super::failure::Failure;
use super::open::{check_start, open};
use super::output::{json, print};
use super::progress::Progress;
use crate::show::report::{
    AskedToVerify, CAUTION, Envelope, Page, VerifyBody, evidence_page, published_markdown, published_table,
    verify_markdown, verify_table,
};
use crate::study::result::Start;
use crate::verify::published::{DRAWS, Predictions, SEED, predict};
use crate::verify::{self, Verification};
use rayon::prelude::*;

/// Runs the suite or the published comparisons.
pub(super) fn verify(given: &Verify, common: &Common) -> Result<(), Failure> {
    if common.format == Format::Csv {
        return Err(Failure::Input("`verify` has no --format csv: give table, markdown or json".to_owned()));
    }
    if given.published {
        let progress = Progress::start(DRAWS + 1, common.quiet);
        let found = predict(DRAWS, SEED, &|| progress.step());
        drop(progress);
        let asked = AskedToVerify { published: true, ..AskedToVerify::default() };
        return published(found, asked, common);
    }
    let opened = match (&given.case, &given.construct) {
        (Some(case), Some(construct)) => Some(open(case, std::slice::from_ref(construct))?),
        _ => None,
    };
    let (case, constructs) = verify::own().map_err(|p| Failure::Files(vec![p]))?;
    let mut parts = verify::parts();
    for construct in &constructs {
        parts.extend(verify::of(&case, construct, Start::Reduced));
    }
    let mut asked = AskedToVerify::default();
    if let Some(opened) = &opened {
        check_start(opened, given.from.start())?;
        for construct in &opened.constructs {
            parts.extend(verify::of(&opened.case, construct, given.from.start()));
            asked.construct = Some(construct.name.clone());
        }
        asked.case = Some(opened.case.name.clone());
        asked.from = Some(given.from.start());
    }
    let progress = Progress::start(parts.len(), common.quiet);
    let done: Vec<Verification> = parts
        .par_iter()
        .map(|part| {
            let found = part();
            progress.step();
            found
        })
        .collect();
    drop(progress);
    let mut found = Verification::default();
    for part in done {
        found.extend(part);
    }
    suite(found, asked, common)
}

fn suite(found: Verification, asked: AskedToVerify, common: &Common) -> Result<(), Failure> {
    let failures = found.failures();
    match common.format {
        Format::Markdown => print(&evidence_page("Verification", &[verify_markdown(&found)]))?,
        Format::Json => json(&document(asked, Some(found), None))?,
        Format::Table | Format::Csv => {
            let mut page = Page::new(common.colour.on_stdout());
            verify_table(&mut page, &found);
            page.caution(CAUTION);
            print(&page.finish())?;
        }
    }
    match failures {
        0 => Ok(()),
        n => Err(Failure::Other(format!("{n} of the verification out of tolerance"))),
    }
}

fn published(found: Predictions, asked: AskedToVerify, common: &Common) -> Result<(), Failure> {
    match common.format {
        Format::Markdown => {
            print(&evidence_page("Predictions beside published bench tests", &[published_markdown(&found)]))
        }
        Format::Json => json(&document(asked, None, Some(found))),
        Format::Table | Format::Csv => {
            let mut page = Page::new(common.colour.on_stdout());
            published_table(&mut page, &found);
            page.caution(CAUTION);
            print(&page.finish())
        }
    }
}

fn document(
    asked: AskedToVerify,
    verification: Option<Verification>,
    published: Option<Predictions>,
) -> Envelope<VerifyBody> {
    let passed = verification.as_ref().map(Verification::passed);
    Envelope::new(VerifyBody { asked, passed, verification, published })
}
