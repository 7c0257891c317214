//! What a map of tolerance says in words and numbers.

use super::super::words;
use crate::show::chart::*;
use crate::study::result::{Place, WanderMap, WayEnd, WayOut};

/// What ends a direction, in a letter.
fn letter(way: &WayOut) -> &'static str {
    match way.end {
        WayEnd::Lost => "",
        WayEnd::Constraint { .. } => " c",
        WayEnd::Range => " r",
    }
}

/// The directions along the coordinates: four in a plane, two on a line.
fn straight(map: &WanderMap) -> impl Iterator<Item = &WayOut> {
    let count = if map.coordinates[1].is_empty() { 2 } else { 4 };
    map.ways.iter().take(count)
}

fn unit(map: &WanderMap) -> &'static str {
    if map.coordinates[1].is_empty() { "mm" } else { "mm\u{b2}" }
}

/// The lines under a map: its areas, then its directions.
pub(super) fn under(map: &WanderMap, set: Type, width: f64) -> Vec<String> {
    let area = |share: u32, mm: f64| format!("{share} %: {} {}", number(mm, 1), unit(map));
    let mut items = vec![area(10, map.area_10), area(25, map.area_25)];
    items.extend(straight(map).map(|w| {
        let by = letter(w);
        format!("{} {} mm{by}", w.name, number(w.distance, 1))
    }));
    // Two beside each other, where both fit.
    let mut lines = Vec::new();
    for pair in items.chunks(2) {
        let joined = pair.join(", ");
        if set.width(&joined) <= width {
            lines.push(joined);
        } else {
            lines.extend(pair.iter().flat_map(|item| wrap(item, set, width)));
        }
    }
    lines
}

pub(super) fn csv(found: &Place) -> String {
    let mut csv =
        Csv::new("anchor,kind,name,first_mm,second_mm,x_mm,y_mm,z_mm,value,unit,loss,ended_or_excluded_by".split(','));
    let unit = &found.aims[0].unit;
    for map in &found.wander {
        let anchor = &map.anchor;
        for g in &map.grid {
            let [x, y, z] = [0, 1, 2].map(|k| g.point.map(|p| p[k]));
            let ([first, second], by) = (g.offset, g.broken.as_deref().unwrap_or_default());
            csv.row(row![anchor, "point", "", first, second, x, y, z, g.value, unit, g.loss, by]);
        }
        for way in &map.ways {
            let [first, second] = way.direction.map(|d| d * way.distance);
            let by = match &way.end {
                WayEnd::Lost => "tenth lost",
                WayEnd::Constraint { key, .. } => key,
                WayEnd::Range => "range",
            };
            csv.row(row![anchor, "direction", &way.name, first, second, "", "", "", way.value, unit, "", by]);
        }
        for (share, area) in [("10 %", map.area_10), ("25 %", map.area_25)] {
            let unit = self::unit(map).replace('\u{b2}', "2");
            csv.row(row![anchor, "area", share, "", "", "", "", "", area, unit, "", ""]);
        }
    }
    csv.finish()
}

pub(super) fn caption(found: &Place) -> String {
    let step = found.wander.first().map_or(0.5, |m| m.step);
    let best = found.wander.first().map_or_else(String::new, |m| {
        format!(" (here {} on the bed of the search)", words::value(&found.aims[0], m.best))
    });
    format!(
        "Placement tolerance: how far each anchor may stand from where it was found, one at a time, the others held. {} Each panel shows the anchor's own plane to scale: the face from lateral, the neck or the bed square to the fracture line from in front of the fragment, where depths are true; superior is up. Squares are designs that were computed, {step} mm apart, from the answer outward as far as less than 25 % of the best{best} is lost: dark and boldly edged within 10 %, light within 25 %, hatched where a constraint excludes them. Lines are eight directions of tolerance, followed exactly to where a tenth is lost (dot), a constraint is met (bar; c) or the range of the variable ends (ring; r). Thin lines and rings: the limbs and the other anchors as found; limbs of loops are dashed, and a limb ends where its anchor gave to.",
        words::sought(found)
    )
}

pub(super) fn alt(found: &Place) -> String {
    let maps: Vec<String> = found
        .wander
        .iter()
        .map(|map| {
            let ways: Vec<String> = straight(map)
                .map(|w| {
                    let by = match &w.end {
                        WayEnd::Lost => "until a tenth is lost".to_owned(),
                        WayEnd::Constraint { label, .. } => format!("until {label} ends it"),
                        WayEnd::Range => "to the end of its range".to_owned(),
                    };
                    format!("{} {} mm {by}", w.name, number(w.distance, 1))
                })
                .collect();
            format!(
                "{}: {} {} within 10 %, {} within 25 %; {}",
                map.anchor,
                number(map.area_10, 1),
                unit(map),
                number(map.area_25, 1),
                ways.join(", ")
            )
        })
        .collect();
    format!("Maps of the placement tolerance of each anchor, on the bone to scale. {}.", maps.join(". "))
}
