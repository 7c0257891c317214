//! The tables of a report that concern the whole.

use super::assumptions::ASSUMPTIONS;
use crate::show::table::Table;

/// Assumptions and which way they err.
pub(super) fn assumptions() -> Table {
    let mut table =
        Table::new("assumptions", "Assumptions, and which way they err", &["assumption", "which way it errs"]);
    let plain = |text: &str| text.replace(['`', '*'], "");
    for a in ASSUMPTIONS {
        table.row([plain(a.what).into(), plain(a.errs).into()]);
    }
    table
}
