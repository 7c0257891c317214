//! The table of a search for better places, and the list of variables that can be free.

use super::place_draws;
use super::place_words::{of_aim, valued};
use crate::model::place::Variable;
use crate::show::terminal::{Page, Set};
use crate::show::words::{num, percent, signed, start, tag};
use crate::study::result::{EndedBy, Kept, Place, Placement, WanderMap, WayEnd, WayOut};

/// Writes the search.
pub fn place_table(page: &mut Page, found: &Place) {
    let aim = &found.aims[0];
    page.heading(&format!(
        "Better places for {} on case {}, tied from the {} position",
        found.construct,
        found.case,
        start(found.from)
    ));
    let kind = if found.robust {
        format!("{} percentile over {} common draws of ", aim.percentile(), found.draws)
    } else {
        String::new()
    };
    page.paragraph(&format!("Objective: {kind}{} ({}).", aim.label, aim.about));
    objectives(page, found);
    variables(page, found);
    constraints(page, found);
    starts(page, found);
    place_draws::tables(page, found);
    wander(page, found);
    front(page, found);
    if !found.reading.is_empty() {
        page.heading("Reading");
        for sentence in &found.reading {
            page.item(sentence);
        }
    }
}

fn objectives(page: &mut Page, found: &Place) {
    page.paragraph("");
    let rows: Vec<Vec<String>> = found
        .aims
        .iter()
        .enumerate()
        .map(|(k, aim)| {
            let say = |v: Option<f64>| v.map_or_else(|| "not held".to_owned(), |v| of_aim(aim, v));
            let change = match (found.given.values[k], found.found.values[k]) {
                (Some(a), Some(b)) => signed(b - a, aim.decimals()),
                _ => String::new(),
            };
            vec![aim.label.clone(), say(found.given.values[k]), say(found.found.values[k]), change]
        })
        .collect();
    page.grid(
        &[
            (if found.robust { "with the full bed, without errors" } else { "with the full bed" }, Set::Left),
            ("given", Set::Right),
            ("found", Set::Right),
            ("change", Set::Right),
        ],
        &rows,
    );
    let aim = &found.aims[0];
    let say = |v: Option<f64>| v.map_or_else(|| "not held".to_owned(), |v| of_aim(aim, v));
    page.paragraph(&format!(
        "Full bed: about {} cells, a push in {} steps to 1 mm, as `compare` makes it; {} of {} states of the answer \
         are certified. Search: about {} cells, {} steps; there the objective is {} as given and {} as found.",
        found.cells[1],
        found.steps[1],
        found.found.tally.certified,
        found.found.tally.states,
        found.cells[0],
        found.steps[0],
        say(found.on_search_bed[0]),
        say(found.on_search_bed[1]),
    ));
}

fn variables(page: &mut Page, found: &Place) {
    page.heading("Free variables");
    let rows: Vec<Vec<String>> = found
        .variables
        .iter()
        .map(|v| {
            let note = match (v.idle, v.at_end) {
                (true, _) => "changes nothing",
                (_, true) => "at an end",
                _ => "",
            };
            vec![
                v.path.clone(),
                num(v.given, 2),
                num(v.found, 2),
                signed(v.found - v.given, 2),
                v.unit.clone(),
                format!("{} to {}", num(v.low, 2), num(v.high, 2)),
                tag(v.tag).to_owned(),
                note.to_owned(),
            ]
        })
        .collect();
    page.grid(
        &[
            ("path", Set::Left),
            ("given", Set::Right),
            ("found", Set::Right),
            ("change", Set::Right),
            ("unit", Set::Left),
            ("range", Set::Left),
            ("backing", Set::Left),
            ("", Set::Left),
        ],
        &rows,
    );
}

fn constraints(page: &mut Page, found: &Place) {
    page.heading("What the answer keeps");
    let unit = |k: &Kept| {
        if k.unit.is_empty() { String::new() } else { format!(" {}", k.unit) }
    };
    let rows: Vec<Vec<String>> = found
        .found
        .kept
        .iter()
        .filter(|k| k.value.is_some())
        .map(|k| {
            let say = |v: Option<f64>| v.map_or_else(String::new, |v| num(v, 2));
            let side = if k.at_least { "at least" } else { "at most" };
            vec![
                k.label.clone(),
                say(k.value),
                format!("{side} {}{}", num(k.limit, 2), unit(k)),
                say(k.slack),
                if k.active { "active" } else { "" }.to_owned(),
                k.subject.clone(),
                tag(k.tag).to_owned(),
            ]
        })
        .collect();
    page.grid(
        &[
            ("constraint", Set::Left),
            ("value", Set::Right),
            ("limit", Set::Left),
            ("left", Set::Right),
            ("", Set::Left),
            ("nearest", Set::Fill),
            ("backing", Set::Left),
        ],
        &rows,
    );
    let violation = match found.found.violation {
        0.0 => "none".to_owned(),
        v => format!("{v:.0e} of its limit"),
    };
    page.paragraph(&format!(
        "Largest violation with the full bed, where nothing errs: {violation}. Where the objective pushes, limbs, anchors \
         and bed keep their limits up to 1 mm. Active: under half a percent is left. Draws of placement error and tension \
         are not kept to limits: how many pass one is told with them."
    ));
}

fn starts(page: &mut Page, found: &Place) {
    page.heading("The search");
    let aim = &found.aims[0];
    let rows: Vec<Vec<String>> = found
        .starts
        .iter()
        .enumerate()
        .map(|(k, s)| {
            vec![
                (k + 1).to_string(),
                s.value.map_or_else(|| "none".to_owned(), |v| of_aim(aim, v)),
                s.evaluations.to_string(),
                s.in_swarm.to_string(),
                s.restarts.to_string(),
                match s.ended {
                    EndedBy::Settled => "no more gained",
                    EndedBy::Budget => "evaluations spent",
                    EndedBy::Interrupted => "interrupted",
                }
                .to_owned(),
                num(s.off, 2),
            ]
        })
        .collect();
    page.grid(
        &[
            ("start", Set::Right),
            ("answer", Set::Right),
            ("evaluations", Set::Right),
            ("in swarm", Set::Right),
            ("simplices", Set::Right),
            ("ended", Set::Left),
            ("off mm", Set::Right),
        ],
        &rows,
    );
    page.paragraph(&format!(
        "Seed {}; {} evaluations, {} of them without a certificate, which count for nothing. Off: largest distance of \
         an anchor from where the best start has it.",
        found.seed, found.evaluations, found.uncertified
    ));
}

fn wander(page: &mut Page, found: &Place) {
    if found.wander.is_empty() {
        return;
    }
    page.heading("How far each anchor may wander until 10 % is lost, the others held (mm)");
    let rows: Vec<Vec<String>> = found
        .wander
        .iter()
        .map(|map| {
            let way = |names: &[&str]| {
                let found = map.ways.iter().find(|w| names.contains(&w.name.as_str()));
                found.map_or_else(|| "-".to_owned(), far)
            };
            vec![
                map.anchor.clone(),
                way(&["superior"]),
                way(&["inferior"]),
                way(&["medial", "inset"]),
                way(&["lateral", "outward"]),
                area(map, map.area_10),
                area(map, map.area_25),
            ]
        })
        .collect();
    page.grid(
        &[
            ("anchor", Set::Left),
            ("superior", Set::Right),
            ("inferior", Set::Right),
            ("medial or inset", Set::Right),
            ("lateral", Set::Right),
            ("10 %", Set::Right),
            ("25 %", Set::Right),
        ],
        &rows,
    );
    page.paragraph(
        "Lateral of a face anchor: toward the fracture line. c: a constraint ends it first; r: its range does. 10 % and \
         25 %: area (mm²) in which no more is lost, in points half a millimetre apart that hang together with the \
         answer. On the bed of the search.",
    );
    let mut ends: Vec<String> = Vec::new();
    for map in &found.wander {
        for w in map.ways.iter().take(4) {
            if let WayEnd::Constraint { label, .. } = &w.end {
                ends.push(format!("{} {}: {label}", map.anchor, w.name));
            }
        }
    }
    for end in ends {
        page.item(&end);
    }
}

fn far(w: &WayOut) -> String {
    let mark = match w.end {
        WayEnd::Lost => "",
        WayEnd::Constraint { .. } => " c",
        WayEnd::Range => " r",
    };
    format!("{}{mark}", num(w.distance, 1))
}

fn area(map: &WanderMap, area: f64) -> String {
    if map.coordinates[1].is_empty() { format!("{} mm", num(area, 1)) } else { num(area, 1) }
}

fn front(page: &mut Page, found: &Place) {
    let (Some(front), [a, b]) = (&found.front, found.aims.as_slice()) else {
        return;
    };
    page.heading(&format!("{} against {}", a.label, b.label));
    let none = if found.robust { "none" } else { "not held" };
    let say = |v: Option<f64>, aim| v.map_or_else(|| none.to_owned(), |v| of_aim(aim, v));
    let at = |p: &Placement, k: usize| valued(found, p).get(k).copied().flatten();
    let mut rows: Vec<Vec<String>> = Vec::new();
    for p in std::iter::once(&found.given).chain(&front.designs) {
        rows.push(vec![
            p.name.clone(),
            say(at(p, 0), a),
            say(at(p, 1), b),
            if p.violation > 0.0 { format!("{} beyond a limit", percent(p.violation)) } else { String::new() },
        ]);
    }
    let head =
        if found.robust { format!("full bed, over {} draws", found.draws) } else { "with the full bed".to_owned() };
    page.grid(
        &[(head.as_str(), Set::Left), (a.key.as_str(), Set::Right), (b.key.as_str(), Set::Right), ("", Set::Left)],
        &rows,
    );
    page.paragraph(&format!(
        "{} designs stand on the front, from {} evaluations; JSON and CSV list them. Both objectives are of one repair, \
         tied from the {} position{}.",
        front.points.len(),
        front.evaluations,
        start(found.from),
        if found.robust {
            format!(
                "; {} and {} percentiles over the draws of the search",
                a.percentile(),
                b.percentile()
            )
        } else {
            String::new()
        }
    ));
}

/// Writes every variable that can be free.
pub fn variables_table(page: &mut Page, list: &[Variable]) {
    page.heading("Variables that can be free");
    let rows: Vec<Vec<String>> = list
        .iter()
        .map(|v| {
            vec![
                v.path().to_owned(),
                num(v.given, 2),
                format!("{} to {}", num(v.low, 2), num(v.high, 2)),
                v.known.unit.to_owned(),
                tag(v.tag).to_owned(),
                format!("{} to {}", v.known.allowed.0, v.known.allowed.1),
            ]
        })
        .collect();
    page.grid(
        &[
            ("path", Set::Left),
            ("now", Set::Right),
            ("usual range", Set::Left),
            ("unit", Set::Left),
            ("backing", Set::Left),
            ("allowed", Set::Left),
        ],
        &rows,
    );
    page.paragraph("`*` stands for any name: anchor.*.along.");
}
