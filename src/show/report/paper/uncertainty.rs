//! What a report tells of a study of scatter: how far the answers move when the inputs do.

use super::fact::Fact;
use super::sensitivity::{self, Sensitivity};
use crate::show::report::scatter_words::{bound_words, known_to, verdicts_mean};
use crate::show::table::{Cell, Table};
use crate::show::words::{self, num};
use crate::study::result::{End, Estimate, Quantiles, Sampler, Scatter, Scattered};
use schemars::JsonSchema;
use serde::Serialize;

/// Quantities that are told.
const TOLD: [&str; 9] =
    ["compression", "peak-pressure", "contact", "reserve", "step", "tilt", "load-1mm", "load-2mm", "peak-load"];

/// What page and methods section say of a study of scatter.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Uncertainty {
    /// Samples of each construct.
    pub samples: Fact,
    /// How they were drawn.
    pub sampler: String,
    /// Seed.
    pub seed: Fact,
    /// Independent replicates that standard errors come from.
    pub replicates: Fact,
    /// Whether there were enough replicates for standard errors.
    pub has_errors: bool,
    /// To how much a standard error is itself known.
    pub known_to: Fact,
    /// Where the spread comes from.
    pub spread: String,
    /// Lines of the spread.
    pub lines: Fact,
    /// Bed cells aimed at in each sample.
    pub cells: Fact,
    /// Recorded steps of the push.
    pub steps: Fact,
    /// Rank correlations, each in words; empty when all were drawn independently.
    pub correlations: Vec<String>,
    /// How the samples of each construct ended, in sentences.
    pub ends: Vec<String>,
    /// Whether there are pairs of constructs.
    pub pairs: bool,
    /// What the verdicts on pairs mean.
    pub verdicts: String,
    /// What stands for a standard error where all draws agree.
    pub bounds: String,
    /// The Sobol' indices; absent when none were asked for.
    pub indices: Option<Sensitivity>,
    /// Reading in sentences.
    pub reading: Vec<String>,
}

impl Uncertainty {
    pub(super) fn new(found: &Scatter) -> Self {
        let correlations = found.correlations.iter().map(|c| {
            format!(
                "{} with {} (asked {}, reached {}; {}: {})",
                c.between[0],
                c.between[1],
                num(c.asked, 2),
                num(c.reached, 2),
                words::tag(c.tag),
                c.source
            )
        });
        Self {
            samples: Fact::exact(found.samples as f64, ""),
            sampler: match found.sampler {
                Sampler::LatinHypercube => "a Latin hypercube",
                Sampler::Sobol => "a scrambled Sobol' sequence",
                Sampler::Random => "independent draws",
            }
            .to_owned(),
            seed: Fact::exact(found.seed as f64, ""),
            replicates: Fact::exact(found.replicates as f64, ""),
            has_errors: found.replicates > 1,
            known_to: Fact::new(
                if found.replicates > 1 {
                    known_to(found.replicates)
                } else {
                    100.0
                },
                0,
                "%",
            ),
            spread: found.spread.clone(),
            lines: Fact::count(found.inputs.len(), ""),
            cells: Fact::count(found.cells, ""),
            steps: Fact::count(found.steps, ""),
            correlations: correlations.collect(),
            ends: found.constructs.iter().map(|c| ended(c, found)).collect(),
            pairs: found.constructs.len() > 1,
            verdicts: verdicts_mean(),
            bounds: "a share on which all draws agree has an exact binomial bound (Clopper and Pearson, one-sided, 95 %) instead"
                .to_owned(),
            indices: Sensitivity::new(found),
            reading: found.reading.clone(),
        }
    }
}

/// A quantity of the samples that have it: 5 %, median and 95 %.
pub(super) fn band(found: &Scatter, construct: &str, key: &str) -> Option<[f64; 3]> {
    let one = found.constructs.iter().find(|c| c.construct == construct)?;
    let q = quantiles(one, key)?;
    Some([q.low.value, q.median.value, q.high.value])
}

fn quantiles<'a>(one: &'a Scattered, key: &str) -> Option<&'a Quantiles> {
    let found = one.quantities.iter().find(|q| q.quantity.key == key)?;
    found.quantiles.as_ref()
}

fn ended(one: &Scattered, found: &Scatter) -> String {
    let e = &one.ends;
    format!(
        "{}: of {} samples {} were held to the end of the push, {} were tied but lost in it, {} were \
         not held when tied, {} could not be certified, and {} made no fragment or no construct.",
        one.construct, found.done, e.held, e.lost_in_push, e.not_held, e.uncertified, e.impossible
    )
}

/// The tables of a study of scatter, those that there are.
pub(super) fn tables(found: &Scatter) -> Vec<Table> {
    [Some(inputs(found)), Some(medians(found)), pairs(found), sensitivity::table(found), astray(found)]
        .into_iter()
        .flatten()
        .collect()
}

fn inputs(found: &Scatter) -> Table {
    let mut table = Table::new(
        "inputs",
        "What was varied",
        &["input", "distribution", "used as", "unit", "backing", "source", "cut off (%)"],
    );
    for i in &found.inputs {
        table.row([
            i.path.as_str().into(),
            i.distribution.as_str().into(),
            i.usage.as_str().into(),
            if i.unit.is_empty() { "–" } else { &i.unit }.into(),
            words::tag(i.tag).into(),
            i.source.as_str().into(),
            Fact::new(100.0 * i.cut, 1, "%").into(),
        ]);
    }
    table
}

/// Decimals of a quantity in a unit.
fn decimals(unit: &str) -> usize {
    match unit {
        "%" => 0,
        "N" => 1,
        _ => 2,
    }
}

/// An estimate and its standard error, each a cell.
fn cells(e: &Estimate, decimals: usize, unit: &str, sign: bool) -> [Cell; 2] {
    let value = if sign { Fact::signed(e.value, decimals, unit) } else { Fact::new(e.value, decimals, unit) };
    let error = e.error.map(|e| Fact::new(e, decimals + 1, unit));
    [value.into(), error.into()]
}

fn medians(found: &Scatter) -> Table {
    let mut table = Table::new(
        "scatter",
        "Scatter of each construct: median, 5 % and 95 % of the samples, with standard errors (se)",
        &["construct", "quantity", "median", "se", "5 %", "se", "95 %", "se", "samples"],
    );
    for one in &found.constructs {
        for key in TOLD {
            let Some(s) = one.quantities.iter().find(|q| q.quantity.key == key) else {
                continue;
            };
            let label = format!("{} ({})", s.quantity.label, s.quantity.unit);
            let mut row: Vec<Cell> = vec![one.construct.as_str().into(), label.into()];
            match &s.quantiles {
                None => row.extend((0..6).map(|_| Cell::from("–"))),
                Some(q) => {
                    let sign = matches!(key, "step" | "tilt");
                    for e in [&q.median, &q.low, &q.high] {
                        row.extend(cells(e, decimals(&s.quantity.unit), &s.quantity.unit, sign));
                    }
                }
            }
            row.push(Fact::count(s.quantiles.as_ref().map_or(0, |q| q.of), "").into());
            table.row(row);
        }
    }
    table
}

/// Every construct against each before it on the same draws; `None` with one alone.
fn pairs(found: &Scatter) -> Option<Table> {
    found.pairs.first()?;
    let mut table = Table::new(
        "scatter-pairs",
        "Differences of each pair on the same draws, and how often there is more than with the other",
        &[
            "construct",
            "against",
            "difference of",
            "median",
            "se",
            "5 %",
            "se",
            "95 %",
            "se",
            "more (% of draws)",
            "se, or bound at 95 %",
            "draws",
        ],
    );
    for p in &found.pairs {
        let label = format!("{} ({})", p.quantity.label, p.quantity.unit);
        let mut row: Vec<Cell> = vec![p.second.as_str().into(), p.first.as_str().into(), label.into()];
        match &p.difference {
            None => row.extend((0..6).map(|_| Cell::from("–"))),
            Some(d) => {
                for e in [&d.median, &d.low, &d.high] {
                    row.extend(cells(e, decimals(&p.quantity.unit), &p.quantity.unit, true));
                }
            }
        }
        match &p.superiority {
            None => row.extend(["–".into(), "–".into()]),
            Some(s) => {
                row.push(Fact::new(100.0 * s.value, 1, "%").into());
                row.push(match s.bound {
                    Some(bound) => bound_words(s.value, bound).into(),
                    None => s.error.map(|e| Fact::new(100.0 * e, 1, "%")).into(),
                });
            }
        }
        row.push(Fact::count(p.superiority_of, "").into());
        table.row(row);
    }
    Some(table)
}

/// Samples that were not held to the end, counted by why; `None` when all were.
fn astray(found: &Scatter) -> Option<Table> {
    let mut table = Table::new(
        "scatter-astray",
        "Samples that were not held to the end of the push, and why",
        &["construct", "how it ended", "why", "samples", "the first of them"],
    );
    for one in &found.constructs {
        let mut groups: Vec<(End, &str, usize, u64)> = Vec::new();
        for a in &one.ends.listed {
            match groups.iter_mut().find(|g| g.0 == a.end && g.1 == a.why.as_str()) {
                Some(group) => group.2 += 1,
                None => groups.push((a.end, &a.why, 1, a.sample)),
            }
        }
        for (end, why, count, first) in groups {
            table.row([
                one.construct.as_str().into(),
                ended_as(end).into(),
                why.into(),
                Fact::count(count, "").into(),
                Fact::exact(first as f64, "").into(),
            ]);
        }
    }
    (!table.rows.is_empty()).then_some(table)
}

fn ended_as(end: End) -> &'static str {
    match end {
        End::Held => "held",
        End::LostInPush => "tied, lost in the push",
        End::NotHeld => "not held when tied",
        End::Uncertified => "not certified: counts for nothing",
        End::Impossible => "no fragment or construct: counts for nothing",
    }
}
