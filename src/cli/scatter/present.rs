//! How a study of scatter and a sweep are written to standard output.

use super::job::Job;
use crate::cli::arguments::{Common, Format};
use crate::cli::failure::Failure;
use crate::cli::output::{json, print};
use crate::show::report::{CAUTION, CaseSummary, ConstructSummary, Page};
use serde::Serialize;

/// Writes what was found in the form asked for: its table with the caution, its CSV, or its document
/// over the case and the constructs as they stand in their files.
pub(super) fn present<D: Serialize>(
    job: &Job,
    common: &Common,
    table: impl FnOnce(&mut Page),
    csv: impl FnOnce() -> String,
    document: impl FnOnce(CaseSummary, Vec<ConstructSummary>) -> D,
) -> Result<(), Failure> {
    match common.format {
        Format::Table | Format::Markdown => {
            let mut page = Page::new(common.colour.on_stdout());
            table(&mut page);
            page.caution(CAUTION);
            print(&page.finish())
        }
        Format::Csv => print(&csv()),
        Format::Json => {
            let case = job.subject.case();
            let constructs = job.subject.constructs();
            let constructs = constructs.map(|c| ConstructSummary::new(case, c)).collect();
            json(&document(CaseSummary::new(case), constructs))
        }
    }
}
