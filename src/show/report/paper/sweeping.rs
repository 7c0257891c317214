//! What a report tells of a ready-made sweep.

use super::fact::Fact;
use crate::show::report::sweep;
use crate::show::words::{self, joined};
use crate::study::result::{Sweep, with_unit};
use schemars::JsonSchema;
use serde::Serialize;

/// A sweep that a report is made with.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct ReportedSweep {
    /// The sweep, as `rimhold sweep --format json` gives it.
    pub sweep: Sweep,
    /// Constructs of the report that have not what it varies.
    pub left_out: Vec<String>,
}

/// What page and methods section say of a sweep.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Sweeping {
    /// Its name.
    pub name: String,
    /// The question.
    pub question: String,
    /// Where tying started.
    pub from: String,
    /// Direction of the push as an adverb.
    pub pushed: String,
    /// How far it was pushed.
    pub to: Fact,
    /// Bed cells aimed at.
    pub cells: Fact,
    /// Points of the grid.
    pub points: Fact,
    /// What was varied, each input with its values.
    pub inputs: Vec<String>,
    /// The constructs.
    pub constructs: String,
    /// Constructs of the report without such an input; empty when there are none.
    pub left_out: String,
    /// How the points of each construct ended, in sentences.
    pub ends: Vec<String>,
    /// Stem of its table's files.
    pub table: String,
    /// Reading in sentences.
    pub reading: Vec<String>,
}

impl Sweeping {
    pub(super) fn new(reported: &ReportedSweep) -> Self {
        let found = &reported.sweep;
        let inputs = found.axes.iter().map(|axis| {
            let values: Vec<String> = axis.values.iter().map(|v| sweep::at(axis, *v).text).collect();
            format!("{} ({}): {}", axis.path, with_unit(&axis.label, &axis.unit), values.join(", "))
        });
        let names: Vec<String> = found.constructs.iter().map(|c| c.construct.clone()).collect();
        Self {
            name: found.name.clone().unwrap_or_else(|| "sweep".to_owned()),
            question: found.question.clone().unwrap_or_default(),
            from: words::start(found.from).to_owned(),
            pushed: words::pushed(&found.direction),
            to: Fact::exact(found.to, "mm"),
            cells: Fact::count(found.cells, ""),
            points: Fact::count(found.axes.iter().map(|a| a.values.len()).product(), ""),
            inputs: inputs.collect(),
            constructs: joined(&names),
            left_out: reported.left_out.join(", "),
            ends: sweep::ends(found),
            table: sweep::stem(found),
            reading: crate::show::report::sweep_reading(found),
        }
    }
}
