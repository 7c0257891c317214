//! The reading of a search for better places, in sentences.

use super::words::{joined, num, percent, signed, start};
use crate::study::result::{
    Aim, DrawEnds, EndedBy, FreeVariable, Place, WanderMap, WayEnd, WayOut,
};

/// Largest violation of a design that keeps its constraints, as a share of the limit: rounding.
const KEPT: f64 = 1e-6;

/// A value of an objective with its unit.
pub(super) fn of_aim(aim: &Aim, value: f64) -> String {
    let text = num(value, aim.decimals());
    if aim.unit.is_empty() {
        text
    } else {
        format!("{text} {}", aim.unit)
    }
}

/// What a search found, in sentences.
pub fn place_reading(found: &Place) -> Vec<String> {
    let aim = &found.aims[0];
    let mut list = Vec::new();
    list.extend(fault(found));
    list.extend(gained(found, aim));
    list.extend(found.remarks.iter().map(|r| format!("{r}.")));
    let moved = moved(found);
    if !moved.is_empty() {
        list.push(format!(
            "From where the construct has them, {}.",
            joined(&moved)
        ));
    }
    list.extend(swapped(found));
    list.extend(medial(found));
    list.extend(step(found));
    list.push(held_by(found));
    list.push(starts(found, aim));
    list.extend(left_out(found));
    list.extend(paired(found, aim));
    list.extend(forgiving(found));
    list.extend(front(found));
    list
}

/// What makes the answer none, first of all.
pub(super) fn fault(found: &Place) -> Option<String> {
    if found.found.values[0].is_none() {
        Some(format!(
            "No design to use: with the full bed the answer is not held ({}).",
            found.found.why
        ))
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
        None => format!("{words}; as given it is not held ({}).", found.given.why),
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
            format!(
                "{words}; as given it is {}{ratio}{beyond}.",
                of_aim(aim, given)
            )
        }
    })
}

fn named(v: &FreeVariable) -> (String, String) {
    let parts: Vec<&str> = v.path.split('.').collect();
    match parts.as_slice() {
        ["anchor", name, key] => ((*name).to_owned(), (*key).to_owned()),
        ["limb", name, rest @ ..] => (
            format!("limb {name}"),
            if rest[0] == "tension" {
                "tension".to_owned()
            } else {
                format!("crossing {}", rest.get(1).unwrap_or(&""))
            },
        ),
        _ => (v.path.clone(), String::new()),
    }
}

/// Each variable that moved by more than a tenth of a millimetre (or of a newton), in words.
fn moved(found: &Place) -> Vec<String> {
    found
        .variables
        .iter()
        .filter(|v| (v.found - v.given).abs() >= 0.1)
        .map(|v| {
            let (name, key) = named(v);
            let by = v.found - v.given;
            let size = num(by.abs(), 1);
            let up = by > 0.0;
            let (up_word, down_word) = match key.as_str() {
                "along" => ("superiorly", "inferiorly"),
                "inset" => (
                    "farther from the fracture line",
                    "nearer to the fracture line",
                ),
                "beyond" | "deep" | "below" => ("medially", "laterally"),
                "tension" => ("more tension", "less tension"),
                key if key.starts_with("crossing") => {
                    let word = if up { "superiorly" } else { "inferiorly" };
                    return format!("{key} of {name} goes {size} mm {word}");
                }
                _ => ("up", "down"),
            };
            let word = if up { up_word } else { down_word };
            match key.as_str() {
                "tension" => format!("{name} gets {size} N {word}"),
                "hours" => format!(
                    "{name} goes {size} h {}",
                    if up { "inferiorly" } else { "superiorly" }
                ),
                _ => format!("{name} goes {size} mm {word}"),
            }
        })
        .collect()
}

/// Where the anchors medial to the fragment sit: common practice puts them below the middle.
/// Anchors of one row that changed places along the fracture line: their names may then mislead.
fn swapped(found: &Place) -> Option<String> {
    let row = |v: &FreeVariable| -> Option<String> {
        let (name, key) = named(v);
        let prefix = format!("anchor.{name}.");
        let other = |o: &FreeVariable| o.path.strip_prefix(&prefix).map(str::to_owned);
        let mut others = found.variables.iter().filter_map(other);
        (key == "along").then(|| others.find(|k| k != "along"))?
    };
    let mut list = Vec::new();
    for (k, a) in found.variables.iter().enumerate() {
        for b in &found.variables[k + 1..] {
            let same = row(a).is_some() && row(a) == row(b);
            if same && (a.given - b.given) * (a.found - b.found) < 0.0 {
                let (upper, lower) = if a.found > b.found { (a, b) } else { (b, a) };
                list.push(format!(
                    "{} now lies above {}",
                    named(upper).0,
                    named(lower).0
                ));
            }
        }
    }
    (!list.is_empty()).then(|| {
        format!(
            "Mind the names, which are those of the given construct: {}.",
            joined(&list)
        )
    })
}

fn medial(found: &Place) -> Option<String> {
    let along: Vec<&FreeVariable> = found
        .variables
        .iter()
        .filter(|v| {
            let (name, key) = named(v);
            let prefix = format!("anchor.{name}.");
            key == "along"
                && found
                    .variables
                    .iter()
                    .any(|o| [format!("{prefix}beyond"), format!("{prefix}deep")].contains(&o.path))
        })
        .collect();
    if along.is_empty() {
        return None;
    }
    let mean = along.iter().map(|v| v.found).sum::<f64>() / along.len() as f64;
    let which = if along.len() == 1 {
        "the medial anchor lies".to_owned()
    } else {
        format!("the {} medial anchors lie on average", along.len())
    };
    let side = if mean.abs() < 0.05 {
        "at the middle of the fragment".to_owned()
    } else if mean < 0.0 {
        format!("{} mm below the middle of the fragment", num(-mean, 1))
    } else {
        format!("{} mm above the middle of the fragment", num(mean, 1))
    };
    Some(format!(
        "In the answer {which} {side}; common practice (no source) puts medial anchors rather lower."
    ))
}

/// What the objective does not ask for: the step that is left.
fn step(found: &Place) -> Option<String> {
    let of = |p: &crate::study::result::Placement| {
        let tied = p.hold.as_ref()?.tied.as_ref()?;
        Some(tied.measures.step.value)
    };
    let (given, answer) = (of(&found.given)?, of(&found.found)?);
    Some(format!(
        "As tied, the largest articular step is {} mm as given and {} mm as found (lateral positive){}.",
        signed(given, 1),
        signed(answer, 1),
        if found.aims.iter().any(|a| a.key == "reduction") {
            ""
        } else {
            "; the objective does not ask for it"
        }
    ))
}

fn held_by(found: &Place) -> String {
    let active: Vec<String> = found
        .found
        .kept
        .iter()
        .filter(|k| k.active)
        .map(|k| format!("{} ({})", k.label, k.subject))
        .collect();
    let ends: Vec<String> = found
        .variables
        .iter()
        .filter(|v| v.at_end)
        .map(|v| v.path.clone())
        .collect();
    let mut parts = Vec::new();
    if !active.is_empty() {
        parts.push(format!("it stands at the limit of {}", joined(&active)));
    }
    if !ends.is_empty() {
        parts.push(format!(
            "at an end of {} lies {}",
            if ends.len() == 1 {
                "its range"
            } else {
                "their ranges"
            },
            joined(&ends)
        ));
    }
    if parts.is_empty() {
        "Nothing but the objective holds the answer: no constraint is active and no variable at an end of its range."
            .to_owned()
    } else {
        format!(
            "What holds the answer: {}. More would need another limit or range.",
            parts.join("; ")
        )
    }
}

fn starts(found: &Place, aim: &Aim) -> String {
    let count = |by: EndedBy| found.starts.iter().filter(|s| s.ended == by).count();
    let ends: Vec<String> = [
        (EndedBy::Settled, "settled"),
        (EndedBy::Budget, "spent their evaluations"),
        (EndedBy::Interrupted, "were interrupted"),
    ]
    .iter()
    .filter(|(by, _)| count(*by) > 0)
    .map(|(by, words)| format!("{} {words}", count(*by)))
    .collect();
    if found.starts.len() == 1 {
        return format!(
            "One start ({}), {} evaluations.",
            joined(&ends),
            found.evaluations
        );
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
            format!(
                "{words}, and those differ by up to {}.",
                of_aim(aim, found.disagreement)
            )
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

fn paired(found: &Place, aim: &Aim) -> Option<String> {
    let g = found.gain.as_ref()?;
    let d = aim.decimals();
    let [given, answer] = g.ends;
    let lost = if [given.lost, answer.lost] == [0, 0] {
        String::new()
    } else {
        format!(
            " The fragment is lost in {} of the draws as given and in {} as found.",
            given.lost, answer.lost
        )
    };
    let silent = silent(&g.ends);
    let fragile = if answer.lost > given.lost && !found.robust {
        " The answer is more fragile than what was given: --robust seeks one that is not."
    } else {
        ""
    };
    let unit = if aim.unit.is_empty() {
        String::new()
    } else {
        format!("{} ", aim.unit)
    };
    let differs = match (g.median, g.low, g.high) {
        (Some(median), Some(low), Some(high)) => format!(
            "the answer differs by {} (median; 80 % of draws from {} to {}) {unit}",
            signed(median, d),
            signed(low, d),
            signed(high, d)
        ),
        _ => "no draw has a difference to tell, ".to_owned(),
    };
    let better = g.better.map_or_else(
        || "which is the better one is not known".to_owned(),
        |b| format!("is the better one in {}", percent(b.value)),
    );
    Some(format!(
        "On {} fresh draws of placement error and tension, both designs under each: {differs}and {better}; the value \
         that nine of ten draws reach is {} as given and {} as found.{lost}{silent}{fragile}",
        g.draws,
        reached(aim, g.given, &given),
        reached(aim, g.found, &answer)
    ))
}

/// What nine of ten draws reach, or why there is no such value.
pub(super) fn reached(aim: &Aim, value: Option<f64>, ends: &DrawEnds) -> String {
    match value {
        Some(value) => of_aim(aim, value),
        None if ends.suffice() => "none (lost in a tenth)".to_owned(),
        None => "not known (fewer than nine in ten draws count)".to_owned(),
    }
}

/// The draws that are left out as given and as found; nothing when there are none.
pub(super) fn silent(ends: &[DrawEnds; 2]) -> String {
    let [given, found] = ends;
    if given.silent() + found.silent() == 0 {
        return String::new();
    }
    format!(
        " Left out are {} draws as given and {} as found without a certificate, {} and {} without a place on bone.",
        given.uncertified, found.uncertified, given.impossible, found.impossible
    )
}

/// The draws of a robust search that say nothing.
fn left_out(found: &Place) -> Option<String> {
    let ends = found.draw_ends.map(Option::unwrap_or_default);
    let words = silent(&ends);
    (!words.is_empty()).then(|| format!("In the {} draws of the search:{words}", found.draws))
}

/// The way on which least is needed to lose a tenth or to break a constraint.
fn narrowest(map: &WanderMap) -> Option<&WayOut> {
    let four = map.ways.iter().take(4);
    four.filter(|w| w.end != WayEnd::Range)
        .min_by(|a, b| a.distance.total_cmp(&b.distance))
}

/// Which anchor forgives least, and which most.
fn forgiving(found: &Place) -> Option<String> {
    let mut maps: Vec<&WanderMap> = found.wander.iter().collect();
    maps.sort_by(|a, b| a.area_10.total_cmp(&b.area_10));
    let (first, last) = (maps.first()?, maps.last()?);
    let way = |map: &WanderMap| match narrowest(map) {
        Some(w) => format!(
            "{} mm {} {}",
            num(w.distance, 1),
            w.name,
            match &w.end {
                WayEnd::Constraint { label, .. } => format!("until {label} ends it"),
                _ => "until a tenth is lost".to_owned(),
            }
        ),
        None => "no way within its range".to_owned(),
    };
    let unit = |map: &WanderMap| {
        if map.coordinates[1].is_empty() {
            "mm"
        } else {
            "mm²"
        }
    };
    if maps.len() == 1 {
        return Some(format!(
            "{} may wander over {} {} before a tenth is lost; its narrowest way is {}.",
            first.anchor,
            num(first.area_10, 1),
            unit(first),
            way(first)
        ));
    }
    Some(format!(
        "The anchor to set most carefully is {}: a tenth is lost outside {} {}, its narrowest way being {}. The most \
         forgiving is {}: {} {}, narrowest {}. One anchor at a time, the others held.",
        first.anchor,
        num(first.area_10, 1),
        unit(first),
        way(first),
        last.anchor,
        num(last.area_10, 1),
        unit(last),
        way(last)
    ))
}

fn front(found: &Place) -> Option<String> {
    let front = found.front.as_ref()?;
    let [a, b] = found.aims.as_slice() else {
        return None;
    };
    let pair = |values: &[Option<f64>]| match values {
        [Some(x), Some(y)] => format!("{} and {}", of_aim(a, *x), of_aim(b, *y)),
        _ => "not held".to_owned(),
    };
    let designs: Vec<String> = front
        .designs
        .iter()
        .map(|d| format!("{}: {}", d.name, pair(&d.values)))
        .collect();
    Some(format!(
        "Both at once ({}, {}), {} designs of which none beats another in both: {}. The given construct ({}) is {}.",
        a.label,
        b.label,
        front.points.len(),
        designs.join("; "),
        pair(&found.given.values),
        if front.given_is_beaten {
            "beaten in both by some of them"
        } else {
            "not beaten in both by any of them"
        }
    ))
}
