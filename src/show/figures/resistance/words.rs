//! Numbers, caption and alternative text of the figure "resistance".

use super::{EVENTS_A_CURVE, READINGS, ROOMY};
use crate::show::figures::csv::{Csv, field};
use crate::show::figures::event;
use crate::study::result::Push;

/// Curves, readings and every event.
pub(super) fn csv(pushes: &[&Push]) -> String {
    let mut csv = Csv::new(&["kind", "construct", "displacement_mm", "load_N", "what"]);
    for push in pushes {
        let name = field(&push.construct);
        for p in &push.curve {
            csv.row(["curve".to_owned(), name.clone(), p.displacement.to_string(), p.load.to_string(), String::new()]);
        }
        for (at, load) in [0.5, 1.0, 2.0].into_iter().zip(push.load_at) {
            if let Some(load) = load {
                csv.row(["reading".to_owned(), name.clone(), at.to_string(), load.to_string(), String::new()]);
            }
        }
        for e in &push.events {
            csv.row([
                "event".to_owned(),
                name.clone(),
                e.displacement.to_string(),
                e.load.to_string(),
                field(&event::sentence(e)),
            ]);
        }
    }
    csv.finish()
}

/// The caption.
pub(super) fn caption(pushes: &[&Push], direction: &str) -> String {
    let mut text = format!(
        "Load needed to move the fragment's control point in the {direction} direction, from the tied state{}. Filled dots: load read off at 1 and 2 mm; {}. Open symbols: first events after tying, at most {EVENTS_A_CURVE} a curve. A cross ends a curve where the fragment was no longer held or no state could be certified.",
        if pushes.iter().any(|p| p.guided) { ", turning forbidden" } else { ", free to turn" },
        if pushes.len() > ROOMY {
            "the numbers at the end of a curve are the load at 1 mm and at its end"
        } else {
            "the number at the end of a curve is the load there"
        }
    );
    for push in pushes {
        let already: Vec<String> = push.events.iter().filter(|e| e.displacement <= 0.0).map(event::sentence).collect();
        if !already.is_empty() {
            text.push_str(&format!(" Already so when tied, {}: {}.", push.construct, already.join(", ")));
        }
    }
    text
}

/// The alternative text.
pub(super) fn alt(pushes: &[&Push], direction: &str) -> String {
    let rows: Vec<String> = pushes
        .iter()
        .map(|push| {
            let read: Vec<String> = READINGS
                .into_iter()
                .zip(&push.load_at[1..])
                .filter_map(|(at, load)| load.map(|l| format!("{l:.0} N at {at} mm")))
                .collect();
            if read.is_empty() {
                format!("{}: no load read off", push.construct)
            } else {
                format!("{}: {}", push.construct, read.join(", "))
            }
        })
        .collect();
    format!("Line plot of load in newtons against {direction} displacement in millimetres. {}.", rows.join("; "))
}
