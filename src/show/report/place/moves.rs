//! The reading of a search for better places: where the anchors went, and what that does to the step.

use crate::show::words::{joined, num, signed};
use crate::study::result::{FreeVariable, Place};

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
pub(super) fn moved(found: &Place) -> Vec<String> {
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
                "inset" => ("farther from the fracture line", "nearer to the fracture line"),
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
                "hours" => format!("{name} goes {size} h {}", if up { "inferiorly" } else { "superiorly" }),
                _ => format!("{name} goes {size} mm {word}"),
            }
        })
        .collect()
}

/// Anchors of one row that changed places along the fracture line: their names may then mislead.
pub(super) fn swapped(found: &Place) -> Option<String> {
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
    (!list.is_empty()).then(|| format!("Mind the names, which are those of the given construct: {}.", joined(&list)))
}

/// Where the anchors medial to the fragment sit: common practice puts them below the middle.
pub(super) fn medial(found: &Place) -> Option<String> {
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
    Some(format!("In the answer {which} {side}; common practice (no source) puts medial anchors rather lower."))
}

/// What the objective does not ask for: the step that is left.
pub(super) fn step(found: &Place) -> Option<String> {
    let of = |p: &crate::study::result::Placement| {
        let tied = p.hold.as_ref()?.tied.as_ref()?;
        Some(tied.measures.step.value)
    };
    let (given, answer) = (of(&found.given)?, of(&found.found)?);
    Some(format!(
        "As tied, the largest articular step is {} mm as given and {} mm as found (lateral positive){}.",
        signed(given, 1),
        signed(answer, 1),
        if found.aims.iter().any(|a| a.key == "reduction") { "" } else { "; the objective does not ask for it" }
    ))
}
