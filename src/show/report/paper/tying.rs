//! What a report tells of the study of tying orders.

use super::fact::Fact;
use crate::model::Construct;
use crate::show::report::order_reading;
use crate::show::report::tie::{TieNames, orders_table};
use crate::show::table::Table;
use crate::show::words;
use crate::study::result::{OrderRun, Orders, Start};
use serde::Serialize;

/// How orders were chosen when not all were run.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SampleOfOrders {
    /// Seed.
    pub seed: Fact,
    /// How many orders there are.
    pub of: Fact,
}

/// An order and what it leaves.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Left {
    /// The order in words.
    pub order: String,
    /// Its place in the ranking.
    pub rank: Fact,
    /// Residual step in magnitude.
    pub step: Fact,
    /// Largest inferior shift in magnitude.
    pub shift: Fact,
}

/// The tying orders of one construct.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Tying {
    /// Name of the construct.
    pub construct: String,
    /// Where tying started.
    pub from: String,
    /// Number of ties.
    pub ties: Fact,
    /// The ties by their letters.
    pub letters: String,
    /// Orders run.
    pub orders: Fact,
    /// Those held.
    pub held: Fact,
    /// How they were sampled; absent when all were run.
    pub sampled: Option<SampleOfOrders>,
    /// Orders within so much residual step of each other count as equal.
    pub band: Fact,
    /// The best order that is held.
    pub best: Option<Left>,
    /// The worst order that is held.
    pub worst: Option<Left>,
    /// The construct's own order; absent when it was not held.
    pub own: Option<Left>,
    /// Reading in sentences.
    pub reading: Vec<String>,
    /// The ranking.
    pub table: Table,
}

impl Tying {
    /// What is told of a construct's orders.
    pub(super) fn new(construct: &Construct, found: &Orders) -> Self {
        let names = TieNames::of(construct);
        let left = |run: &OrderRun| {
            Some(Left {
                order: names.sequence(&run.order),
                rank: Fact::count(run.rank?, ""),
                step: Fact::new(run.residual_step?, 2, "mm"),
                shift: Fact::new(run.residual_shift?, 2, "mm"),
            })
        };
        let held = found.runs.iter().filter(|r| r.rank.is_some()).count();
        Self {
            construct: found.construct.clone(),
            from: words::word(&found.from),
            ties: Fact::count(construct.ties.len(), ""),
            letters: names.list(),
            orders: Fact::count(found.runs.len(), ""),
            held: Fact::count(held, ""),
            sampled: found
                .sampled
                .map(|s| SampleOfOrders { seed: Fact::exact(s.seed as f64, ""), of: Fact::exact(s.of as f64, "") }),
            band: Fact::exact(found.band, "mm"),
            best: found.best().and_then(left),
            worst: found.worst().and_then(left),
            own: found.own().and_then(left),
            reading: order_reading(construct, found, &[]),
            table: orders_table(&names, found),
        }
    }
}

/// Why orders were tied from elsewhere than the displaced position; `None` when they were not.
pub(super) fn why_from(found: &[&Orders]) -> Option<String> {
    let first = found.first()?;
    (first.from == Start::Reduced).then(|| {
        "Orders are tied from the reduced position, because the displaced pose of this case lies \
         deeper in the bed than bone gives."
            .to_owned()
    })
}

/// The seeds of sampled orders, in words for each construct; empty when all orders were run.
pub(super) fn samples(tying: &[Tying]) -> Vec<String> {
    tying
        .iter()
        .filter_map(|t| {
            let s = t.sampled.as_ref()?;
            Some(format!("{}: {} of {} (seed {})", t.construct, t.orders.text, s.of.text, s.seed.text))
        })
        .collect()
}
