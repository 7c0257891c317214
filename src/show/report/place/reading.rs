//! The reading of a search for better places, in sentences.

use super::moves::{medial, moved, step, swapped};
use super::slips::{forgiving, over_draws, paired};
use super::{of_aim, valued};
use crate::show::words::{joined, num, percent, signed, start};
use crate::study::result::{Aim, EndedBy, Place, Placement};

/// Largest violation of a design that keeps its constraints, as a share of the limit: rounding.
const KEPT: f64 = 1e-6;

/// What a search found, in sentences.
pub fn place_reading(found: &Place) -> Vec<String> {
    let aim = &found.aims[0];
    let mut list = Vec::new();
    list.extend(fault(found));
    list.extend(gained(found, aim));
    list.extend(found.remarks.iter().map(|r| format!("{r}.")));
    let moved = moved(found);
    if !moved.is_empty() {
        list.push(format!("From where the construct has them, {}.", joined(&moved)));
    }
    list.extend(swapped(found));
    list.extend(medial(found));
    list.extend(step(found));
    list.push(held_by(found));
    list.push(starts(found, aim));
    list.extend(over_draws(found, aim));
    list.extend(paired(found, aim));
    list.extend(forgiving(found));
    list.extend(front(found));
    list.extend(unfinished(found));
    list
}

/// What makes the answer none, first of all.
pub(super) fn fault(found: &Place) -> Option<String> {
    if found.found.values[0].is_none() {
        Some(format!("No design to use: with the full bed fixation by the answer fails ({}).", found.found.why))
    } else if found.found.violation > KEPT {
        Some(format!(
            "No design to use: with the full bed the answer passes a limit by {} of it.",
            percent(found.found.violation)
        ))
    } else {
        None
    }
}

fn gained(found: &Place, aim: &Aim) -> Option<String> {
    let answer = found.found.values[0]?;
    let words = format!(
        "In this model, on {}, tied from the {} position, {} of {} becomes {}",
        found.case,
        start(found.from),
        aim.label,
        found.construct,
        of_aim(aim, answer)
    );
    Some(match found.given.values[0] {
        None => format!("{words}; as given fixation fails ({}).", found.given.why),
        Some(given) => {
            let ratio = if given.abs() > 0.0 {
                format!(", {} %", signed(100.0 * (answer - given) / given.abs(), 0))
            } else {
                String::new()
            };
            let beyond = if found.given.violation > 0.0 {
                "; the given construct itself does not keep the constraints"
            } else {
                ""
            };
            format!("{words}; as given it is {}{ratio}{beyond}.", of_aim(aim, given))
        }
    })
}

fn held_by(found: &Place) -> String {
    let active: Vec<String> =
        found.found.kept.iter().filter(|k| k.active).map(|k| format!("{} ({})", k.label, k.subject)).collect();
    let ends: Vec<String> = found.variables.iter().filter(|v| v.at_end).map(|v| v.path.clone()).collect();
    let mut parts = Vec::new();
    if !active.is_empty() {
        parts.push(format!("it stands at the limit of {}", joined(&active)));
    }
    if !ends.is_empty() {
        parts.push(format!(
            "at an end of {} lies {}",
            if ends.len() == 1 { "its range" } else { "their ranges" },
            joined(&ends)
        ));
    }
    if parts.is_empty() {
        "Nothing but the objective holds the answer: no constraint is active and no variable at an end of its range."
            .to_owned()
    } else {
        format!("What holds the answer: {}. More would need another limit or range.", parts.join("; "))
    }
}

/// What an end that was asked for left out.
pub(super) fn unfinished(found: &Place) -> Option<String> {
    (!found.unfinished.is_empty()).then(|| {
        format!(
            "Interrupted: {} {} not finished.",
            joined(&found.unfinished),
            if found.unfinished.len() == 1 { "was" } else { "were" }
        )
    })
}

/// The starts, and whether more might be found.
fn starts(found: &Place, aim: &Aim) -> String {
    let spent = found.starts.iter().filter(|s| s.ended == EndedBy::Budget);
    let more = match spent.count() {
        0 => String::new(),
        n => format!(
            " With their {} evaluations spent {}: this is the best found, and more evaluations may find better \
             (--evaluations).",
            found.budget,
            match n {
                n if n == found.starts.len() => "the search had not settled".to_owned(),
                1 => "one start had not settled".to_owned(),
                n => format!("{n} starts had not settled"),
            }
        ),
    };
    format!("{}{more}", agreed(found, aim))
}

fn agreed(found: &Place, aim: &Aim) -> String {
    let ends = EndedBy::counted(&found.starts, EndedBy::told);
    if found.starts.len() == 1 {
        return format!("One start ({}), {} evaluations.", joined(&ends), found.evaluations);
    }
    let met = found.starts.iter().filter(|s| s.value.is_some()).count();
    if met < found.starts.len() {
        let words = format!(
            "Of {} starts {}; only {met} met a design that keeps the constraints",
            found.starts.len(),
            joined(&ends)
        );
        return if met < 2 {
            format!("{words}: nothing says how far others would differ.")
        } else {
            format!("{words}, and those differ by up to {}.", of_aim(aim, found.disagreement))
        };
    }
    format!(
        "Of {} starts {}; their answers differ by up to {} and their anchors by up to {} mm{}",
        found.starts.len(),
        joined(&ends),
        of_aim(aim, found.disagreement),
        num(found.disagreement_mm, 1),
        if found.disagreement_mm > 2.0 {
            ": there is more than one good design, or the optimum is flat. Do not read the last millimetre."
        } else {
            "."
        }
    )
}

fn front(found: &Place) -> Option<String> {
    let front = found.front.as_ref()?;
    let [a, b] = found.aims.as_slice() else {
        return None;
    };
    let pair = |p: &Placement| match valued(found, p) {
        [Some(x), Some(y)] => format!("{} and {}", of_aim(a, *x), of_aim(b, *y)),
        _ if found.robust => "without a value".to_owned(),
        _ => "unstable".to_owned(),
    };
    let designs: Vec<String> = front.designs.iter().map(|d| format!("{}: {}", d.name, pair(d))).collect();
    Some(format!(
        "Both at once ({}, {}; {}both tied from the {} position), {} designs of which none beats another in both: {}. The given construct ({}) is {}.",
        a.label,
        b.label,
        if found.robust {
            format!(
                "{} and {} percentile over {} draws, on the full bed, ",
                a.percentile(),
                b.percentile(),
                found.draws
            )
        } else {
            String::new()
        },
        start(found.from),
        front.points.len(),
        designs.join("; "),
        pair(&found.given),
        if front.given_is_beaten { "beaten in both by some of them" } else { "not beaten in both by any of them" }
    ))
}
