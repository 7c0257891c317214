//! What the orders say, in plain sentences made only of computed numbers.

use super::tie_names::TieNames;
use super::tie_table::over;
use super::words::{joined, mode, num};
use crate::case::Construct;
use crate::study::result::{
    Measures, OrderRun, OrderSweep, Orders, Outcome, PullEnd, TieRecord, WorseIn,
};
use std::fmt::Write;

/// The reading of a study of orders.
pub fn order_reading(construct: &Construct, orders: &Orders, sweeps: &[OrderSweep]) -> Vec<String> {
    let names = TieNames::of(construct);
    let mut said = vec![before(&orders.before)];
    said.extend(ranking(&names, orders));
    said.extend(not_held(&names, orders));
    let mut told: Vec<&OrderRun> = Vec::new();
    let first_lost = || orders.runs.iter().find(|r| !r.hold.outcome.is_held());
    let ends = [orders.best(), orders.own(), orders.worst(), first_lost()];
    for run in ends.into_iter().flatten() {
        if !told.iter().any(|r| r.order == run.order) {
            told.push(run);
            said.extend(locked(&names, run, &orders.before));
        }
    }
    said.extend(worse(&names, orders));
    said.extend(caps(&names, orders));
    if let Some(run) = orders.own().or(orders.best()) {
        said.extend(losses(construct, &names, run));
    }
    said.extend(together(orders));
    said.extend(pushed(&names, orders));
    said.extend(sweeps.iter().filter_map(|s| swept(&names, orders, s)));
    said
}

/// The largest step of a pose in words: "4.4 mm (its edge sunk)".
fn step(m: &Measures) -> String {
    let side = if m.step.value >= 0.0 { "proud" } else { "sunk" };
    format!("{} mm (its edge {side})", num(m.step.value.abs(), 1))
}

fn before(m: &Measures) -> String {
    format!(
        "In this model the fragment lies before the first tie with a step of {} and an inferior shift of \
         up to {} mm.",
        step(m),
        num(m.largest_shift(), 1)
    )
}

fn ranking(names: &TieNames, orders: &Orders) -> Vec<String> {
    let held = orders.runs.iter().filter(|r| r.rank.is_some()).count();
    let (Some(best), Some(worst)) = (orders.best(), orders.worst()) else {
        return Vec::new();
    };
    let left = |run: &OrderRun| {
        let m = run
            .hold
            .tied
            .as_ref()
            .map(|t| t.measures)
            .unwrap_or_default();
        format!(
            "a step of {} and an inferior shift of up to {} mm",
            step(&m),
            num(m.largest_shift(), 1)
        )
    };
    if orders.runs.len() == 1 {
        let whose = if best.own {
            "The construct's own order"
        } else {
            "This order"
        };
        return vec![format!(
            "{whose} ({}) leaves {}.",
            names.sequence(&best.order),
            left(best)
        )];
    }
    let equal = orders.runs.iter().filter(|r| r.rank == Some(1)).count();
    let mut said = vec![format!(
        "Of {held} orders that are held, {}{} leaves least: {}{}.",
        names.sequence(&best.order),
        if best.own {
            ", the construct's own,"
        } else {
            ""
        },
        left(best),
        match equal {
            1 => String::new(),
            n => format!("; {n} orders are equal to it within {} mm", orders.band),
        }
    )];
    if held > 1 {
        said.push(format!(
            "The worst that is held, {}{}, leaves {}.",
            names.sequence(&worst.order),
            if worst.own {
                ", the construct's own"
            } else {
                ""
            },
            left(worst)
        ));
    }
    if let Some(own) = orders.own() {
        match own.rank {
            Some(rank) if own.order != best.order && own.order != worst.order => {
                said.push(format!(
                    "The construct's own order, {}, ranks {rank} of {held}: it leaves {}.",
                    names.sequence(&own.order),
                    left(own)
                ));
            }
            _ => {}
        }
    }
    said
}

/// Which orders are not held, and whether one first tie is behind all of them.
fn not_held(names: &TieNames, orders: &Orders) -> Vec<String> {
    let mut said = Vec::new();
    let lost: Vec<&OrderRun> = orders
        .runs
        .iter()
        .filter(|r| matches!(r.hold.outcome, Outcome::NotHeld { .. }))
        .collect();
    let doubtful = orders
        .runs
        .iter()
        .filter(|r| matches!(r.hold.outcome, Outcome::Uncertified { .. }))
        .count();
    if let Some(first) = lost.first() {
        let mut text = format!(
            "{} of {} orders are not held",
            lost.len(),
            orders.runs.len()
        );
        if let Outcome::NotHeld {
            mode: how, during, ..
        } = &first.hold.outcome
        {
            let alike = lost
                .iter()
                .all(|r| matches!(&r.hold.outcome, Outcome::NotHeld { mode: m, .. } if m == how));
            if alike {
                let _ = write!(text, ": the fragment {}", mode(*how));
            }
            if lost.len() == 1 {
                let _ = write!(text, " during the {during}");
            }
        }
        // Ties that, made first, lose every order that begins with them.
        let mut firsts: Vec<usize> = lost
            .iter()
            .filter_map(|r| r.order.first().copied())
            .collect();
        firsts.sort_unstable();
        firsts.dedup();
        let begins = |run: &&&OrderRun, tie: usize| run.order.first() == Some(&tie);
        let every: Vec<String> = firsts
            .iter()
            .filter(|tie| {
                let all = orders.runs.iter().collect::<Vec<_>>();
                all.iter().filter(|r| begins(r, **tie)).count()
                    == lost.iter().filter(|r| begins(r, **tie)).count()
            })
            .map(|tie| names.words(*tie).to_owned())
            .collect();
        if !every.is_empty() && orders.runs.len() > 1 {
            let _ = write!(
                text,
                "; among them every order that begins with {}",
                joined(&every)
            );
        }
        said.push(text + ".");
    }
    if doubtful > 0 {
        said.push(format!(
            "For {doubtful} of {} orders the model has no answer: a state could not be certified.",
            orders.runs.len()
        ));
    }
    said
}

/// The tightest lock of an order: what the bed could hold, what the next tie brought along it, and
/// what stayed.
fn locked(names: &TieNames, run: &OrderRun, before: &Measures) -> Option<String> {
    let margin = |t: &TieRecord| {
        t.lock
            .as_ref()
            .filter(|l| l.capacity > 0.0)
            .map(|l| l.needed / l.capacity)
    };
    let (k, tie) = run
        .hold
        .ties
        .iter()
        .enumerate()
        .filter(|(_, t)| margin(t).is_some())
        .min_by(|a, b| {
            margin(a.1)
                .partial_cmp(&margin(b.1))
                .unwrap_or(std::cmp::Ordering::Equal)
        })?;
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
    text.push_str(if lock.locked {
        ": locked"
    } else {
        ": at no tie of this order is it locked"
    });
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
        None => text.push_str(", and that tie loses the fragment"),
    }
    Some(text + ".")
}

/// Ties that make things worse, over all orders.
fn worse(names: &TieNames, orders: &Orders) -> Vec<String> {
    let mut said = Vec::new();
    let count = orders.runs.first().map_or(0, |r| r.order.len());
    for tie in 0..count {
        let mut parts = Vec::new();
        for (measure, what) in [
            (WorseIn::Step, "the step"),
            (WorseIn::Gap, "the gap"),
            (WorseIn::InferiorShift, "the inferior shift"),
        ] {
            let found: Vec<f64> = orders
                .runs
                .iter()
                .flat_map(|r| {
                    r.worsened
                        .iter()
                        .filter(move |w| w.measure == measure && r.order[w.tie] == tie)
                })
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
            said.push(format!(
                "The tie of {} makes things worse: it enlarges {}.",
                names.words(tie),
                joined(&parts)
            ));
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
fn caps(names: &TieNames, orders: &Orders) -> Vec<String> {
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
        let short = records()
            .filter(|r| r.end == PullEnd::Cap)
            .filter_map(|r| r.watch.map(|w| -w.after))
            .fold(0.0, f64::max);
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

/// The largest loss of a limb to a later tie.
fn losses(construct: &Construct, names: &TieNames, run: &OrderRun) -> Option<String> {
    let (k, limb, loss) = run
        .hold
        .ties
        .iter()
        .enumerate()
        .flat_map(|(k, t)| {
            let own = |l: &usize| t.limbs.contains(&construct.limbs[*l].name);
            (0..construct.limbs.len())
                .filter(move |l| !own(l))
                .map(move |l| (k, l, -t.changes[l]))
        })
        .max_by(|a, b| a.2.total_cmp(&b.2))?;
    // Below a tenth of a newton nothing is worth a word.
    (loss >= 0.1).then(|| {
        let left = run.hold.ties[k].tensions[limb];
        format!(
            "In the order {} the tie of {} takes {} N from {}, which keeps {} N.",
            names.order(run),
            names.words(run.order[k]),
            num(loss, 1),
            construct.limbs[limb].name,
            num(left, 1)
        )
    })
}

fn together(orders: &Orders) -> Option<String> {
    let run = orders.together.as_ref()?;
    Some(match (&run.hold.tied, &run.hold.outcome) {
        (Some(tied), _) => format!(
            "All pulled together leave a step of {} and an inferior shift of up to {} mm.",
            step(&tied.measures),
            num(tied.measures.largest_shift(), 1)
        ),
        (None, Outcome::NotHeld { mode: how, .. }) => format!(
            "All pulled together do not hold it: the fragment {}.",
            mode(*how)
        ),
        (None, _) => "For all pulled together the model has no answer.".to_owned(),
    })
}

/// The load at 1 mm of the orders told of.
fn pushed(names: &TieNames, orders: &Orders) -> Option<String> {
    let mut loads: Vec<String> = Vec::new();
    let mut told: Vec<&[usize]> = Vec::new();
    for run in [orders.best(), orders.own(), orders.worst()]
        .into_iter()
        .flatten()
    {
        let load = run.push.as_ref().and_then(|p| p.load_at[1]);
        if let (Some(load), false) = (load, told.contains(&run.order.as_slice())) {
            told.push(&run.order);
            loads.push(format!(
                "{} N in the order {}",
                num(load, 0),
                names.order(run)
            ));
        }
    }
    (!loads.is_empty()).then(|| {
        format!(
            "Pushed 1 mm afterwards, it resists with {}.",
            joined(&loads)
        )
    })
}

fn swept(names: &TieNames, orders: &Orders, sweep: &OrderSweep) -> Option<String> {
    let solved: Vec<&Orders> = sweep
        .points
        .iter()
        .filter_map(|p| p.orders.as_ref())
        .collect();
    let best: Vec<&OrderRun> = solved.iter().filter_map(|o| o.best()).collect();
    if orders.runs.len() < 2 || best.is_empty() {
        return None;
    }
    let mut counts: Vec<(&[usize], usize)> = Vec::new();
    for run in &best {
        match counts.iter_mut().find(|c| c.0 == run.order.as_slice()) {
            Some(count) => count.1 += 1,
            None => counts.push((&run.order, 1)),
        }
    }
    // The first of those that are best most often.
    let (order, times) = counts
        .iter()
        .rev()
        .max_by_key(|c| c.1)
        .map(|c| (c.0, c.1))?;
    let mut text = format!(
        "Against {}, {} leaves least in {times} of {} values",
        over(sweep.over),
        names.sequence(order),
        solved.len()
    );
    let own = solved
        .iter()
        .filter(|o| o.own().is_some_and(|r| r.rank == Some(1)))
        .count();
    if orders.own().is_some() {
        let _ = write!(
            text,
            ", and the construct's own order is equal to the best in {own}"
        );
    }
    Some(text + ".")
}
