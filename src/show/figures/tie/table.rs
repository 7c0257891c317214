//! The numbers behind the figures of tying orders: every order, every state.

use super::scene::Scene;
use super::stage::Sequence;
use crate::model::{Case, Construct};
use crate::show::figures::csv::{Csv, field};
use crate::study::result::{Measures, OrderRun, Orders};

fn rank(run: &OrderRun) -> String {
    run.rank.map_or_else(String::new, |r| r.to_string())
}

/// How the fragment lies after every tie of every order.
pub(super) fn csv(case: &Case, construct: &Construct, orders: &Orders) -> String {
    let heads = [
        ["order", "rank", "own", "state", "after"].as_slice(),
        &Measures::HEADS,
        &[
            "shift_x_mm",
            "shift_y_mm",
            "shift_z_mm",
            "turn_x_deg",
            "turn_y_deg",
            "turn_z_deg",
            "compression_N",
            "worse_in",
        ],
    ]
    .concat();
    let mut csv = Csv::new(&heads);
    for run in &orders.runs {
        let sequence = Sequence::new(case, construct, orders, run);
        for stage in &sequence.stages {
            let m = &stage.measures;
            let mut row =
                vec![field(&run.label), rank(run), run.own.to_string(), stage.number.to_string(), field(&stage.title)];
            row.extend(m.columns().into_iter().chain(m.shift).chain(m.turn).map(|v| v.to_string()));
            row.push(stage.compression.map_or_else(String::new, |c| c.to_string()));
            row.push(field(&stage.worse.join(" ")));
            csv.row(row);
        }
        if let Some(lost) = &sequence.lost {
            let number = run.hold.ties.len() + 1;
            let mut row = vec![field(&run.label), rank(run), run.own.to_string(), number.to_string(), field(lost)];
            row.resize(heads.len(), String::new());
            csv.row(row);
        }
    }
    csv.finish()
}

/// The tension of every limb and the pull of every screw's head after every tie of one order.
pub(super) fn tensions(scene: &Scene<'_>, sequence: &Sequence<'_>) -> String {
    let mut csv = Csv::new(&["order", "state", "after", "limb_or_screw", "just_tied", "tension_N", "change_N"]);
    for stage in &sequence.stages {
        for k in 0..stage.tensions.len() {
            csv.row([
                field(&sequence.run.label),
                stage.number.to_string(),
                field(&stage.title),
                field(scene.name(k)),
                stage.now.contains(&k).to_string(),
                stage.tensions[k].to_string(),
                stage.changes[k].to_string(),
            ]);
        }
    }
    csv.finish()
}
