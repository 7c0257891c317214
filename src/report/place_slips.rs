//! The reading of a search for better places: what slips of the hand cost, on draws of errors and anchor by
//! anchor.

use super::place_words::of_aim;
use super::words::{num, percent, signed};
use crate::study::result::{Aim, DrawEnds, Place, WanderMap, WayEnd, WayOut};

/// Both designs on fresh draws.
pub(super) fn paired(found: &Place, aim: &Aim) -> Option<String> {
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
    let fragile =
        if (answer.lost + answer.impossible) > (given.lost + given.impossible) && !found.robust {
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
    let of = if g.pairs < g.draws {
        format!(" of the {} that count for both", g.pairs)
    } else {
        String::new()
    };
    let better = g.better.map_or_else(
        || "which is the better one is not known".to_owned(),
        |b| format!("is the better one in {}{of}", percent(b.value)),
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
fn reached(aim: &Aim, value: Option<f64>, ends: &DrawEnds) -> String {
    match value {
        Some(value) => of_aim(aim, value),
        None if ends.suffice() => "none (lost in a tenth)".to_owned(),
        None => "not known (fewer than nine in ten draws count)".to_owned(),
    }
}

/// The draws that are left out as given and as found; nothing when there are none.
fn silent(ends: &[DrawEnds; 2]) -> String {
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
pub(super) fn left_out(found: &Place) -> Option<String> {
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
pub(super) fn forgiving(found: &Place) -> Option<String> {
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
