//! A search for better places: its tables, on the terminal and in a report.

mod draws;
mod file;
mod reading;

use crate::model::place::Variable;
use crate::show::table::{Cell, Column, NONE, Table};
use crate::show::terminal::Page;
use crate::show::words::{tag, word};
use crate::study::result::{
    Aim, EndedBy, FreeVariable, Kept, Place, Placement, SearchStart, WanderMap, WayEnd, WayOut,
};

pub use file::{Known, PlaceBody, known_answer, place_csv, placed_file};
pub(super) use reading::fault;
pub use reading::place_reading;

/// A value of an objective with its unit.
pub(crate) fn of_aim(aim: &Aim, value: f64) -> String {
    format!("{} {}", Cell::fixed(value, aim.decimals()).text, aim.unit).trim_end().to_owned()
}

/// The same as a cell.
fn aimed(aim: &Aim, value: Option<f64>) -> Cell {
    Cell { text: value.map_or_else(|| NONE.to_owned(), |v| of_aim(aim, v)), value }
}

fn unit(unit: &str) -> Cell {
    if unit.is_empty() { Cell::none() } else { unit.into() }
}

/// The values of a design as the search has them: percentiles where it is robust.
fn valued<'a>(found: &Place, design: &'a Placement) -> &'a [Option<f64>] {
    if found.robust { &design.over_draws } else { &design.values }
}

/// Writes what placement error leaves of the gain, and where the anchors go.
pub fn place_short(page: &mut Page, found: &Place) {
    page.table(&draws::reached(found).unwrap_or_else(|| objectives(found)));
    page.paragraph("");
    let columns: [Column<'_, &FreeVariable>; 4] = [
        ("variable", "", &|v| (&v.path).into()),
        ("given", "", &|v| Cell::fixed(v.given, 1)),
        ("found", "", &|v| Cell::fixed(v.found, 1)),
        ("unit", "", &|v| unit(&v.unit)),
    ];
    page.table(&Table::of("place-variables", "", found.variables.iter().filter(|v| !v.idle), &columns));
    page.paragraph(
        "along: along the fracture line from its middle, superior positive; inset: onto the face from the fracture line; \
         beyond: medial to where the fracture leaves the neck.",
    );
}

/// Writes the search.
pub fn place_table(page: &mut Page, found: &Place) {
    let aim = &found.aims[0];
    page.heading(&format!(
        "Better places for {} on case {}, tied from the {} position",
        found.construct,
        found.case,
        word(&found.from)
    ));
    let kind = match found.robust {
        true => format!("{} percentile over {} common draws of ", aim.percentile(), found.draws),
        false => String::new(),
    };
    page.paragraph(&format!("Objective: {kind}{} ({}).", aim.label, aim.about));
    page.titled(Some(objectives(found)));
    let say = |v: Option<f64>| v.map_or_else(|| "unstable".to_owned(), |v| of_aim(aim, v));
    page.paragraph(&format!(
        "Full bed: about {} cells, a push in {} steps to 1 mm, as `compare` makes it; balance checked of {} of {} states \
         of the answer. Search: about {} cells, {} steps; there the objective is {} as given and {} as found.",
        found.cells[1],
        found.steps[1],
        found.found.tally.certified,
        found.found.tally.states,
        found.cells[0],
        found.steps[0],
        say(found.on_search_bed[0]),
        say(found.on_search_bed[1]),
    ));
    page.titled(Some(variables(found)));
    page.titled(Some(constraints(found)));
    let violation = match found.found.violation {
        0.0 => "none".to_owned(),
        v => format!("{v:.0e} of its limit"),
    };
    page.paragraph(&format!(
        "Largest violation with the full bed, where nothing errs: {violation}. Where the objective pushes, limbs, anchors \
         and bed keep their limits up to 1 mm. Active: under half a percent is left. Draws of placement error and tension \
         are not kept to limits: how many pass one stands with them."
    ));
    page.titled(Some(starts(found)));
    page.paragraph(&format!(
        "Seed {}; {} evaluations, {} of them without a checked balance, which count for nothing.",
        found.seed, found.evaluations, found.uncertified
    ));
    draws::print(page, found);
    if !found.wander.is_empty() {
        page.titled(Some(wander(found)));
        page.paragraph(
            "Lateral of a face anchor: toward the fracture line. Area: where no more is lost, in points half a millimetre \
             apart that hang together with the answer. On the bed of the search.",
        );
    }
    if let (Some(table), Some(front), [a, b]) = (front(found), &found.front, found.aims.as_slice()) {
        page.titled(Some(table));
        let over = match found.robust {
            true => format!("; {} and {} percentiles over the draws of the search", a.percentile(), b.percentile()),
            false => String::new(),
        };
        page.paragraph(&format!(
            "{} designs stand on the front, from {} evaluations; JSON and CSV list them. Both objectives are of one \
             repair, tied from the {} position{over}.",
            front.points.len(),
            front.evaluations,
            word(&found.from),
        ));
    }
    page.items("Reading", &place_reading(found));
}

/// The tables of a search in a report.
pub(super) fn tables(place: &Place) -> Vec<Table> {
    let mut all = vec![variables(place), constraints(place), starts(place)];
    if place.gain.is_some() || place.robust {
        all.extend([draws::errors(place), draws::ends(place)]);
    }
    all.extend((!place.wander.is_empty()).then(|| wander(place)));
    all.extend(front(place));
    all
}

fn objectives(found: &Place) -> Table {
    let title = if found.robust { "With the full bed, where nothing errs" } else { "With the full bed" };
    let columns: [Column<'_, (usize, &Aim)>; 4] = [
        ("objective", "", &|(_, aim)| (&aim.label).into()),
        ("given", "", &|(k, aim)| aimed(aim, found.given.values[*k])),
        ("found", "", &|(k, aim)| aimed(aim, found.found.values[*k])),
        ("change", "", &|(k, aim)| {
            let change = found.found.values[*k].zip(found.given.values[*k]).map(|(b, a)| b - a);
            change.map(|c| Cell::signed(c, aim.decimals())).into()
        }),
    ];
    Table::of("place-objectives", title, found.aims.iter().enumerate(), &columns)
}

fn variables(place: &Place) -> Table {
    let title = format!("Free variables of {} and their bounds", place.construct);
    let columns: [Column<'_, &FreeVariable>; 10] = [
        ("variable", "", &|v| (&v.path).into()),
        ("given", "", &|v| Cell::fixed(v.given, 2)),
        ("found", "", &|v| Cell::fixed(v.found, 2)),
        ("change", "", &|v| Cell::signed(v.found - v.given, 2)),
        ("unit", "", &|v| unit(&v.unit)),
        ("low", "", &|v| Cell::fixed(v.low, 2)),
        ("high", "", &|v| Cell::fixed(v.high, 2)),
        ("remark", "", &|v| match (v.idle, v.at_end) {
            (true, _) => "changes nothing".into(),
            (_, true) => "at an end of its range".into(),
            _ => Cell::none(),
        }),
        ("backing of the range", "", &|v| tag(v.tag).into()),
        ("source of the range", "", &|v| (&v.source).into()),
    ];
    Table::of("place-variables", &title, place.variables.iter(), &columns)
}

fn constraints(place: &Place) -> Table {
    let title = "Constraints on the places, and how the answer keeps them";
    let columns: [Column<'_, &Kept>; 9] = [
        ("constraint", "", &|k| format!("{}, at {}", k.label, if k.at_least { "least" } else { "most" }).into()),
        ("limit", "", &|k| Cell::fixed(k.limit, 2)),
        ("value", "", &|k| k.value.map(|v| Cell::fixed(v, 2)).into()),
        ("left", "", &|k| k.slack.map(|v| Cell::fixed(v, 2)).into()),
        ("unit", "", &|k| unit(&k.unit)),
        ("nearest", "", &|k| unit(&k.subject)),
        ("active", "", &|k| if k.active { "yes" } else { "no" }.into()),
        ("backing", "", &|k| tag(k.tag).into()),
        ("source", "", &|k| (&k.source).into()),
    ];
    Table::of("place-constraints", title, place.found.kept.iter(), &columns)
}

/// Why a start ended.
pub(crate) fn why(by: EndedBy) -> &'static str {
    match by {
        EndedBy::Settled => "because simplices down to the least size gained no more",
        EndedBy::Budget => "because the evaluations were spent",
        EndedBy::Interrupted => "because an end was requested",
    }
}

fn starts(place: &Place) -> Table {
    let aim = &place.aims[0];
    let columns: [Column<'_, (usize, &SearchStart)>; 7] = [
        ("start", "", &|(k, _)| Cell::count(k + 1)),
        ("answer", &aim.unit, &|(_, s)| s.value.map(|v| Cell::fixed(v, aim.decimals())).into()),
        ("evaluations", "", &|(_, s)| Cell::count(s.evaluations)),
        ("of them in the swarm", "", &|(_, s)| Cell::count(s.in_swarm)),
        ("simplices", "", &|(_, s)| Cell::count(s.restarts)),
        ("ended", "", &|(_, s)| why(s.ended).into()),
        ("farthest anchor from the best", "mm", &|(_, s)| Cell::fixed(s.off, 2)),
    ];
    Table::of("place-starts", "The starts of the search", place.starts.iter().enumerate(), &columns)
}

/// The designs of a front that have a name, and the given construct.
fn front(place: &Place) -> Option<Table> {
    let (front, [a, b]) = (place.front.as_ref()?, place.aims.as_slice()) else {
        return None;
    };
    let title = format!("Designs between {} and {}, on the full bed", a.label, b.label);
    let at = |p: &Placement, k: usize| valued(place, p).get(k).copied().flatten();
    let columns: [Column<'_, &Placement>; 5] = [
        ("design", "", &|p| (&p.name).into()),
        (&a.label, &a.unit, &|p| at(p, 0).map(|v| Cell::fixed(v, a.decimals())).into()),
        (&b.label, &b.unit, &|p| at(p, 1).map(|v| Cell::fixed(v, b.decimals())).into()),
        ("beyond a limit", "%", &|p| if p.violation > 0.0 { Cell::percent(p.violation) } else { Cell::none() }),
        ("kind", "", &|_| if place.robust { "percentile over draws" } else { "where nothing errs" }.into()),
    ];
    Some(Table::of("place-front", &title, std::iter::once(&place.given).chain(&front.designs), &columns))
}

impl WanderMap {
    /// The ways out along the coordinates: four in a plane, two on a line.
    pub(crate) fn straight(&self) -> impl Iterator<Item = &WayOut> {
        self.ways.iter().take(if self.coordinates[1].is_empty() { 2 } else { 4 })
    }

    /// Unit of its areas, which on a line are lengths.
    pub(crate) fn unit(&self) -> &'static str {
        if self.coordinates[1].is_empty() { "mm" } else { "mm²" }
    }
}

fn wander(place: &Place) -> Table {
    let title = "Placement tolerance: how far each anchor may lie off until a tenth is lost, the others held";
    let ways = place.wander.iter().flat_map(|m| m.straight().map(move |w| (m, w)));
    let columns: [Column<'_, (&WanderMap, &WayOut)>; 7] = [
        ("anchor", "", &|(m, _)| (&m.anchor).into()),
        ("way", "", &|(_, w)| (&w.name).into()),
        ("distance", "mm", &|(_, w)| Cell::fixed(w.distance, 1)),
        ("ended by", "", &|(_, w)| match &w.end {
            WayEnd::Lost => "a tenth is lost".into(),
            WayEnd::Constraint { label, .. } => format!("constraint: {label}").into(),
            WayEnd::Range => "its range".into(),
        }),
        ("area within a tenth", "", &|(m, _)| Cell::fixed(m.area_10, 1)),
        ("area within a quarter", "", &|(m, _)| Cell::fixed(m.area_25, 1)),
        ("unit of area", "", &|(m, _)| m.unit().into()),
    ];
    Table::of("place-wander", title, ways, &columns)
}

/// Writes every variable that can be free.
pub fn variables_table(page: &mut Page, list: &[Variable]) {
    let table = Table::of(
        "variables",
        "Variables that can be free",
        list,
        &[
            ("path", "", &|v| v.path().into()),
            ("now", "", &|v| Cell::fixed(v.given, 2)),
            ("usual range", "", &|v| format!("{:.2} to {:.2}", v.low, v.high).into()),
            ("unit", "", &|v| v.known.unit.into()),
            ("backing", "", &|v| tag(v.tag).into()),
            ("allowed", "", &|v| format!("{} to {}", v.known.allowed.0, v.known.allowed.1).into()),
        ],
    );
    page.titled(Some(table));
    page.paragraph("`*` stands for any name: anchor.*.along.");
}
