//! What a report tells of the study of tying orders.

use super::fact::Fact;
use crate::model::Construct;
use crate::show::report::order_reading;
use crate::show::report::tie_names::TieNames;
use crate::show::table::Table;
use crate::show::words;
use crate::study::result::{OrderRun, Orders, Start, WorseIn};
use schemars::JsonSchema;
use serde::Serialize;

/// Most orders that a table lists whole; of more the best and the worst.
const LISTED: usize = 30;
/// How many of the worst then.
const WORST: usize = 6;

/// How orders were chosen when not all were run.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct SampleOfOrders {
    /// Seed.
    pub seed: Fact,
    /// How many orders there are.
    pub of: Fact,
}

/// An order and what it leaves.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
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
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
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
        let letters: Vec<String> = names.all().map(|(letter, members)| format!("{letter}: {members}")).collect();
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
            from: words::start(found.from).to_owned(),
            ties: Fact::count(construct.ties.len(), ""),
            letters: letters.join("; "),
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
            table: table(&names, &letters.join("; "), found),
        }
    }
}

/// The runs of a table: all, or the best and the worst.
fn listed(found: &Orders) -> Vec<&OrderRun> {
    let n = found.runs.len();
    let runs = found.runs.iter().enumerate();
    let keeps = |k: usize, run: &OrderRun| n <= LISTED || run.own || k < LISTED - WORST || k + WORST >= n;
    runs.filter(|(k, run)| keeps(*k, run)).map(|(_, run)| run).collect()
}

fn table(names: &TieNames, letters: &str, found: &Orders) -> Table {
    let rows = listed(found);
    let some = if rows.len() < found.runs.len() { ", the best and the last" } else { "" };
    let mut table = Table::new(
        "orders",
        &format!(
            "Tying orders of {} from the {} position{some} ({letters})",
            found.construct,
            words::start(found.from)
        ),
        &[
            "rank",
            "order",
            "largest step (mm, + proud)",
            "largest inferior shift (mm)",
            "gap (mm)",
            "tilt (deg)",
            "compression (N)",
            "lies worse after, or how it is lost",
        ],
    );
    for run in rows {
        let tied = run.hold.tied.as_ref();
        let own = if run.own { ", its own" } else { "" };
        let measures = tied.map(|t| &t.measures);
        let lost = words::not_held_short(&run.hold.outcome);
        table.row([
            run.rank.map(|r| Fact::count(r, "")).into(),
            format!("{}{own}", names.order(run)).into(),
            measures.map(|m| Fact::signed(m.step.value, 2, "mm")).into(),
            run.residual_shift.map(|s| Fact::new(s, 2, "mm")).into(),
            measures.map(|m| Fact::signed(m.gap.value, 2, "mm")).into(),
            measures.map(|m| Fact::signed(m.tilt, 1, "deg")).into(),
            tied.map(|t| Fact::new(t.bed.compression, 0, "N")).into(),
            match lost {
                None => worse(names, run),
                Some(lost) => lost,
            }
            .into(),
        ]);
    }
    table
}

/// Ties after which the fragment lies worse, each with in what: "B (step, gap)".
fn worse(names: &TieNames, run: &OrderRun) -> String {
    let each: Vec<String> = run
        .worse()
        .iter()
        .map(|tie| {
            let own = run.worsened.iter().filter(|w| w.tie == *tie);
            let what: Vec<&str> = own
                .map(|w| match w.measure {
                    WorseIn::Step => "step",
                    WorseIn::Gap => "gap",
                    WorseIn::InferiorShift => "inferior shift",
                })
                .collect();
            format!("{} ({})", names.letter(run.order[*tie]), what.join(", "))
        })
        .collect();
    if each.is_empty() { "–".to_owned() } else { each.join(" ") }
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
