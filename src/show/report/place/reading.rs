//! The reading of a search for better places: what its template says of, beside the result itself.

use super::{of_aim, valued};
use crate::show::prose::sentences;
use crate::show::words::{num, percent};
use crate::study::result::{Aim, DrawEnds, EndedBy, FreeVariable, Place, Placement, WanderMap, WayEnd};
use minijinja::{Value, context};

/// Largest violation of a design that keeps its constraints, as a share of the limit: rounding.
const KEPT: f64 = 1e-6;

/// What a search found, in sentences.
pub fn place_reading(found: &Place) -> Vec<String> {
    let aim = &found.aims[0];
    let active = found.found.kept.iter().filter(|k| k.active).map(|k| format!("{} ({})", k.label, k.subject));
    let mut maps: Vec<&WanderMap> = found.wander.iter().collect();
    maps.sort_by(|a, b| a.area_10.total_cmp(&b.area_10));
    let draws = found.given.draws.zip(found.found.draws).map(|(given, answer)| {
        let value = |p: &Placement, ends: &DrawEnds| reached(aim, p.over_draws.first().copied().flatten(), ends);
        [value(&found.given, &given), value(&found.found, &answer), counted(&[given, answer])]
    });
    let gain = found.gain.as_ref();
    let gained = gain.map(|g| [reached(aim, g.given, &g.ends[0]), reached(aim, g.found, &g.ends[1]), counted(&g.ends)]);
    let data = context! {
        place => found,
        aim => aim,
        d => aim.decimals(),
        unit => if aim.unit.is_empty() { String::new() } else { format!("{} ", aim.unit) },
        fault => fault(found),
        moved => moved(found),
        swapped => swapped(found),
        medial => medial(found),
        active => active.collect::<Vec<_>>(),
        starts_ended => EndedBy::counted(&found.starts, EndedBy::told),
        over_draws => draws,
        reached => gained,
        careful => maps.first().map(|map| tolerance(map)),
        forgiving => maps.last().map(|map| tolerance(map)),
        front => front(found),
    };
    sentences(include_str!("../said/place.txt"), &data)
}

/// What makes the answer none, first of all.
pub(in super::super) fn fault(found: &Place) -> Option<String> {
    let answer = &found.found;
    if answer.values[0].is_none() {
        Some(format!("No design to use: with the full bed fixation by the answer fails ({}).", answer.why))
    } else if answer.violation > KEPT {
        let by = percent(answer.violation);
        Some(format!("No design to use: with the full bed the answer passes a limit by {by} of it."))
    } else {
        None
    }
}

/// What nine of ten draws reach, or why there is no such value.
fn reached(aim: &Aim, value: Option<f64>, ends: &DrawEnds) -> String {
    match value {
        Some(value) => of_aim(aim, value),
        None if ends.suffice() => "none (fixation fails or an anchor is off the bone in a tenth)".to_owned(),
        None => "not known (the balance of fewer than nine in ten draws is checked)".to_owned(),
    }
}

/// The draws that count as the worst, are left out, or pass a limit; nothing when there are none.
fn counted([given, found]: &[DrawEnds; 2]) -> String {
    let said = sentences(include_str!("../said/draws.txt"), &context! { given, found });
    said.iter().map(|sentence| format!(" {sentence}")).collect()
}

/// How far an anchor may lie off, and the way on which least is needed to lose a tenth or break a constraint.
fn tolerance(map: &WanderMap) -> Value {
    let ways = map.straight().filter(|w| w.end != WayEnd::Range);
    let way = ways.min_by(|a, b| a.distance.total_cmp(&b.distance)).map(|w| {
        let end = match &w.end {
            WayEnd::Constraint { label, .. } => format!("until {label} ends it"),
            _ => "until a tenth is lost".to_owned(),
        };
        format!("{} mm {} {end}", num(w.distance, 1), w.name)
    });
    context! {
        anchor => map.anchor,
        area_10 => map.area_10,
        unit => map.unit(),
        way => way.unwrap_or_else(|| "no way within its range".to_owned()),
    }
}

/// The designs of a front, each with both objectives.
fn front(found: &Place) -> Option<Value> {
    let (front, [a, b]) = (found.front.as_ref()?, found.aims.as_slice()) else {
        return None;
    };
    let pair = |p: &Placement| match valued(found, p) {
        [Some(x), Some(y)] => format!("{} and {}", of_aim(a, *x), of_aim(b, *y)),
        _ if found.robust => "without a value".to_owned(),
        _ => "unstable".to_owned(),
    };
    let designs: Vec<String> = front.designs.iter().map(|d| format!("{}: {}", d.name, pair(d))).collect();
    Some(context! {
        aims => found.aims,
        percentiles => [a.percentile(), b.percentile()],
        designs,
        given => pair(&found.given),
    })
}

/// What a variable is of, and which of its numbers it is.
fn named(v: &FreeVariable) -> (String, String) {
    let parts: Vec<&str> = v.path.split('.').collect();
    match parts.as_slice() {
        ["anchor", name, key] => ((*name).to_owned(), (*key).to_owned()),
        ["limb", name, "tension", ..] => (format!("limb {name}"), "tension".to_owned()),
        ["limb", name, _, rest @ ..] => (format!("limb {name}"), format!("crossing {}", rest.first().unwrap_or(&""))),
        _ => (v.path.clone(), String::new()),
    }
}

/// Each variable that moved by more than a tenth of a millimetre (or of a newton), in words.
fn moved(found: &Place) -> Vec<String> {
    let far = found.variables.iter().filter(|v| (v.found - v.given).abs() >= 0.1);
    let words = far.map(|v| {
        let ((name, key), by) = (named(v), v.found - v.given);
        let crossing = key.starts_with("crossing");
        let (unit, up, down) = match key.as_str() {
            _ if crossing => ("mm", "superiorly", "inferiorly"),
            "along" => ("mm", "superiorly", "inferiorly"),
            "inset" => ("mm", "farther from the fracture line", "nearer to the fracture line"),
            "beyond" | "deep" | "below" => ("mm", "medially", "laterally"),
            "tension" => ("N", "more tension", "less tension"),
            "hours" => ("h", "inferiorly", "superiorly"),
            _ => ("mm", "up", "down"),
        };
        let what = if crossing { format!("{key} of {name}") } else { name };
        let goes = if key == "tension" { "gets" } else { "goes" };
        format!("{what} {goes} {} {unit} {}", num(by.abs(), 1), if by > 0.0 { up } else { down })
    });
    words.collect()
}

/// Anchors of one row that changed places along the fracture line: their names may then mislead.
fn swapped(found: &Place) -> Vec<String> {
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
                list.push(format!("{} now lies above {}", named(upper).0, named(lower).0));
            }
        }
    }
    list
}

/// Where the anchors medial to the fragment sit along it, mm: common practice puts them below the middle.
fn medial(found: &Place) -> Vec<f64> {
    let has = |path: String| found.variables.iter().any(|o| o.path == path);
    let medial = found.variables.iter().filter(|v| {
        let (name, key) = named(v);
        key == "along" && ["beyond", "deep"].iter().any(|k| has(format!("anchor.{name}.{k}")))
    });
    medial.map(|v| v.found).collect()
}
