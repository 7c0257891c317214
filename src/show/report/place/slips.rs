//! The reading of a search for better places: what slips of the hand cost, on draws of errors and anchor by
//! anchor.

use super::of_aim;
use crate::show::words::{num, percent, signed};
use crate::study::result::{Aim, DrawEnds, Place, Placement, WanderMap, WayEnd, WayOut};

/// Both designs on fresh draws.
pub(super) fn paired(found: &Place, aim: &Aim) -> Option<String> {
    let g = found.gain.as_ref()?;
    let d = aim.decimals();
    let [given, answer] = g.ends;
    let fragile = if (answer.lost + answer.impossible) > (given.lost + given.impossible) && !found.robust {
        " The answer is more fragile than what was given: --robust seeks one that is not."
    } else {
        ""
    };
    let unit = if aim.unit.is_empty() { String::new() } else { format!("{} ", aim.unit) };
    let differs = match (g.median, g.low, g.high) {
        (Some(median), Some(low), Some(high)) => format!(
            "the answer differs by {} (median; 80 % of draws from {} to {}) {unit}",
            signed(median, d),
            signed(low, d),
            signed(high, d)
        ),
        _ => "no draw has a difference to tell, ".to_owned(),
    };
    let of = if g.pairs < g.draws { format!(" of the {} that count for both", g.pairs) } else { String::new() };
    let better = match (g.better, g.better_interval) {
        (Some(b), Some([low, high])) => format!(
            "is the better one in {}{of} (95 % interval {} to {})",
            percent(b.value),
            percent(low),
            percent(high)
        ),
        _ => "which is the better one is not known".to_owned(),
    };
    let by = match (g.difference, g.difference_interval) {
        (Some(by), Some([low, high])) => {
            format!(", {} {unit}(95 % interval {} to {})", signed(by, d), signed(low, d), signed(high, d))
        }
        _ => String::new(),
    };
    let coarse = g.found_on_search_bed.map_or_else(String::new, |v| {
        format!(
            " On the bed of the search (about {} cells, {} steps) that of the answer is {}.",
            found.cells[0],
            found.steps[0],
            of_aim(aim, v)
        )
    });
    Some(format!(
        "On {} fresh draws of placement error and tension, both designs under each on the full bed (about {} cells, {} \
         steps): {differs}and {better}; the value that nine of ten draws reach is {} as given and {} as \
         found{by}.{coarse}{}{fragile}",
        g.draws,
        g.cells,
        g.steps,
        reached(aim, g.given, &given),
        reached(aim, g.found, &answer),
        counted(&g.ends)
    ))
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
fn counted(ends: &[DrawEnds; 2]) -> String {
    let [given, found] = ends;
    let mut text = String::new();
    if given.lost + found.lost + given.impossible + found.impossible > 0 {
        text.push_str(&format!(
            " Fixation fails in {} of them as given and {} as found, an anchor misses its bone in {} and {}: all \
             of these count as the worst.",
            given.lost, found.lost, given.impossible, found.impossible
        ));
    }
    if given.uncertified + found.uncertified > 0 {
        text.push_str(&format!(
            " Left out are {} draws as given and {} as found whose balance was not checked.",
            given.uncertified, found.uncertified
        ));
    }
    if given.beyond + found.beyond > 0 {
        text.push_str(&format!(
            " In {} and {} of the stable ones a knot, strand, anchor or the bed passes its limit on the way; nothing breaks in \
             this model, so their values are too good.",
            given.beyond, found.beyond
        ));
    }
    text
}

/// How the draws of a robust search ended on the full bed, and what nine of ten then reach.
pub(super) fn over_draws(found: &Place, aim: &Aim) -> Option<String> {
    let [given, answer] = [found.given.draws?, found.found.draws?];
    let value = |p: &Placement, ends: &DrawEnds| reached(aim, p.over_draws.first().copied().flatten(), ends);
    let coarse = match found.on_search_bed {
        [given, Some(answer)] => format!(
            " (on the bed of the search {} and {})",
            given.map_or_else(|| "none".to_owned(), |v| of_aim(aim, v)),
            of_aim(aim, answer)
        ),
        _ => String::new(),
    };
    Some(format!(
        "Of the {} draws of the search nine in ten reach {} as given and {} as found on the full bed{coarse}.{}",
        found.draws,
        value(&found.given, &given),
        value(&found.found, &answer),
        counted(&[given, answer])
    ))
}

/// The way on which least is needed to lose a tenth or to break a constraint.
fn narrowest(map: &WanderMap) -> Option<&WayOut> {
    let four = map.ways.iter().take(4);
    four.filter(|w| w.end != WayEnd::Range).min_by(|a, b| a.distance.total_cmp(&b.distance))
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
        if map.coordinates[1].is_empty() { "mm" } else { "mm²" }
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
