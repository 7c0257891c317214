//! What a report tells of a ready-made sweep.

use super::fact::{Fact, Facts};
use crate::show::report::sweep;
use crate::show::words::{self, joined};
use crate::study::result::{Sweep, with_unit};
use serde::Serialize;

/// A sweep that a report is made with.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ReportedSweep {
    /// The sweep, as `rimhold sweep --format json` gives it.
    pub sweep: Sweep,
    /// Constructs of the report that have not what it varies.
    pub left_out: Vec<String>,
}

/// A sweep in facts.
pub(super) fn sweeping(reported: &ReportedSweep) -> Facts {
    let found = &reported.sweep;
    let inputs = found.axes.iter().map(|axis| {
        let values: Vec<String> = axis.values.iter().map(|v| sweep::at(axis, *v).text).collect();
        format!("{} ({}): {}", axis.path, with_unit(&axis.label, &axis.unit), values.join(", "))
    });
    let names: Vec<String> = found.constructs.iter().map(|c| c.construct.clone()).collect();
    Facts(vec![
        ("name", found.name.as_deref().unwrap_or("sweep").into()),
        ("question", found.question.as_deref().unwrap_or_default().into()),
        ("from", words::word(&found.from).into()),
        ("pushed", words::pushed(&found.direction).into()),
        ("to", Fact::exact(found.to, "mm").into()),
        ("cells", Fact::count(found.cells, "").into()),
        ("points", Fact::count(found.axes.iter().map(|a| a.values.len()).product(), "").into()),
        ("inputs", inputs.collect::<Vec<_>>().into()),
        ("constructs", joined(&names).into()),
        ("left_out", reported.left_out.join(", ").into()),
        ("ends", sweep::ends(found).into()),
        ("table", sweep::stem(found).into()),
        ("reading", crate::show::report::sweep_reading(found).into()),
    ])
}
