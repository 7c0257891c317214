//! What the orders say, in plain sentences made only of computed numbers.

mod ties;

use super::{TieNames, over};
use crate::model::Construct;
use crate::show::words::{joined, mode, num};
use crate::study::result::{Measures, OrderRun, OrderSweep, Orders, Outcome};
use std::fmt::Write;
use ties::{caps, locked, losses, worse};

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

/// The largest step of a pose in words: "4.4 mm (recessed)".
fn step(m: &Measures) -> String {
    let side = if m.step.value >= 0.0 { "proud" } else { "recessed" };
    format!("{} mm ({side})", num(m.step.value.abs(), 1))
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
        let m = run.hold.tied.as_ref().map(|t| t.measures).unwrap_or_default();
        format!("a step of {} and an inferior shift of up to {} mm", step(&m), num(m.largest_shift(), 1))
    };
    if orders.runs.len() == 1 {
        let whose = if best.own { "The construct's own order" } else { "This order" };
        return vec![format!("{whose} ({}) leaves {}.", names.sequence(&best.order), left(best))];
    }
    let equal = orders.runs.iter().filter(|r| r.rank == Some(1)).count();
    let mut said = vec![format!(
        "Of {held} orders that are stable, {}{} leaves least: {}{}.",
        names.sequence(&best.order),
        if best.own { ", the construct's own," } else { "" },
        left(best),
        match equal {
            1 => String::new(),
            n => format!("; {n} orders are equal to it within {} mm", orders.band),
        }
    )];
    if held > 1 {
        said.push(format!(
            "The worst that is stable, {}{}, leaves {}.",
            names.sequence(&worst.order),
            if worst.own { ", the construct's own" } else { "" },
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
    let lost: Vec<&OrderRun> =
        orders.runs.iter().filter(|r| matches!(r.hold.outcome, Outcome::NotHeld { .. })).collect();
    let doubtful = orders.runs.iter().filter(|r| matches!(r.hold.outcome, Outcome::Uncertified { .. })).count();
    if let Some(first) = lost.first() {
        let mut text = format!("In {} of {} orders fixation fails", lost.len(), orders.runs.len());
        if let Outcome::NotHeld { mode: how, during, .. } = &first.hold.outcome {
            let alike = lost.iter().all(|r| matches!(&r.hold.outcome, Outcome::NotHeld { mode: m, .. } if m == how));
            if alike {
                let _ = write!(text, ": the fragment {}", mode(*how));
            }
            if lost.len() == 1 {
                let _ = write!(text, " during the {during}");
            }
        }
        // Ties that, made first, lose every order that begins with them.
        let mut firsts: Vec<usize> = lost.iter().filter_map(|r| r.order.first().copied()).collect();
        firsts.sort_unstable();
        firsts.dedup();
        let begins = |run: &&&OrderRun, tie: usize| run.order.first() == Some(&tie);
        let every: Vec<String> = firsts
            .iter()
            .filter(|tie| {
                let all = orders.runs.iter().collect::<Vec<_>>();
                all.iter().filter(|r| begins(r, **tie)).count() == lost.iter().filter(|r| begins(r, **tie)).count()
            })
            .map(|tie| names.words(*tie).to_owned())
            .collect();
        if !every.is_empty() && orders.runs.len() > 1 {
            let _ = write!(text, "; among them every order that begins with {}", joined(&every));
        }
        said.push(text + ".");
    }
    if doubtful > 0 {
        said.push(format!(
            "For {doubtful} of {} orders the model has no answer: the balance of a state could not be checked.",
            orders.runs.len()
        ));
    }
    said
}

fn together(orders: &Orders) -> Option<String> {
    let run = orders.together.as_ref()?;
    Some(match (&run.hold.tied, &run.hold.outcome) {
        (Some(tied), _) => format!(
            "All pulled together leave a step of {} and an inferior shift of up to {} mm.",
            step(&tied.measures),
            num(tied.measures.largest_shift(), 1)
        ),
        (None, Outcome::NotHeld { mode: how, .. }) => {
            format!("With all pulled together fixation fails: the fragment {}.", mode(*how))
        }
        (None, _) => "For all pulled together the model has no answer.".to_owned(),
    })
}

/// The load at 1 mm of the orders told of.
fn pushed(names: &TieNames, orders: &Orders) -> Option<String> {
    let mut loads: Vec<String> = Vec::new();
    let mut told: Vec<&[usize]> = Vec::new();
    for run in [orders.best(), orders.own(), orders.worst()].into_iter().flatten() {
        let load = run.push.as_ref().and_then(|p| p.load_at[1]);
        if let (Some(load), false) = (load, told.contains(&run.order.as_slice())) {
            told.push(&run.order);
            loads.push(format!("{} N in the order {}", num(load, 0), names.order(run)));
        }
    }
    (!loads.is_empty()).then(|| format!("Pushed 1 mm afterwards, it resists with {}.", joined(&loads)))
}

fn swept(names: &TieNames, orders: &Orders, sweep: &OrderSweep) -> Option<String> {
    let solved: Vec<&Orders> = sweep.points.iter().filter_map(|p| p.orders.as_ref()).collect();
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
    let (order, times) = counts.iter().rev().max_by_key(|c| c.1).map(|c| (c.0, c.1))?;
    let mut text = format!(
        "Against {}, {} leaves least in {times} of {} values",
        over(sweep.over),
        names.sequence(order),
        solved.len()
    );
    let own = solved.iter().filter(|o| o.own().is_some_and(|r| r.rank == Some(1))).count();
    if orders.own().is_some() {
        let _ = write!(text, ", and the construct's own order is equal to the best in {own}");
    }
    Some(text + ".")
}
