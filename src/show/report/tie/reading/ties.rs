//! What single ties do: lock the fragment, make things worse, reach their cap, unload what was tied before.

use crate::model::Construct;
use crate::show::report::tie::TieNames;
use crate::show::words::{joined, num};
use crate::study::result::{Measures, OrderRun, Orders, PullEnd, TieRecord, WorseIn};
use std::fmt::Write;

/// The tightest lock of an order: what the bed could hold, what the next tie brought along it, and
/// what stayed.
pub(super) fn locked(names: &TieNames, run: &OrderRun, before: &Measures) -> Option<String> {
    let margin = |t: &TieRecord| t.lock.as_ref().filter(|l| l.capacity > 0.0).map(|l| l.needed / l.capacity);
    let (k, tie) = run
        .hold
        .ties
        .iter()
        .enumerate()
        .filter(|(_, t)| margin(t).is_some())
        .min_by(|a, b| margin(a.1).partial_cmp(&margin(b.1)).unwrap_or(std::cmp::Ordering::Equal))?;
    let lock = tie.lock.as_ref()?;
    let mut text = format!(
        "In the order {}, after {} the bed can hold {} N of shear; {} brings {} N along it, {} N with what \
         lies on the bed already",
        names.order(run),
        names.words(run.order[k]),
        num(lock.capacity, 0),
        names.words(run.order[k + 1]),
        num(lock.pull, 0),
        num(lock.needed, 0)
    );
    text.push_str(if lock.locked { ": locked" } else { ": at no tie of this order is it locked" });
    let was = tie.measures;
    match run.hold.ties.get(k + 1).map(|t| t.measures) {
        Some(now) => {
            let _ = write!(
                text,
                ", and {} mm of {} mm of inferior shift stays ({} mm before the first tie), with a step of {} mm \
                 where it was {} mm",
                num(now.largest_shift(), 1),
                num(was.largest_shift(), 1),
                num(before.largest_shift(), 1),
                num(now.step.value.abs(), 1),
                num(was.step.value.abs(), 1)
            );
        }
        None => text.push_str(", and with that tie fixation fails"),
    }
    Some(text + ".")
}

/// Ties that make things worse, over all orders.
pub(super) fn worse(names: &TieNames, orders: &Orders) -> Vec<String> {
    let mut said = Vec::new();
    let count = orders.runs.first().map_or(0, |r| r.order.len());
    for tie in 0..count {
        let mut parts = Vec::new();
        for (measure, what) in
            [(WorseIn::Step, "the step"), (WorseIn::Gap, "the gap"), (WorseIn::InferiorShift, "the inferior shift")]
        {
            let found: Vec<f64> = orders
                .runs
                .iter()
                .flat_map(|r| r.worsened.iter().filter(move |w| w.measure == measure && r.order[w.tie] == tie))
                .map(|w| w.by)
                .collect();
            let most = found.iter().copied().fold(0.0, f64::max);
            if !found.is_empty() {
                let reached = made(orders, tie);
                parts.push(format!(
                    "{what} in {} of {reached} orders that come to it, by up to {} mm",
                    found.len(),
                    num(most, 1)
                ));
            }
        }
        if !parts.is_empty() {
            said.push(format!("The tie of {} makes things worse: it enlarges {}.", names.words(tie), joined(&parts)));
        }
    }
    said
}

/// Orders in which a tie was made.
fn made(orders: &Orders, tie: usize) -> usize {
    let count = |r: &&OrderRun| r.order.iter().take(r.hold.ties.len()).any(|t| *t == tie);
    orders.runs.iter().filter(count).count()
}

/// Ties that were to stop when the fragment is back, and could not.
pub(super) fn caps(names: &TieNames, orders: &Orders) -> Vec<String> {
    let mut said = Vec::new();
    let count = orders.runs.first().map_or(0, |r| r.order.len());
    for tie in 0..count {
        let records = || {
            orders.runs.iter().flat_map(|r| {
                let ties = r.order.iter().zip(&r.hold.ties);
                ties.filter(|(t, _)| **t == tie).map(|(_, record)| record)
            })
        };
        let with = |end: PullEnd| records().filter(move |r| r.end == end).count();
        let (cap, idle) = (with(PullEnd::Cap), with(PullEnd::NotReducing));
        let short =
            records().filter(|r| r.end == PullEnd::Cap).filter_map(|r| r.watch.map(|w| -w.after)).fold(0.0, f64::max);
        if cap > 0 {
            let target = records().map(|r| r.target).fold(0.0, f64::max);
            said.push(format!(
                "The tie of {} was to stop when reduced, but reached its cap of {} N in {cap} of {} orders \
                 that come to it, up to {} mm short.",
                names.words(tie),
                num(target, 0),
                made(orders, tie),
                num(short, 1)
            ));
        }
        if idle > 0 {
            said.push(format!(
                "The tie of {} found nothing to reduce in {idle} of {} orders that come to it, and was pulled to its \
                 tension.",
                names.words(tie),
                made(orders, tie)
            ));
        }
    }
    said
}

/// The largest loss of a limb to a later tie, and of a screw's head.
pub(super) fn losses(construct: &Construct, names: &TieNames, run: &OrderRun) -> Vec<String> {
    let limbs: Vec<String> = construct.limbs.iter().map(|l| l.name.clone()).collect();
    let screws: Vec<String> = construct.screws.iter().map(|s| s.name.clone()).collect();
    let tension = loss(names, run, &limbs, |t| &t.tensions);
    let pull = loss(names, run, &screws, |t| &t.heads);
    tension.into_iter().chain(pull).collect()
}

/// The largest loss of one of these to a tie that is not its own; `holds`: what each of them holds after
/// a tie, N.
fn loss(names: &TieNames, run: &OrderRun, members: &[String], holds: impl Fn(&TieRecord) -> &[f64]) -> Option<String> {
    let ties = &run.hold.ties;
    let (k, member, loss) = (1..ties.len())
        .flat_map(|k| (0..members.len()).map(move |m| (k, m)))
        .filter(|(k, m)| !ties[*k].names().contains(&members[*m]))
        .map(|(k, m)| (k, m, holds(&ties[k - 1])[m] - holds(&ties[k])[m]))
        .max_by(|a, b| a.2.total_cmp(&b.2))?;
    // Below a tenth of a newton nothing is worth a word.
    (loss >= 0.1).then(|| {
        format!(
            "In the order {} the tie of {} takes {} N from {}, which keeps {} N.",
            names.order(run),
            names.words(run.order[k]),
            num(loss, 1),
            members[member],
            num(holds(&ties[k])[member], 1)
        )
    })
}
