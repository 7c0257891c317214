//! Tying orders as CSV: one tie of one order a line (RFC 4180).

use super::csv::{field, outcome};
use crate::model::Construct;
use crate::study::result::{Measures, OrderRun, OrderSweep, Orders, PullEnd, SweepOver, TieRecord};

/// Columns before those of how the fragment lies.
const BEFORE: [&str; 15] = [
    "construct",
    "sweep",
    "value",
    "order",
    "own",
    "together",
    "rank",
    "outcome",
    "tie",
    "members",
    "stopped",
    "target_N",
    "pulled_N",
    "watched_before_mm",
    "watched_after_mm",
];
/// Columns behind them; those of limbs and screws follow.
const AFTER: [&str; 8] = [
    "bed_compression_N",
    "friction_work_N_mm",
    "lock_pull_N",
    "lock_needed_N",
    "lock_capacity_N",
    "locked",
    "worse",
    "load_at_1mm_N",
];

/// Every order tie by tie, the line 0 of each before the first tie; then the same of every sweep.
pub fn order_csv(construct: &Construct, orders: &Orders, sweeps: &[OrderSweep]) -> String {
    let heads: [&[&str]; 3] = [&BEFORE, &Measures::HEADS, &AFTER];
    let mut heads: Vec<String> = heads.concat().into_iter().map(str::to_owned).collect();
    for limb in &construct.limbs {
        heads.push(field(&format!("tension of {} (N)", limb.name)));
        heads.push(field(&format!("change of {} (N)", limb.name)));
    }
    for screw in &construct.screws {
        heads.push(field(&format!("pull of the head of {} (N)", screw.name)));
        heads.push(field(&format!("change of {} (N)", screw.name)));
    }
    let mut text = heads.join(",");
    text.push('\n');
    lines(&mut text, construct, orders, ["", ""]);
    for sweep in sweeps {
        let over = match sweep.over {
            SweepOver::Friction => "friction",
            SweepOver::Displacement => "displacement",
            SweepOver::Hinge => "hinge",
        };
        for point in &sweep.points {
            if let Some(orders) = &point.orders {
                let number = point.value.map(|v| v.to_string());
                let value = number.as_deref().unwrap_or(&point.label);
                lines(&mut text, construct, orders, [over, value]);
            }
        }
    }
    text
}

fn lines(text: &mut String, construct: &Construct, orders: &Orders, sweep: [&str; 2]) {
    for run in orders.every() {
        let head = [
            field(&orders.construct),
            sweep[0].to_owned(),
            field(sweep[1]),
            field(&run.label),
            run.own.to_string(),
            run.together.to_string(),
            run.rank.map_or_else(String::new, |r| r.to_string()),
            outcome(&run.hold.outcome).to_owned(),
        ];
        let mut line = |cells: Vec<String>| {
            text.push_str(&head.join(","));
            for cell in cells {
                text.push(',');
                text.push_str(&cell);
            }
            text.push('\n');
        };
        let blank = |n: usize| std::iter::repeat_n(String::new(), n);
        let mut first = vec!["0".to_owned()];
        first.extend(blank(6));
        first.extend(orders.before.columns().map(|v| v.to_string()));
        first.extend(blank(AFTER.len() + 2 * (construct.limbs.len() + construct.screws.len())));
        line(first);
        for (k, tie) in run.hold.ties.iter().enumerate() {
            line(cells(run, k, tie));
        }
    }
}

fn cells(run: &OrderRun, k: usize, t: &TieRecord) -> Vec<String> {
    let or_empty = |v: Option<f64>| v.map_or_else(String::new, |v| v.to_string());
    let lock = t.lock.as_ref();
    let last = k + 1 == run.hold.ties.len();
    let load = run.push.as_ref().filter(|_| last).and_then(|p| p.load_at[1]);
    let mut cells = vec![
        (k + 1).to_string(),
        field(&t.names().join("+")),
        match t.end {
            PullEnd::Tension => "tension",
            PullEnd::Reduced => "reduced",
            PullEnd::Cap => "cap",
            PullEnd::NotReducing => "not reducing",
        }
        .to_owned(),
        t.target.to_string(),
        t.pulled.to_string(),
        or_empty(t.watch.map(|w| w.before)),
        or_empty(t.watch.map(|w| w.after)),
    ];
    cells.extend(t.measures.columns().map(|v| v.to_string()));
    cells.extend([
        t.compression.to_string(),
        t.friction_work.to_string(),
        or_empty(lock.map(|l| l.pull)),
        or_empty(lock.map(|l| l.needed)),
        or_empty(lock.map(|l| l.capacity)),
        lock.map_or_else(String::new, |l| l.locked.to_string()),
        run.worse().contains(&k).to_string(),
        or_empty(load),
    ]);
    for (tension, change) in t.tensions.iter().zip(&t.changes) {
        cells.extend([tension.to_string(), change.to_string()]);
    }
    // No head pulls before its screw is placed.
    let before = k.checked_sub(1).map(|k| &run.hold.ties[k].heads);
    for (screw, pull) in t.heads.iter().enumerate() {
        let was = before.map_or(0.0, |heads| heads[screw]);
        cells.extend([pull.to_string(), (pull - was).to_string()]);
    }
    cells
}
