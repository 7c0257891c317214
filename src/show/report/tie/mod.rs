//! Tying orders: their ranking, what each tie does, and sweeps.

mod names;
mod reading;

use crate::model::{Case, Construct};
use crate::show::table::{Cell, Column, NONE, Table};
use crate::show::terminal::Page;
use crate::show::words::{along_line, not_held_short, num, pull_end, signed, word};
use crate::study::result::{Measures, OrderRun, OrderSweep, Orders, PullEnd, SweepOver, TieRecord, WorseIn};
pub(super) use names::TieNames;

pub use reading::order_reading;

/// Orders that are shown tie by tie, all of them; of more the best, the construct's own and the worst.
const DETAILED: usize = 6;
/// Orders of a sweep that are shown; of more the same.
const SWEPT: usize = 24;
/// Most orders that a report lists whole; of more the best, and so many of the worst.
const LISTED: usize = 30;
const WORST: usize = 6;
/// Tilt beyond which a fragment that has come to rest stands on end, ° (assumed).
const STANDS: f64 = 45.0;

/// Writes what each letter ties, the orders worth showing, and the sweeps.
pub fn tie_short(page: &mut Page, construct: &Construct, orders: &Orders, sweeps: &[OrderSweep]) {
    let names = TieNames::of(construct);
    let letters: Vec<String> = names.all().map(|(letter, tie, _)| format!("{letter} {tie}")).collect();
    page.paragraph(&letters.join(", "));
    page.paragraph("");
    let step = |k: usize| move |r: &&OrderRun| of(r, &|m| Cell::of("step", m.stations[k]));
    let (inferior, middle, superior) = (step(0), step(1), step(2));
    let columns: [Column<'_, &OrderRun>; 10] = [
        ("order", "", &|r| (names.order(r) + if r.own { " *" } else { "" }).into()),
        ("rank", "", &|r| r.rank.map(Cell::count).into()),
        ("largest step", "mm", &|r| of(r, &|m| Cell::of("step", m.step.value))),
        ("inferior", "mm", &inferior),
        ("middle", "mm", &middle),
        ("superior", "mm", &superior),
        ("inferior shift", "mm", &|r| r.residual_shift.map(|s| Cell::of("inferior", s)).into()),
        ("tilt", "°", &|r| of(r, &|m| Cell::of("tilt", m.tilt))),
        ("load at 1 mm", "N", &|r| r.push.as_ref().and_then(|p| p.load_at[1]).map(|l| Cell::of("load-1mm", l)).into()),
        ("fails", "", &|r| {
            let stands = r.hold.tied.as_ref().is_some_and(|t| t.measures.tilt.abs() > STANDS);
            not_held_short(&r.hold.outcome).or_else(|| stands.then(|| "stands on end".to_owned())).into()
        }),
    ];
    let shown = shown(orders, DETAILED);
    let runs = orders.every().filter(|r| shown.contains(&r.label.as_str()));
    page.table(&Table::of("orders", "", runs, &columns).without_empty());
    page.paragraph(&format!(
        "* as the construct has it. Largest step along the fracture line, and at three stations, + proud. Orders within {} mm share a rank.{}",
        num(orders.band, 1),
        if shown.len() < orders.every().count() {
            " The best, the construct's own and the worst are shown."
        } else {
            ""
        }
    ));
    for s in sweeps {
        page.titled(Some(sweep(&names, orders, s)));
        for point in &s.points {
            if let Some(why) = &point.refused {
                page.item(&format!("{}: {why}", point.label));
            }
        }
    }
}

/// Something of how the fragment lies in the end, where it is stable.
fn of(run: &OrderRun, cell: &dyn Fn(&Measures) -> Cell) -> Cell {
    run.hold.tied.as_ref().map(|t| cell(&t.measures)).into()
}

/// Writes the whole ranking, and the orders tie by tie.
pub fn tie_table(page: &mut Page, case: &Case, construct: &Construct, orders: &Orders) {
    let names = TieNames::of(construct);
    page.heading(&format!(
        "{} on {}, tied from the {} position in {}",
        orders.construct,
        case.name,
        word(&orders.from),
        match (orders.runs.len(), &orders.sampled) {
            (1, _) => "1 order".to_owned(),
            (n, None) => format!("{n} orders"),
            (n, Some(s)) => format!("{n} of {} orders (a sample of seed {})", s.of, s.seed),
        }
    ));
    for (letter, _, limbs) in names.all() {
        page.value(&format!("tie {letter}"), limbs);
    }
    let m = &orders.before;
    let lies = format!(
        "step {} mm, {}; gap {} mm; inferior shift {} mm; tilt, spin, yaw {} deg",
        signed(m.step.value, 1),
        along_line(m.step.at),
        signed(m.gap.value, 1),
        shifts(m),
        turns(m)
    );
    page.value("before the first tie", lies);
    page.titled(Some(ranking(&names, orders.every(), "Orders by the largest step that they leave")));
    page.paragraph(&format!(
        "* the construct's own order. Orders whose steps differ by no more than {} mm from the first of their band share \
         a rank. Step: + proud, - recessed, at so far superior (+) or inferior (-) of the middle of the fracture line. \
         Inferior shift tie by tie: of the inferior end, the middle and the superior end. Work: against friction of the bed in all \
         ties. Worse after: ties that leave step, open gap or inferior shift larger by more than {0} mm.",
        num(orders.band, 1)
    ));
    let shown = shown(orders, DETAILED);
    for run in orders.every().filter(|r| shown.contains(&r.label.as_str())) {
        order(page, construct, &names, orders, run);
    }
}

/// Labels of the orders worth showing: all when they are few, otherwise best, own and worst.
fn shown(orders: &Orders, most: usize) -> Vec<&str> {
    if orders.runs.len() <= most {
        return orders.every().map(|r| r.label.as_str()).collect();
    }
    let some = [orders.best(), orders.own(), orders.worst(), orders.together.as_ref()];
    let mut list: Vec<&str> = some.into_iter().flatten().map(|r| r.label.as_str()).collect();
    if list.is_empty() {
        list.extend(orders.runs.first().map(|r| r.label.as_str()));
    }
    list.sort_unstable();
    list.dedup();
    list
}

/// Inferior shift of inferior end, middle and superior end.
fn shifts(m: &Measures) -> String {
    [m.inferior_inferior_end, m.inferior_middle, m.inferior_superior_end].map(|v| num(v, 1)).join("/")
}

/// Tilt, spin and yaw.
fn turns(m: &Measures) -> String {
    [m.tilt, m.spin, m.yaw].map(|v| num(v, 1)).join("/")
}

/// The ranking of a report: all orders, or the best and the worst.
pub(super) fn orders_table(names: &TieNames, found: &Orders) -> Table {
    let n = found.runs.len();
    let keeps = |k: usize, run: &OrderRun| n <= LISTED || run.own || k < LISTED - WORST || k + WORST >= n;
    let rows: Vec<&OrderRun> =
        found.runs.iter().enumerate().filter(|(k, run)| keeps(*k, run)).map(|(_, run)| run).collect();
    let some = if rows.len() < n { ", the best and the last" } else { "" };
    let title =
        format!("Tying orders of {} from the {} position{some} ({})", found.construct, word(&found.from), names.list());
    ranking(names, rows.into_iter(), &title)
}

fn ranking<'a>(names: &TieNames, runs: impl Iterator<Item = &'a OrderRun>, title: &str) -> Table {
    let columns: [Column<'_, &OrderRun>; 11] = [
        ("rank", "", &|r| r.rank.map(Cell::count).into()),
        ("order", "", &|r| (names.order(r) + if r.own { " *" } else { "" }).into()),
        ("largest step", "mm", &|r| of(r, &|m| Cell::of("step", m.step.value))),
        ("largest inferior shift", "mm", &|r| r.residual_shift.map(|s| Cell::of("inferior", s)).into()),
        ("step at", "mm", &|r| of(r, &|m| Cell::signed(m.step.at, 1))),
        ("gap", "mm", &|r| of(r, &|m| Cell::of("gap", m.gap.value))),
        ("tilt/spin/ yaw", "deg", &|r| of(r, &|m| turns(m).into())),
        ("bed", "N", &|r| r.hold.tied.as_ref().map(|t| Cell::fixed(t.bed.compression, 0)).into()),
        ("work", "N mm", &|r| match &r.hold.tied {
            Some(_) => Cell::fixed(r.hold.ties.iter().map(|t| t.friction_work).sum(), 1),
            None => Cell::none(),
        }),
        ("load at 1 mm", "N", &|r| r.push.as_ref().and_then(|p| p.load_at[1]).map(|l| Cell::of("load-1mm", l)).into()),
        ("worse after, or how it fails", "", &|r| {
            not_held_short(&r.hold.outcome).map_or_else(|| worse(names, r), Cell::from)
        }),
    ];
    Table::of("orders", title, runs, &columns).without_empty()
}

/// Ties after which the fragment lies worse, each with what is worse: "B (step, gap)".
fn worse(names: &TieNames, run: &OrderRun) -> Cell {
    let of = |tie: usize| {
        let own = run.worsened.iter().filter(|w| w.tie == tie).map(|w| match w.measure {
            WorseIn::Step => "step",
            WorseIn::Gap => "gap",
            WorseIn::InferiorShift => "shift",
        });
        format!("{} ({})", names.tie(run, tie), own.collect::<Vec<_>>().join(", "))
    };
    let each: Vec<String> = run.worse().iter().map(|tie| of(*tie)).collect();
    if each.is_empty() { Cell::none() } else { each.join(" ").into() }
}

/// One order, tie by tie.
fn order(page: &mut Page, construct: &Construct, names: &TieNames, orders: &Orders, run: &OrderRun) {
    let own = if run.own { ", the construct's own" } else { "" };
    let rank = run.rank.map_or_else(String::new, |rank| format!(", rank {rank}"));
    page.heading(&format!("Order {}{own}{rank}: tie by tie", names.order(run)));
    if let Some(words) = crate::show::words::not_held(&run.hold.outcome) {
        page.paragraph(&format!("Finding, {words}."));
    }
    super::repair::jumps(page, &run.hold.jumps);
    if run.hold.ties.is_empty() {
        return;
    }
    // What was before, then each tie.
    let rows = std::iter::once((0, None, &orders.before))
        .chain(run.hold.ties.iter().enumerate().map(|(k, t)| (k, Some(t), &t.measures)));
    let columns: [Column<'_, (usize, Option<&TieRecord>, &Measures)>; 10] = [
        ("tie", "", &|(k, t, _)| t.map_or("before", |_| names.tie(run, *k)).into()),
        ("pull ended", "", &|(_, t, _)| t.map(stopped).into()),
        ("pulled", "N", &|(_, t, _)| t.map(|t| Cell::fixed(t.pulled, 1)).into()),
        ("step", "mm", &|(.., m)| Cell::of("step", m.step.value)),
        ("at", "mm", &|(.., m)| Cell::signed(m.step.at, 1)),
        ("gap", "mm", &|(.., m)| Cell::of("gap", m.gap.value)),
        ("inferior shift", "mm", &|(.., m)| shifts(m).into()),
        ("tilt/spin/ yaw", "deg", &|(.., m)| turns(m).into()),
        ("bed", "N", &|(_, t, _)| t.map(|t| Cell::fixed(t.compression, 0)).into()),
        ("work", "N mm", &|(_, t, _)| t.map(|t| Cell::fixed(t.friction_work, 1)).into()),
    ];
    page.table(&Table::of("order", "", rows, &columns));
    page.paragraph("");
    if let Some(locks) = locks(names, run) {
        page.table(&locks);
        page.paragraph("");
    }
    page.table(&tensions(construct, names, run));
}

/// Why a pull stopped; a cap that was reached says what is still missing.
fn stopped(t: &TieRecord) -> Cell {
    match (t.end, &t.watch) {
        (PullEnd::Cap, Some(w)) => format!("at its cap, {} mm short of reduced", num(-w.after, 1)).into(),
        (end, _) => pull_end(end).into(),
    }
}

/// The lock criterion between the ties.
fn locks(names: &TieNames, run: &OrderRun) -> Option<Table> {
    let locks = run.hold.ties.iter().enumerate().filter_map(|(k, t)| Some((k, t.lock.as_ref()?)));
    let columns: [Column<'_, (usize, &crate::study::result::Lock)>; 6] = [
        ("after", "", &|(k, _)| names.tie(run, *k).into()),
        ("pull of", "", &|(k, _)| names.tie(run, k + 1).into()),
        ("shear it brings", "N", &|(_, l)| Cell::fixed(l.pull, 1)),
        ("shear on the bed in all", "N", &|(_, l)| Cell::fixed(l.needed, 1)),
        ("friction limit", "N", &|(_, l)| Cell::fixed(l.capacity, 1)),
        ("so the fragment is", "", &|(_, l)| {
            if l.locked { "locked: it cannot slide as a whole" } else { "free to slide" }.into()
        }),
    ];
    Table::of("locks", "", locks, &columns).filled()
}

/// Tensions at the tie ends and pulls of screw heads after each tie, with what the tie changed.
fn tensions(construct: &Construct, names: &TieNames, run: &OrderRun) -> Table {
    let limbs = construct.limbs.iter().map(|l| l.name.as_str());
    let members = limbs.chain(construct.screws.iter().map(|s| s.name.as_str()));
    let heads: Vec<&str> = std::iter::once("pull (N) after").chain(members).collect();
    let mut table = Table::new("tensions", "", &heads);
    let pulls: Vec<Vec<f64>> = run.hold.ties.iter().map(|t| [t.tensions.as_slice(), &t.heads].concat()).collect();
    for (k, now) in pulls.iter().enumerate() {
        let was = |l: usize| k.checked_sub(1).map_or(0.0, |before| pulls[before][l]);
        let cell = |(l, now): (usize, &f64)| match (*now, was(l)) {
            (0.0, 0.0) => Cell::none(),
            (now, was) => Cell { text: format!("{} ({})", num(now, 1), signed(now - was, 1)), value: Some(now) },
        };
        table.row(std::iter::once(names.tie(run, k).into()).chain(now.iter().enumerate().map(cell)));
    }
    table
}

/// What a sweep varies, in words.
pub(super) fn over(over: SweepOver) -> &'static str {
    match over {
        SweepOver::Friction => "friction of the bed",
        SweepOver::Displacement => "the displaced pose (multiples of the case's own)",
        SweepOver::Hinge => "the inferior hinge",
    }
}

fn sweep(names: &TieNames, orders: &Orders, sweep: &OrderSweep) -> Table {
    let title = format!("Against {}: largest step / largest inferior shift left (mm)", over(sweep.over));
    let heads: Vec<&str> = std::iter::once("order").chain(sweep.points.iter().map(|p| p.label.as_str())).collect();
    let mut table = Table::new("order-sweep", &title, &heads);
    let found = |runs: Option<&Orders>, run: &OrderRun| -> Cell {
        let same = |r: &&OrderRun| r.order == run.order && r.together == run.together;
        match runs.and_then(|orders| orders.every().find(same)) {
            Some(OrderRun { residual_step: Some(step), residual_shift: Some(shift), .. }) => {
                Cell { text: format!("{}/{}", num(*step, 1), num(*shift, 1)), value: Some(*step) }
            }
            Some(run) => if run.hold.outcome.is_uncertified() { "no answer" } else { "fails" }.into(),
            None => Cell::none(),
        }
    };
    let shown = shown(orders, SWEPT);
    for run in orders.every().filter(|r| shown.contains(&r.label.as_str())) {
        let name = names.order(run) + if run.own { " *" } else { "" };
        let cells = sweep.points.iter().map(|p| found(p.orders.as_ref(), run));
        table.row(std::iter::once(name.into()).chain(cells));
    }
    if orders.runs.len() > 1 {
        let best = |p: Option<&Orders>| p.and_then(Orders::best).map_or_else(|| NONE.to_owned(), |r| names.order(r));
        let cells = sweep.points.iter().map(|p| best(p.orders.as_ref()).into());
        table.row(std::iter::once("best".into()).chain(cells));
    }
    table
}
