//! Words that the figures of tying orders share.

use super::stage::{Sequence, Stage, counts};
use crate::model::{Case, Construct, Side};
use crate::show::figures::axis::signed;
use crate::show::figures::canvas::Type;
use crate::show::figures::label::wrap;
use crate::study::result::{Measures, OrderRun, Orders};

/// Breaks a text at spaces only; a word that is wider alone is broken where it must be.
pub(super) fn lines(text: &str, set: Type, width: f64) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split(' ') {
        match lines.last_mut() {
            Some(line) if set.width(&format!("{line} {word}")) <= width => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.extend(wrap(word, set, width)),
        }
    }
    lines
}

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

/// The largest articular step.
pub(super) fn step(m: &Measures) -> String {
    directed(m.step.value, "proud", "sunk")
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
    let text = format!("{value:.1}");
    let text = if text == "-0.0" { "0.0" } else { &text };
    format!("{}°", signed(text))
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
        format!("None of {all} orders is held")
    };
    let worst_words = worst.map_or_else(String::new, |worst| {
        if !worst.hold.outcome.is_held() {
            format!("An order that is not held{}", own(worst))
        } else if held < all {
            format!("Worst of {held} held orders{} ({} not held)", own(worst), all - held)
        } else {
            format!("Worst of {all} orders{}", own(worst))
        }
    });
    [best_words, worst_words]
}

/// Which shoulder is seen.
pub(super) fn side(case: &Case) -> &'static str {
    match case.side {
        Side::Right => "right shoulder",
        Side::Left => "left shoulder",
    }
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
            "{all} orders were run, {held} of them held to the end; they are ranked by the largest residual step, and orders within {} mm count as equal.",
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
    format!("{}: step {}, shift {}", stage.title, step(&stage.measures), shift(&stage.measures))
}
