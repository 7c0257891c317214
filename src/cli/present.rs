//! What was found, in the form asked for.

use super::open::Opened;
use super::say::{Failure, json, note, print};
use super::{Common, Format};
use crate::CAUTION;
use crate::show::report::{CaseSummary, ConstructSummary, Page, Verdict};
use serde::Serialize;

/// A case and constructs as a reader is told of them.
pub(super) struct Summaries {
    pub case: CaseSummary,
    pub constructs: Vec<ConstructSummary>,
}

impl Summaries {
    pub fn of(opened: &Opened) -> Self {
        let constructs = opened.constructs.iter().map(|c| ConstructSummary::new(&opened.case, c));
        Self { case: CaseSummary::new(&opened.case), constructs: constructs.collect() }
    }

    /// The same, with what a CSV has no place for told.
    pub fn warned(opened: &Opened, common: &Common) -> Self {
        let summaries = Self::of(opened);
        summaries.warn(common);
        summaries
    }

    /// What the CSV has no place for.
    pub fn warn(&self, common: &Common) {
        if common.format == Format::Csv && !common.quiet {
            for warning in self.constructs.iter().flat_map(|c| &c.warnings) {
                note(&format!("warning: {}", warning.message));
            }
        }
    }
}

/// Writes what was found: the verdict and what people compare, and all of it where that is asked for; CSV; or a
/// document.
pub(super) fn present<D: Serialize>(
    common: &Common,
    verdict: &Verdict,
    short: impl FnOnce(&mut Page),
    full: impl FnOnce(&mut Page),
    csv: impl FnOnce() -> String,
    document: impl FnOnce() -> D,
) -> Result<(), Failure> {
    let table = |page: &mut Page| {
        page.verdict(verdict);
        page.gap();
        short(page);
        if common.full {
            full(page);
        } else {
            page.gap();
            page.plain("--full prints every table and the reading behind this.");
        }
        page.gap();
    };
    match common.format {
        Format::Table | Format::Markdown => print(&page(common, table)),
        Format::Csv => print(&csv()),
        Format::Json => json(&document()),
    }
}

/// A page for a terminal, with the caution at its end.
pub(super) fn page(common: &Common, table: impl FnOnce(&mut Page)) -> String {
    let mut page = Page::new(common.colour.on_stdout());
    table(&mut page);
    page.gap();
    page.plain(CAUTION);
    page.finish()
}
