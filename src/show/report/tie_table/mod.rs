//! Tying orders: their ranking, what each tie does, and sweeps.

mod order;

use super::tie_names::TieNames;
use crate::model::{Case, Construct};
use crate::show::terminal::{Page, Set};
use crate::show::words::{along_line, num, signed, start};
use crate::study::result::{Measures, OrderRun, OrderSweep, Orders, Outcome, SweepOver, WorseIn};
use order::order;

/// Orders that are shown tie by tie, all of them; of more the best, the construct's own and the worst.
const DETAILED: usize = 6;
/// Orders of a sweep that are shown; of more the same.
const SWEPT: usize = 24;

/// Writes the ranking, the orders tie by tie, and the sweeps.
pub fn tie_table(page: &mut Page, case: &Case, construct: &Construct, orders: &Orders, sweeps: &[OrderSweep]) {
    let names = TieNames::of(construct);
    page.heading(&format!(
        "{} on {}, tied from the {} position in {}",
        orders.construct,
        case.name,
        start(orders.from),
        match (orders.runs.len(), &orders.sampled) {
            (1, _) => "1 order".to_owned(),
            (n, None) => format!("{n} orders"),
            (n, Some(s)) => format!("{n} of {} orders (a sample of seed {})", s.of, s.seed),
        }
    ));
    for (letter, limbs) in names.all() {
        page.value(&format!("tie {letter}"), limbs);
    }
    before(page, &orders.before);
    ranking(page, &names, orders);
    let shown = shown(orders, DETAILED);
    for run in orders.every().filter(|r| shown.contains(&r.label.as_str())) {
        order(page, construct, &names, orders, run);
    }
    if shown.len() < orders.every().count() {
        page.gap();
        page.paragraph(
            "Shown tie by tie: the best order, the construct's own and the worst that is held. \
             `--format csv` and `--format json` hold them all.",
        );
    }
    for s in sweeps {
        sweep(page, &names, orders, s);
    }
}

/// Labels of the orders worth showing: all when they are few, otherwise best, own and worst.
fn shown(orders: &Orders, most: usize) -> Vec<&str> {
    if orders.runs.len() <= most {
        return orders.every().map(|r| r.label.as_str()).collect();
    }
    let mut list: Vec<&str> = [orders.best(), orders.own(), orders.worst()]
        .into_iter()
        .flatten()
        .chain(&orders.together)
        .map(|r| r.label.as_str())
        .collect();
    if list.is_empty() {
        list.extend(orders.runs.first().map(|r| r.label.as_str()));
    }
    list.sort_unstable();
    list.dedup();
    list
}

fn before(page: &mut Page, m: &Measures) {
    page.value(
        "before the first tie",
        format!(
            "step {} mm, {}; gap {} mm; inferior shift {} mm; tilt, spin, yaw {} deg",
            signed(m.step.value, 2),
            along_line(m.step.at),
            signed(m.gap.value, 2),
            shifts(m),
            turns(m)
        ),
    );
}

/// Inferior shift of inferior end, middle and superior end.
fn shifts(m: &Measures) -> String {
    [m.inferior_inferior_end, m.inferior_middle, m.inferior_superior_end].map(|v| num(v, 1)).join("/")
}

/// Tilt, spin and yaw.
fn turns(m: &Measures) -> String {
    [m.tilt, m.spin, m.yaw].map(|v| num(v, 1)).join("/")
}

fn ranking(page: &mut Page, names: &TieNames, orders: &Orders) {
    page.heading("Orders by the largest step that they leave");
    let pushed = orders.every().any(|r| r.push.is_some());
    let mut heads = vec![
        ("rank", Set::Right),
        ("order", Set::Left),
        ("step mm", Set::Right),
        ("at mm", Set::Right),
        ("gap mm", Set::Right),
        ("inferior shift mm", Set::Right),
        ("tilt/spin/ yaw deg", Set::Right),
        ("bed N", Set::Right),
        ("work N mm", Set::Right),
        ("worse after", Set::Fill),
    ];
    if pushed {
        heads.push(("at 1 mm N", Set::Right));
    }
    let rows: Vec<Vec<String>> = orders
        .every()
        .map(|run| {
            let name = names.order(run) + if run.own { " *" } else { "" };
            let mut row = vec![run.rank.map_or_else(|| "-".to_owned(), |r| r.to_string()), name];
            match &run.hold.tied {
                Some(tied) => {
                    let m = &tied.measures;
                    row.extend([
                        signed(m.step.value, 2),
                        signed(m.step.at, 1),
                        signed(m.gap.value, 2),
                        shifts(m),
                        turns(m),
                        num(tied.bed.compression, 0),
                        num(friction_work(run), 1),
                    ]);
                }
                None => {
                    row.push(lost(&run.hold.outcome).to_owned());
                    row.extend(std::iter::repeat_n("-".to_owned(), 6));
                }
            }
            row.push(worse(names, run));
            if pushed {
                let load = run.push.as_ref().and_then(|p| p.load_at[1]);
                row.push(load.map_or_else(|| "-".to_owned(), |l| num(l, 0)));
            }
            row
        })
        .collect();
    page.grid(&heads, &rows);
    page.paragraph(&format!(
        "* the construct's own order. Orders whose steps differ by no more than {} mm from the first of \
         their band share a rank. step: + proud, - sunk, at so far superior (+) or inferior (-) of the \
         middle of the fracture line. inferior shift: of the inferior end, the middle and the superior \
         end. work: against friction of the bed in all ties. worse after: ties that leave \
         step (s), open gap (g) or inferior shift (i) larger by more than {0} mm.",
        num(orders.band, 1)
    ));
}

fn friction_work(run: &OrderRun) -> f64 {
    run.hold.ties.iter().map(|t| t.friction_work).sum()
}

fn lost(outcome: &Outcome) -> &'static str {
    match outcome {
        Outcome::Uncertified { .. } => "no answer",
        _ => "not held",
    }
}

/// Ties after which the fragment lies worse, each with what is worse: "B(si)".
fn worse(names: &TieNames, run: &OrderRun) -> String {
    let ties: Vec<String> = run
        .worse()
        .iter()
        .map(|tie| {
            let what: String = run
                .worsened
                .iter()
                .filter(|w| w.tie == *tie)
                .map(|w| match w.measure {
                    WorseIn::Step => 's',
                    WorseIn::Gap => 'g',
                    WorseIn::InferiorShift => 'i',
                })
                .collect();
            format!("{}({what})", names.tie(run, *tie))
        })
        .collect();
    ties.join(" ")
}

/// What a sweep varies, in words.
pub(super) fn over(over: SweepOver) -> &'static str {
    match over {
        SweepOver::Friction => "friction of the bed",
        SweepOver::Displacement => "the displaced pose (multiples of the case's own)",
        SweepOver::Hinge => "the inferior hinge",
    }
}

fn sweep(page: &mut Page, names: &TieNames, orders: &Orders, sweep: &OrderSweep) {
    page.heading(&format!("Against {}: largest step / largest inferior shift left, mm", over(sweep.over)));
    let mut heads = vec![("order", Set::Left)];
    heads.extend(sweep.points.iter().map(|p| (p.label.as_str(), Set::Right)));
    let shown = shown(orders, SWEPT);
    let found = |runs: Option<&Orders>, run: &OrderRun| -> String {
        let same = |r: &&OrderRun| r.order == run.order && r.together == run.together;
        let Some(orders) = runs else {
            return "-".to_owned();
        };
        match orders.every().find(same) {
            Some(OrderRun { residual_step: Some(step), residual_shift: Some(shift), .. }) => {
                format!("{}/{}", num(*step, 1), num(*shift, 1))
            }
            Some(run) => lost(&run.hold.outcome).to_owned(),
            None => "-".to_owned(),
        }
    };
    let mut rows: Vec<Vec<String>> = orders
        .every()
        .filter(|r| shown.contains(&r.label.as_str()))
        .map(|run| {
            let mut row = vec![names.order(run) + if run.own { " *" } else { "" }];
            row.extend(sweep.points.iter().map(|p| found(p.orders.as_ref(), run)));
            row
        })
        .collect();
    if orders.runs.len() > 1 {
        let mut best = vec!["best".to_owned()];
        best.extend(sweep.points.iter().map(|p| {
            let run = p.orders.as_ref().and_then(Orders::best);
            run.map_or_else(|| "-".to_owned(), |r| names.order(r))
        }));
        rows.push(best);
    }
    page.grid(&heads, &rows);
    for point in &sweep.points {
        if let Some(why) = &point.refused {
            page.item(&format!("{}: {why}", point.label));
        }
    }
}
