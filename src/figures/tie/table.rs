//! The numbers behind the figures of tying orders: every order, every state.

use super::stage::Sequence;
use crate::case::Construct;
use crate::figures::csv::{Csv, field};
use crate::study::result::{OrderRun, Orders};

fn rank(run: &OrderRun) -> String {
    run.rank.map_or_else(String::new, |r| r.to_string())
}

/// How the fragment lies after every tie of every order.
pub(super) fn csv(construct: &Construct, orders: &Orders) -> String {
    let mut csv = Csv::new(&[
        "order",
        "rank",
        "own",
        "state",
        "after",
        "step_mm",
        "step_at_mm",
        "gap_mm",
        "gap_at_mm",
        "inferior_end_shift_mm",
        "middle_shift_mm",
        "superior_end_shift_mm",
        "medial_mm",
        "tilt_deg",
        "spin_deg",
        "yaw_deg",
        "shift_x_mm",
        "shift_y_mm",
        "shift_z_mm",
        "turn_x_deg",
        "turn_y_deg",
        "turn_z_deg",
        "compression_N",
        "worse",
    ]);
    for run in &orders.runs {
        let sequence = Sequence::new(construct, orders, run);
        for stage in &sequence.stages {
            let m = &stage.measures;
            let mut row = vec![
                field(&run.label),
                rank(run),
                run.own.to_string(),
                stage.number.to_string(),
                field(&stage.title),
            ];
            row.extend(
                [
                    m.step.value,
                    m.step.at,
                    m.gap.value,
                    m.gap.at,
                    m.inferior_inferior_end,
                    m.inferior_middle,
                    m.inferior_superior_end,
                    m.medial,
                    m.tilt,
                    m.spin,
                    m.yaw,
                ]
                .into_iter()
                .chain(m.shift)
                .chain(m.turn)
                .map(|v| v.to_string()),
            );
            row.push(
                stage
                    .compression
                    .map_or_else(String::new, |c| c.to_string()),
            );
            row.push(stage.worse.to_string());
            csv.row(row);
        }
        if let Some(lost) = &sequence.lost {
            let number = run.hold.ties.len() + 1;
            let mut row = vec![
                field(&run.label),
                rank(run),
                run.own.to_string(),
                number.to_string(),
                field(lost),
            ];
            row.resize(24, String::new());
            csv.row(row);
        }
    }
    csv.finish()
}

/// The tension of every limb after every tie of one order.
pub(super) fn tensions(construct: &Construct, sequence: &Sequence<'_>) -> String {
    let mut csv = Csv::new(&[
        "order",
        "state",
        "after",
        "limb",
        "just_tied",
        "tension_N",
        "change_N",
    ]);
    for stage in &sequence.stages {
        for (k, limb) in construct.limbs.iter().enumerate() {
            csv.row([
                field(&sequence.run.label),
                stage.number.to_string(),
                field(&stage.title),
                field(&limb.name),
                stage.limbs.contains(&k).to_string(),
                stage.tensions[k].to_string(),
                stage.changes[k].to_string(),
            ]);
        }
    }
    csv.finish()
}
