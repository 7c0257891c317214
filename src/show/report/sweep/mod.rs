//! A sweep over a grid of inputs: its tables, on the terminal and in a report, and its JSON document.

mod reading;

use super::json::{Body, Told};
use super::summary::{CaseSummary, ConstructSummary};
use crate::model::spread::Known;
use crate::quantities::quantity;
use crate::show::table::{Cell, Table};
use crate::show::terminal::Page;
use crate::show::words::{num, tag, word};
use crate::study::result::{End, GridPoint, Sweep, SweepAxis, Swept, with_unit};
use schemars::JsonSchema;
use serde::Serialize;

pub use reading::sweep_reading;

/// What `rimhold sweep --format json` gives.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct SweepBody {
    /// The case as it stands in its file.
    pub case: CaseSummary,
    /// The constructs as they stand in their files.
    pub constructs: Vec<ConstructSummary>,
    /// What was found.
    pub sweep: Told<Sweep>,
}

impl SweepBody {
    /// A document of one sweep.
    pub fn new(case: CaseSummary, constructs: Vec<ConstructSummary>, sweep: Sweep) -> Self {
        let reading = sweep_reading(&sweep);
        Self { case, constructs, sweep: Told { found: sweep, reading } }
    }
}

impl Body for SweepBody {
    const SCHEMA: &str = "rimhold-sweep/1";
}

/// Writes the sweep.
pub fn sweep_table(page: &mut Page, found: &Sweep) {
    if let Some(question) = &found.question {
        page.heading(question);
        page.paragraph("An invented case; what the model says, not what a shoulder does.");
    }
    let paths: Vec<&str> = found.axes.iter().map(|a| a.path.as_str()).collect();
    page.heading(&format!(
        "Sweep over {} on case {}, tied from the {} position, pushed {} {} mm",
        paths.join(" and "),
        found.case,
        word(&found.from),
        found.direction,
        num(found.to, 1)
    ));
    for construct in &found.constructs {
        match found.axes.as_slice() {
            [axis] => page.titled(Some(line(found, construct, axis))),
            [first, second] => {
                (0..shown(found)).for_each(|q| page.titled(Some(grid(found, construct, [first, second], q))));
            }
            _ => {}
        }
    }
    let words = footer(found);
    if !words.is_empty() {
        page.paragraph("");
        page.paragraph(&words);
    }
}

fn shown(found: &Sweep) -> usize {
    found.shown.min(found.quantities.len())
}

/// A value of an axis: its state, or its number.
pub(super) fn at(axis: &SweepAxis, value: f64) -> Cell {
    axis.state(value).map_or_else(|| Cell::significant(value, 6), Cell::from)
}

fn cell(found: &Sweep, point: Option<&GridPoint>, q: usize) -> Cell {
    let Some(point) = point else {
        return "not done".into();
    };
    let decimals = quantity(&found.quantities[q].key).decimals;
    point.values[q].map_or_else(|| absent(point.end).0.into(), |v| Cell::fixed(v, decimals))
}

/// What stands where a point has no value, and what it means.
fn absent(end: End) -> (&'static str, &'static str) {
    match end {
        End::Held => ("–", "stable, without such a value: the push ends before it, say"),
        End::LostInPush => ("fails", "tied, but fixation fails in the push before this"),
        End::NotHeld => ("unstable", "fixation fails when tied"),
        End::Uncertified => ("no answer", "balance not checked, so not reported"),
        End::Impossible => ("invalid", "invalid geometry: no such fragment or construct"),
    }
}

/// What the words and signs of the tables mean, of those that occur.
fn footer(found: &Sweep) -> String {
    let points = || found.constructs.iter().flat_map(|c| &c.points);
    let mut parts: Vec<String> = End::ALL
        .into_iter()
        .filter(|end| points().any(|p| p.end == *end && (0..shown(found)).any(|q| p.values[q].is_none())))
        .map(|end| format!("{}: {}", absent(end).0.replace('–', "-"), absent(end).1))
        .collect();
    let gap = (0..shown(found)).find(|q| found.quantities[*q].key == "lower-gap");
    if gap.is_some_and(|q| points().any(|p| p.values[q].is_some_and(|v| v < 0.0))) {
        parts.push("gap below zero: the lower end is pressed into the bed".to_owned());
    }
    parts.join("; ")
}

fn line(found: &Sweep, construct: &Swept, axis: &SweepAxis) -> Table {
    let quantities = found.quantities.iter().take(shown(found)).map(|q| with_unit(&q.label, &q.unit));
    let heads: Vec<String> = std::iter::once(with_unit(&axis.path, &axis.unit)).chain(quantities).collect();
    let mut table = Table::new("sweep", &construct.construct, &heads);
    for (k, value) in axis.values.iter().enumerate() {
        let cells = (0..shown(found)).map(|q| cell(found, construct.points.get(k), q));
        table.row(std::iter::once(at(axis, *value)).chain(cells));
    }
    table
}

fn grid(found: &Sweep, construct: &Swept, [down, across]: [&SweepAxis; 2], q: usize) -> Table {
    let named = with_unit(&found.quantities[q].label, &found.quantities[q].unit);
    let title = format!("{}: {named}; across: {}", construct.construct, with_unit(&across.path, &across.unit));
    let heads = across.values.iter().map(|v| at(across, *v).text);
    let heads: Vec<String> = std::iter::once(with_unit(&down.path, &down.unit)).chain(heads).collect();
    let mut table = Table::new("sweep", &title, &heads);
    for (r, value) in down.values.iter().enumerate() {
        let points = (0..across.values.len()).map(|c| construct.points.get(r * across.values.len() + c));
        table.row(std::iter::once(at(down, *value)).chain(points.map(|p| cell(found, p, q))));
    }
    table
}

/// Name of a sweep, and of its table.
pub(super) fn stem(found: &Sweep) -> String {
    format!("sweep-{}", found.name.as_deref().unwrap_or("sweep"))
}

/// Every point with the quantities requested of it.
pub(super) fn points(found: &Sweep) -> Table {
    let title = format!("Points of the sweep {}", found.name.as_deref().unwrap_or("sweep"));
    let named = |k: usize| with_unit(&found.quantities[k].label, &found.quantities[k].unit);
    every(found, &title, shown(found), &named)
}

/// A sweep, one point a line, with every quantity by its key.
pub fn sweep_csv(found: &Sweep) -> String {
    let named = |k: usize| with_unit(&found.quantities[k].key, &found.quantities[k].unit);
    every(found, "", found.quantities.len(), &named).csv()
}

fn every(found: &Sweep, title: &str, quantities: usize, named: &dyn Fn(usize) -> String) -> Table {
    let axes = found.axes.iter().map(|a| with_unit(&a.path, &a.unit));
    let heads = std::iter::once("construct".to_owned()).chain(axes).chain(["end".to_owned()]);
    let heads: Vec<String> = heads.chain((0..quantities).map(named)).collect();
    let mut table = Table::new(&stem(found), title, &heads);
    for (c, p) in found.constructs.iter().flat_map(|c| c.points.iter().map(move |p| (c, p))) {
        let at = found.axes.iter().zip(&p.at).map(|(axis, value)| match axis.state(*value) {
            Some(state) => state.into(),
            None => Cell::exact(*value),
        });
        // Of the first that failed it is known why.
        let end = if p.why.is_empty() { p.end.words().to_owned() } else { format!("{}: {}", p.end.words(), p.why) };
        let decimals = |k: usize| quantity(&found.quantities[k].key).decimals;
        let values = p.values.iter().take(quantities).enumerate();
        let values = values.map(|(k, v)| Cell::from(v.map(|v| Cell::fixed(v, decimals(k)))));
        table.row(std::iter::once(Cell::from(&c.construct)).chain(at).chain([end.into()]).chain(values));
    }
    table
}

/// How the points of each construct ended, in sentences.
pub(super) fn ends(found: &Sweep) -> Vec<String> {
    let one = |c: &Swept| {
        let count = |end: End| c.points.iter().filter(|p| p.end == end).count();
        format!(
            "{}: of {} points {} stayed stable to the end of the push, {} were tied but failed in it, of {} fixation \
             failed when tied, of {} the balance could not be checked, and {} made invalid geometry.",
            c.construct,
            c.points.len(),
            count(End::Held),
            count(End::LostInPush),
            count(End::NotHeld),
            count(End::Uncertified),
            count(End::Impossible)
        )
    };
    found.constructs.iter().map(one).collect()
}

/// Writes every input that can be varied.
pub fn inputs_table(page: &mut Page, known: &[Known]) {
    let table = Table::of(
        "inputs",
        "Inputs that can be varied",
        known,
        &[
            ("path", "", &|k| (&k.path).into()),
            ("now", "", &|k| k.places.iter().map(|p| p.1).find(|v| v.is_finite()).map(|v| Cell::fixed(v, 2)).into()),
            ("low – usual – high", "", &|k| k.spread.map(|v| v.to_string()).join(" – ").into()),
            ("unit", "", &|k| k.unit.into()),
            ("allowed", "", &|k| format!("{} to {}", k.allowed.0, k.allowed.1).into()),
            ("backing", "", &|k| tag(k.tag).into()),
        ],
    );
    page.titled(Some(table));
    page.paragraph("`*` stands for any name: limb.*.tension.");
}

/// The inputs that can be varied, one a line.
pub fn inputs_csv(known: &[Known]) -> String {
    Table::of(
        "inputs",
        "",
        known,
        &[
            ("path", "", &|k| (&k.path).into()),
            ("meaning", "", &|k| (&k.meaning).into()),
            ("unit", "", &|k| k.unit.into()),
            ("low", "", &|k| Cell::exact(k.spread[0])),
            ("usual", "", &|k| Cell::exact(k.spread[1])),
            ("high", "", &|k| Cell::exact(k.spread[2])),
            ("least allowed", "", &|k| Cell::exact(k.allowed.0)),
            ("most allowed", "", &|k| Cell::exact(k.allowed.1)),
            ("backing", "", &|k| tag(k.tag).into()),
            ("source", "", &|k| k.source.into()),
        ],
    )
    .csv()
}
