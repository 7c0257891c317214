//! One order of ties: how each pull stopped, where the fragment lay then, what it locked and unloaded.

use super::{shifts, turns};
use crate::model::Construct;
use crate::show::report::repair::jumps;
use crate::show::report::tie_names::TieNames;
use crate::show::terminal::{Page, Set};
use crate::show::words::{not_held, num, pull_end, signed};
use crate::study::result::{Measures, OrderRun, Orders, PullEnd, TieRecord};

/// One order, tie by tie.
pub(super) fn order(page: &mut Page, construct: &Construct, names: &TieNames, orders: &Orders, run: &OrderRun) {
    let own = if run.own { ", the construct's own" } else { "" };
    page.heading(&match run.rank {
        Some(rank) => format!("Order {}{own}, rank {rank}: tie by tie", names.order(run)),
        None => format!("Order {}{own}: tie by tie", names.order(run)),
    });
    if let Some(words) = not_held(&run.hold.outcome) {
        page.paragraph(&format!("Finding, {words}."));
    }
    jumps(page, &run.hold.jumps);
    if run.hold.ties.is_empty() {
        return;
    }
    let tie_of = |k: usize| names.tie(run, k).to_owned();
    let lies =
        |m: &Measures| [signed(m.step.value, 2), signed(m.step.at, 1), signed(m.gap.value, 2), shifts(m), turns(m)];
    let mut rows = vec![{
        let mut row = vec!["-".to_owned(), "before".to_owned(), String::new()];
        row.extend(lies(&orders.before));
        row.extend([String::new(), String::new()]);
        row
    }];
    rows.extend(run.hold.ties.iter().enumerate().map(|(k, t)| {
        let mut row = vec![tie_of(k), stopped(t), num(t.pulled, 1)];
        row.extend(lies(&t.measures));
        row.extend([num(t.compression, 0), num(t.friction_work, 1)]);
        row
    }));
    page.grid(
        &[
            ("tie", Set::Left),
            ("stopped", Set::Fill),
            ("pulled N", Set::Right),
            ("step mm", Set::Right),
            ("at mm", Set::Right),
            ("gap mm", Set::Right),
            ("inferior shift mm", Set::Right),
            ("tilt/spin/ yaw deg", Set::Right),
            ("bed N", Set::Right),
            ("work N mm", Set::Right),
        ],
        &rows,
    );
    page.paragraph("");
    locks(page, run, &tie_of);
    page.paragraph("");
    tensions(page, construct, run, &tie_of);
}

/// Why a pull stopped; a cap that was reached says what is still missing.
fn stopped(t: &TieRecord) -> String {
    match (t.end, &t.watch) {
        (PullEnd::Cap, Some(w)) => {
            format!("at its cap, {} mm short of reduced", num(-w.after, 2))
        }
        (end, _) => pull_end(end).to_owned(),
    }
}

/// The lock criterion between the ties.
fn locks(page: &mut Page, run: &OrderRun, tie_of: &dyn Fn(usize) -> String) {
    let rows: Vec<Vec<String>> = run
        .hold
        .ties
        .iter()
        .enumerate()
        .filter_map(|(k, t)| {
            let lock = t.lock.as_ref()?;
            Some(vec![
                tie_of(k),
                tie_of(k + 1),
                num(lock.pull, 1),
                num(lock.needed, 1),
                num(lock.capacity, 1),
                if lock.locked { "locked: it cannot slide as a whole" } else { "free to slide" }.to_owned(),
            ])
        })
        .collect();
    if rows.is_empty() {
        return;
    }
    page.grid(
        &[
            ("after", Set::Left),
            ("pull of", Set::Left),
            ("brings along the bed N", Set::Exact(13)),
            ("asks of the bed in all N", Set::Exact(13)),
            ("the bed can hold N", Set::Exact(12)),
            ("so the fragment is", Set::Fill),
        ],
        &rows,
    );
}

/// Tensions at the tie ends and pulls of screw heads after each tie, with what the tie changed.
fn tensions(page: &mut Page, construct: &Construct, run: &OrderRun, tie_of: &dyn Fn(usize) -> String) {
    let names: Vec<&str> = construct
        .limbs
        .iter()
        .map(|l| l.name.as_str())
        .chain(construct.screws.iter().map(|s| s.name.as_str()))
        .collect();
    let pulls: Vec<Vec<f64>> = run.hold.ties.iter().map(|t| [t.tensions.as_slice(), &t.heads].concat()).collect();
    let members: Vec<usize> = (0..names.len()).collect();
    // As many side by side as the page takes; the rest below.
    for block in members.chunks(6) {
        let mut heads = vec![("pull N after", Set::Left)];
        heads.extend(block.iter().map(|k| (names[*k], Set::Right)));
        let rows: Vec<Vec<String>> = pulls
            .iter()
            .enumerate()
            .map(|(k, now)| {
                let mut row = vec![tie_of(k)];
                row.extend(block.iter().map(|l| {
                    let was = k.checked_sub(1).map_or(0.0, |before| pulls[before][*l]);
                    if now[*l] == 0.0 && was == 0.0 {
                        "-".to_owned()
                    } else {
                        format!("{} ({})", num(now[*l], 1), signed(now[*l] - was, 1))
                    }
                }));
                row
            })
            .collect();
        page.grid(&heads, &rows);
    }
}
