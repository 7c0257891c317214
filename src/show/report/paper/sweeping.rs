//! What a report tells of a ready-made sweep.

use super::fact::Fact;
use crate::show::table::{Cell, Table};
use crate::show::words::{self, joined};
use crate::study::result::{End, Sweep, SweepAxis, with_unit};
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

fn name(found: &Sweep) -> String {
    found.name.clone().unwrap_or_else(|| "sweep".to_owned())
}

fn stem(found: &Sweep) -> String {
    format!("sweep-{}", name(found))
}

fn value(axis: &SweepAxis, v: f64) -> Cell {
    match axis.state(v) {
        Some(state) => state.into(),
        None => Fact::exact(v, &axis.unit).into(),
    }
}

impl Sweeping {
    pub(super) fn new(reported: &ReportedSweep) -> Self {
        let found = &reported.sweep;
        let inputs = found.axes.iter().map(|axis| {
            let values: Vec<String> = axis.values.iter().map(|v| value(axis, *v).text).collect();
            format!("{} ({}): {}", axis.path, with_unit(&axis.label, &axis.unit), values.join(", "))
        });
        let names: Vec<String> = found.constructs.iter().map(|c| c.construct.clone()).collect();
        let ends = found.constructs.iter().map(|c| {
            let count = |end: End| c.points.iter().filter(|p| p.end == end).count();
            format!(
                "{}: of {} points {} were held to the end of the push, {} were tied but lost in it, {} were not \
                 held when tied, {} could not be certified, and {} made no fragment or no construct.",
                c.construct,
                c.points.len(),
                count(End::Held),
                count(End::LostInPush),
                count(End::NotHeld),
                count(End::Uncertified),
                count(End::Impossible)
            )
        });
        Self {
            name: name(found),
            question: found.question.clone().unwrap_or_default(),
            from: words::start(found.from).to_owned(),
            pushed: words::pushed(&found.direction),
            to: Fact::exact(found.to, "mm"),
            cells: Fact::count(found.cells, ""),
            points: Fact::count(found.axes.iter().map(|a| a.values.len()).product(), ""),
            inputs: inputs.collect(),
            constructs: joined(&names),
            left_out: reported.left_out.join(", "),
            ends: ends.collect(),
            table: stem(found),
            reading: found.reading.clone(),
        }
    }
}

/// The points of a sweep with the quantities that it asks for.
pub(super) fn table(reported: &ReportedSweep) -> Table {
    let found = &reported.sweep;
    let shown = &found.quantities[..found.shown.min(found.quantities.len())];
    let mut heads = vec!["construct".to_owned()];
    heads.extend(found.axes.iter().map(|a| with_unit(&a.path, &a.unit)));
    heads.push("how it ended".to_owned());
    heads.extend(shown.iter().map(|q| with_unit(&q.label, &q.unit)));
    let heads: Vec<&str> = heads.iter().map(String::as_str).collect();
    let title = format!("Points of the sweep {}", name(found));
    let mut table = Table::new(&stem(found), &title, &heads);
    for c in &found.constructs {
        for p in &c.points {
            let mut row: Vec<Cell> = vec![c.construct.as_str().into()];
            row.extend(found.axes.iter().zip(&p.at).map(|(a, v)| value(a, *v)));
            row.push(match p.why.as_str() {
                "" => p.end.words().into(),
                why => format!("{}: {why}", p.end.words()).into(),
            });
            row.extend(shown.iter().zip(&p.values).map(|(q, v)| {
                let decimals = match q.unit.as_str() {
                    "N" => 1,
                    "%" => 0,
                    _ => 2,
                };
                Cell::from(v.map(|v| Fact::new(v, decimals, &q.unit)))
            }));
            table.row(row);
        }
    }
    table
}
