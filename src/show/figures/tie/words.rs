//! Words that the figures of tying orders share.

use super::stage::{Sequence, Stage, counts};
use crate::model::{Case, Construct};
use crate::show::chart::*;
use crate::study::result::{Measures, OrderRun, Orders};

/// A length with its direction in words instead of a sign.
fn directed(value: f64, positive: &str, negative: &str) -> String {
    let text = format!("{:.2}", value.abs());
    let word = match (text.as_str(), value > 0.0) {
        ("0.00", _) => return "0 mm".to_owned(),
        (_, true) => positive,
        (_, false) => negative,
    };
    format!("{text} mm {word}")
}

/// The largest step-off.
pub(super) fn step(m: &Measures) -> String {
    directed(m.step.value, "proud", "recessed")
}

/// The largest gap of the fracture line.
pub(super) fn gap(m: &Measures) -> String {
    directed(m.gap.value, "open", "pressed")
}

/// The inferior shift of the end or middle that is shifted most.
pub(super) fn shift(m: &Measures) -> String {
    directed(m.largest_shift(), "inferior", "superior")
}

/// An angle in degrees.
pub(super) fn degrees(value: f64) -> String {
    format!("{}°", number(value, 1))
}

/// The ties of an order, with arrows.
pub(super) fn chain(sequence: &Sequence<'_>) -> String {
    sequence.titles().join(" → ")
}

/// Heading of the best order and of the worst.
pub(super) fn headings(orders: &Orders, best: &OrderRun, worst: Option<&OrderRun>) -> [String; 2] {
    let (held, all) = counts(orders);
    let own = |run: &OrderRun| if run.own { ", the construct's own" } else { "" };
    if all == 1 {
        return [format!("The order{}", if best.own { " of the construct" } else { "" }), String::new()];
    }
    let best_words = if best.hold.outcome.is_held() {
        format!("Best of {all} orders{}", own(best))
    } else {
        format!("Fixation fails in all {all} orders")
    };
    let worst_words = worst.map_or_else(String::new, |worst| {
        if !worst.hold.outcome.is_held() {
            format!("An order in which fixation fails{}", own(worst))
        } else if held < all {
            format!("Worst of {held} stable orders{} (fixation fails in {})", own(worst), all - held)
        } else {
            format!("Worst of {all} orders{}", own(worst))
        }
    });
    [best_words, worst_words]
}

/// How a drawing shows what was just tied.
pub(super) fn emphasis(construct: &Construct) -> &'static str {
    match (construct.limbs.is_empty(), construct.screws.is_empty()) {
        (_, true) => "Thick: limbs just tied",
        (true, false) => "Dark on a grey band: screws just tied",
        (false, false) => "Thick: limbs just tied; dark on a grey band: screws just tied",
    }
}

/// The language of screws for a caption; nothing without one.
pub(super) fn screws(construct: &Construct) -> &'static str {
    if construct.screws.is_empty() {
        ""
    } else {
        ", a disc with a cross the head of a screw, its line running to where the tip lay when it was placed, with threads beyond the fracture plane"
    }
}

/// What the orders drawn are chosen from, as a sentence.
pub(super) fn choice(orders: &Orders) -> String {
    let (held, all) = counts(orders);
    let mut text = if all == 1 {
        "One order was run.".to_owned()
    } else {
        format!(
            "{all} orders were run, {held} of them stable to the end; they are ranked by the largest residual step-off, and orders within {} mm count as equal.",
            orders.band
        )
    };
    if let Some(sampled) = orders.sampled {
        text.push_str(&format!(" They are a sample of {} orders (seed {}).", sampled.of, sampled.seed));
    }
    text
}

/// A state for alternative text.
pub(super) fn spoken(stage: &Stage) -> String {
    format!("{}: step-off {}, shift {}", stage.title, step(&stage.measures), shift(&stage.measures))
}

/// All states of an order for alternative text.
pub(super) fn all_spoken(sequence: &Sequence<'_>) -> String {
    let states = sequence.stages.iter().map(spoken).chain(sequence.lost.clone());
    joined(states, "; ")
}

/// How the fragment lies after every tie of every order, as a table.
pub(super) fn csv(case: &Case, construct: &Construct, orders: &Orders) -> String {
    let own = ["order", "rank", "own", "state", "after"];
    let rest = [
        "shift_x_mm",
        "shift_y_mm",
        "shift_z_mm",
        "turn_x_deg",
        "turn_y_deg",
        "turn_z_deg",
        "compression_N",
        "worse_in",
    ];
    let mut csv = Csv::new(own.into_iter().chain(Measures::HEADS).chain(rest));
    for run in &orders.runs {
        let sequence = Sequence::new(case, construct, orders, run);
        let rank = run.rank.map(|r| r.to_string());
        let begin = |number: usize, after: &str| row![&run.label, rank.clone(), run.own, number, after];
        for stage in &sequence.stages {
            let m = &stage.measures;
            let numbers = m.columns().into_iter().chain(m.shift).chain(m.turn).map(Cell::from);
            let end = row![stage.compression, stage.worse.join(" ")];
            csv.row(begin(stage.number, &stage.title).into_iter().chain(numbers).chain(end));
        }
        if let Some(lost) = &sequence.lost {
            let blank = std::iter::repeat_n(None::<f64>, Measures::HEADS.len() + rest.len()).map(Cell::from);
            csv.row(begin(run.hold.ties.len() + 1, lost).into_iter().chain(blank));
        }
    }
    csv.finish()
}
