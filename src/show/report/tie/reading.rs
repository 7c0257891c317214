//! What the orders say: the numbers and names of their template.

use super::{TieNames, over};
use crate::model::Construct;
use crate::show::prose::sentences;
use crate::show::words::num;
use crate::study::result::{Measures, Mode, OrderRun, OrderSweep, Orders, Outcome, PullEnd, TieRecord, WorseIn};
use minijinja::{Value, context};

/// The reading of a study of orders.
pub fn order_reading(construct: &Construct, orders: &Orders, sweeps: &[OrderSweep]) -> Vec<String> {
    let names = TieNames::of(construct);
    let runs = &orders.runs;
    let left = |run: &OrderRun| {
        let lies = run.hold.tied.as_ref().map(|t| t.measures).unwrap_or_default();
        context! { order => names.sequence(&run.order), own => run.own, rank => run.rank, left => lies_with(&lies) }
    };
    let (best, own, worst) = (orders.best(), orders.own(), orders.worst());
    let other = |run: &&OrderRun| [best, worst].into_iter().flatten().all(|r| r.order != run.order);
    let mut told: Vec<&OrderRun> = Vec::new();
    for run in [best, own, worst, runs.iter().find(|r| !r.hold.outcome.is_held())].into_iter().flatten() {
        if !told.iter().any(|r| r.order == run.order) {
            told.push(run);
        }
    }
    let count = |is: fn(&OrderRun) -> bool| runs.iter().filter(|r| is(r)).count();
    let data = context! {
        all => runs.len(),
        before => lies_with(&orders.before),
        best => best.map(left),
        worst => worst.map(left),
        own => own.filter(|run| run.rank.is_some()).filter(other).map(left),
        held => count(|r| r.rank.is_some()),
        equal => count(|r| r.rank == Some(1)),
        band => orders.band,
        lost => lost(&names, orders),
        doubtful => count(|r| r.hold.outcome.is_uncertified()),
        locks => told.iter().filter_map(|run| lock(&names, run, &orders.before)).collect::<Vec<_>>(),
        ties => (0..runs.first().map_or(0, |r| r.order.len())).map(|t| tie(&names, orders, t)).collect::<Vec<_>>(),
        losses => own.or(best).map(|run| losses(construct, &names, run)).unwrap_or_default(),
        together => orders.together.as_ref().map(|run| context! {
            lies => run.hold.tied.as_ref().map(|t| lies_with(&t.measures)),
            mode => failure(run).map(|(how, _)| how.words()),
        }),
        loads => loads(&names, orders),
        sweeps => sweeps.iter().filter_map(|s| swept(&names, orders, s)).collect::<Vec<_>>(),
    };
    sentences(include_str!("../said/tie.txt"), &data)
}

/// How a fragment lies in words: "a step of 4.4 mm (recessed) and …".
fn lies_with(m: &Measures) -> String {
    let side = if m.step.value >= 0.0 { "proud" } else { "recessed" };
    let (step, shift) = (num(m.step.value.abs(), 1), num(m.largest_shift(), 1));
    format!("a step of {step} mm ({side}) and an inferior shift of up to {shift} mm")
}

/// How fixation fails, and during what.
fn failure(run: &OrderRun) -> Option<(Mode, &str)> {
    match &run.hold.outcome {
        Outcome::NotHeld { mode, during, .. } => Some((*mode, during)),
        _ => None,
    }
}

/// Which orders fail, and whether one first tie is behind all of them.
fn lost(names: &TieNames, orders: &Orders) -> Option<Value> {
    let lost: Vec<&OrderRun> = orders.runs.iter().filter(|r| failure(r).is_some()).collect();
    let (how, during) = failure(lost.first()?)?;
    // Ties that, made first, lose every order that begins with them.
    let mut firsts: Vec<usize> = lost.iter().filter_map(|r| r.order.first().copied()).collect();
    firsts.sort_unstable();
    firsts.dedup();
    let held = |r: &OrderRun| failure(r).is_none();
    firsts.retain(|tie| !orders.runs.iter().any(|r| r.order.first() == Some(tie) && held(r)));
    Some(context! {
        count => lost.len(),
        mode => lost.iter().all(|r| failure(r).is_some_and(|(m, _)| m == how)).then(|| how.words()),
        during,
        begins => firsts.iter().map(|tie| names.words(*tie)).collect::<Vec<_>>(),
    })
}

/// The tightest lock of an order: what the bed could hold, what the next tie brought along it, and
/// what stayed.
fn lock(names: &TieNames, run: &OrderRun, before: &Measures) -> Option<Value> {
    let ties = &run.hold.ties;
    let locks = ties.iter().enumerate().filter_map(|(k, t)| Some((k, t.lock.as_ref()?)));
    let margin = |l: &crate::study::result::Lock| l.needed / l.capacity;
    let holds = locks.filter(|(_, l)| l.capacity > 0.0);
    let (k, lock) = holds.min_by(|a, b| margin(a.1).total_cmp(&margin(b.1)))?;
    let lies = |t: &TieRecord| [t.measures.largest_shift(), t.measures.step.value];
    Some(context! {
        order => names.order(run),
        after => names.words(run.order[k]),
        next => names.words(run.order[k + 1]),
        lock,
        first => before.largest_shift(),
        was => lies(&ties[k]),
        now => ties.get(k + 1).map(lies),
    })
}

/// What a tie does over all orders: what it makes worse, and that it was to stop when the fragment is back and
/// could not.
fn tie(names: &TieNames, orders: &Orders, tie: usize) -> Value {
    let records = || {
        let made = |r: &OrderRun| r.order.iter().position(|t| *t == tie);
        orders.runs.iter().filter_map(move |r| r.hold.ties.get(made(r)?))
    };
    let made = records().count();
    let most = |values: &mut dyn Iterator<Item = f64>| values.fold(0.0, f64::max);
    let measured =
        [(WorseIn::Step, "the step"), (WorseIn::Gap, "the gap"), (WorseIn::InferiorShift, "the inferior shift")];
    let worse = measured.into_iter().filter_map(|(measure, what)| {
        let of_run = |r: &OrderRun| {
            let same = r.worsened.iter().filter(|w| w.measure == measure && r.order[w.tie] == tie);
            same.map(|w| w.by).collect::<Vec<_>>()
        };
        let found: Vec<f64> = orders.runs.iter().flat_map(of_run).collect();
        let by = num(most(&mut found.iter().copied()), 1);
        let times = found.len();
        (times > 0).then(|| format!("{what} in {times} of {made} orders that come to it, by up to {by} mm"))
    });
    let ended = |end: PullEnd| records().filter(move |r| r.end == end);
    context! {
        tie => names.words(tie),
        made,
        worse => worse.collect::<Vec<_>>(),
        cap => ended(PullEnd::Cap).count(),
        idle => ended(PullEnd::NotReducing).count(),
        target => most(&mut records().map(|r| r.target)),
        short => most(&mut ended(PullEnd::Cap).filter_map(|r| r.watch.map(|w| -w.after))),
    }
}

/// The largest loss of a limb to a tie that is not its own, and of a screw's head.
fn losses(construct: &Construct, names: &TieNames, run: &OrderRun) -> Vec<Value> {
    let limbs: Vec<&String> = construct.limbs.iter().map(|l| &l.name).collect();
    let screws: Vec<&String> = construct.screws.iter().map(|s| &s.name).collect();
    let ties = &run.hold.ties;
    type Holds = fn(&TieRecord) -> &[f64];
    let kinds: [(_, Holds); 2] = [(limbs, |t| &t.tensions), (screws, |t| &t.heads)];
    let loss = |(members, holds): (Vec<&String>, Holds)| {
        let (k, m, loss) = (1..ties.len())
            .flat_map(|k| (0..members.len()).map(move |m| (k, m)))
            .filter(|(k, m)| !ties[*k].names().contains(members[*m]))
            .map(|(k, m)| (k, m, holds(&ties[k - 1])[m] - holds(&ties[k])[m]))
            .max_by(|a, b| a.2.total_cmp(&b.2))?;
        let (order, tie) = (names.order(run), names.words(run.order[k]));
        // Below a tenth of a newton nothing is worth a word.
        (loss >= 0.1).then(|| context! { order, tie, loss, member => members[m], kept => holds(&ties[k])[m] })
    };
    kinds.into_iter().filter_map(loss).collect()
}

/// The load at 1 mm of the orders told of.
fn loads(names: &TieNames, orders: &Orders) -> Vec<String> {
    let mut loads: Vec<String> = Vec::new();
    let mut told: Vec<&[usize]> = Vec::new();
    for run in [orders.best(), orders.own(), orders.worst()].into_iter().flatten() {
        let load = run.push.as_ref().and_then(|p| p.load_at[1]);
        if let (Some(load), false) = (load, told.contains(&run.order.as_slice())) {
            told.push(&run.order);
            loads.push(format!("{} N in the order {}", num(load, 0), names.order(run)));
        }
    }
    loads
}

fn swept(names: &TieNames, orders: &Orders, sweep: &OrderSweep) -> Option<Value> {
    let solved: Vec<&Orders> = sweep.points.iter().filter_map(|p| p.orders.as_ref()).collect();
    let best: Vec<&[usize]> = solved.iter().filter_map(|o| Some(o.best()?.order.as_slice())).collect();
    let times = |order: &&&[usize]| best.iter().filter(|b| *b == *order).count();
    // The first of those that are best most often.
    let order = best.iter().rev().max_by_key(times).filter(|_| orders.runs.len() > 1)?;
    let own = solved.iter().filter(|o| o.own().is_some_and(|r| r.rank == Some(1))).count();
    Some(context! {
        over => over(sweep.over),
        order => names.sequence(order),
        times => times(&order),
        of => solved.len(),
        own => orders.own().map(|_| own),
    })
}
