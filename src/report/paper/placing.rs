//! What a report tells of a search for better places.

use super::fact::Fact;
use super::table::Table;
use crate::report::words::{self, joined};
use crate::study::result::{EndedBy, Place, WayEnd};
use schemars::JsonSchema;
use serde::Serialize;

/// What page and methods section say of a search for better places.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Placing {
    /// The construct whose places were sought.
    pub construct: String,
    /// Where tying started.
    pub from: String,
    /// The objective in words.
    pub objective: String,
    /// What it is made of.
    pub about: String,
    /// Objective as given and as found, on the full bed; absent where not held.
    pub given: Option<Fact>,
    /// The same as found.
    pub found: Option<Fact>,
    /// Free variables.
    pub variables: Fact,
    /// Names of those that change nothing, and were left where they are.
    pub idle: Vec<String>,
    /// Seed.
    pub seed: Fact,
    /// Starts.
    pub starts: Fact,
    /// Evaluations of all starts.
    pub evaluations: Fact,
    /// Those that could not be certified, and count for nothing.
    pub uncertified: Fact,
    /// Bed cells aimed at in the search.
    pub cells: Fact,
    /// Recorded steps of the push in it.
    pub steps: Fact,
    /// Bed cells aimed at in given and found.
    pub full_cells: Fact,
    /// Why the starts ended, in words.
    pub ended: String,
    /// Largest difference of their answers.
    pub disagreement: Fact,
    /// Largest distance of an anchor between them.
    pub apart: Fact,
    /// Against the given construct on draws; absent when not made.
    pub gain: Option<Gained>,
    /// Reading in sentences.
    pub reading: Vec<String>,
}

/// The paired gain.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Gained {
    /// Draws.
    pub draws: Fact,
    /// Seed of the draws.
    pub seed: Fact,
    /// Median of the difference, found less given; it and the next three absent where no draw tells.
    pub median: Option<Fact>,
    /// Its 10th percentile.
    pub low: Option<Fact>,
    /// Its 90th percentile.
    pub high: Option<Fact>,
    /// Share of draws in which the answer is the better one.
    pub better: Option<Fact>,
    /// What nine of ten draws reach as given; absent where it is not known or there is none.
    pub given: Option<Fact>,
    /// The same as found.
    pub found: Option<Fact>,
    /// Draws in which the fragment is lost as given.
    pub lost_given: Fact,
    /// The same as found.
    pub lost_found: Fact,
    /// Draws that count for both.
    pub pairs: Fact,
    /// Draws without a certificate as given.
    pub uncertified_given: Fact,
    /// The same as found.
    pub uncertified_found: Fact,
    /// Draws with an anchor off the bone, or a number out of its range, as given.
    pub impossible_given: Fact,
    /// The same as found.
    pub impossible_found: Fact,
}

impl Placing {
    pub(super) fn new(place: &Place) -> Self {
        let aim = &place.aims[0];
        let value = |v: f64| Fact::new(v, aim.decimals(), &aim.unit);
        let change = |v: f64| Fact::signed(v, aim.decimals(), &aim.unit);
        let idle = place.variables.iter().filter(|v| v.idle);
        let free = place.variables.iter().filter(|v| !v.idle).count();
        Self {
            construct: place.construct.clone(),
            from: words::start(place.from).to_owned(),
            objective: aim.label.clone(),
            about: aim.about.clone(),
            given: place.given.values[0].map(value),
            found: place.found.values[0].map(value),
            variables: Fact::count(free, ""),
            idle: idle.map(|v| v.path.clone()).collect(),
            seed: Fact::exact(place.seed as f64, ""),
            starts: Fact::count(place.starts.len(), ""),
            evaluations: Fact::count(place.evaluations, ""),
            uncertified: Fact::count(place.uncertified, ""),
            cells: Fact::count(place.cells[0], ""),
            steps: Fact::count(place.steps[0], ""),
            full_cells: Fact::count(place.cells[1], ""),
            ended: ended(place),
            disagreement: value(place.disagreement),
            apart: Fact::new(place.disagreement_mm, 1, "mm"),
            gain: place.gain.as_ref().map(|g| Gained {
                draws: Fact::exact(g.draws as f64, ""),
                seed: Fact::exact(g.seed as f64, ""),
                median: g.median.map(change),
                low: g.low.map(change),
                high: g.high.map(change),
                better: g.better.map(|b| Fact::percent(b.value)),
                given: g.given.map(value),
                found: g.found.map(value),
                lost_given: Fact::exact(g.ends[0].lost as f64, ""),
                lost_found: Fact::exact(g.ends[1].lost as f64, ""),
                pairs: Fact::exact(g.pairs as f64, ""),
                uncertified_given: Fact::exact(g.ends[0].uncertified as f64, ""),
                uncertified_found: Fact::exact(g.ends[1].uncertified as f64, ""),
                impossible_given: Fact::exact(g.ends[0].impossible as f64, ""),
                impossible_found: Fact::exact(g.ends[1].impossible as f64, ""),
            }),
            reading: place.reading.clone(),
        }
    }
}

fn ended(place: &Place) -> String {
    joined(&EndedBy::counted(&place.starts, why))
}

fn why(by: EndedBy) -> &'static str {
    match by {
        EndedBy::Settled => "because simplices down to the least size gained no more",
        EndedBy::Budget => "because the evaluations were spent",
        EndedBy::Interrupted => "because an end was asked for",
    }
}

/// The tables of a search.
pub(super) fn tables(place: &Place) -> Vec<Table> {
    let mut all = vec![variables(place), constraints(place), starts(place)];
    all.extend((!place.wander.is_empty()).then(|| wander(place)));
    all
}

fn variables(place: &Place) -> Table {
    let mut table = Table::new(
        "place-variables",
        &format!("Free variables of {} and their bounds", place.construct),
        &[
            "variable", "unit", "low", "high", "given", "found", "change", "remark",
        ],
    );
    for v in &place.variables {
        let fact = |x: f64| Fact::new(x, 2, &v.unit);
        let remark = match (v.idle, v.at_end) {
            (true, _) => "changes nothing",
            (_, true) => "at an end of its range",
            _ => "–",
        };
        table.row([
            v.path.as_str().into(),
            if v.unit.is_empty() { "–" } else { &v.unit }.into(),
            fact(v.low).into(),
            fact(v.high).into(),
            fact(v.given).into(),
            fact(v.found).into(),
            Fact::signed(v.found - v.given, 2, &v.unit).into(),
            remark.into(),
        ]);
    }
    table
}

fn constraints(place: &Place) -> Table {
    let mut table = Table::new(
        "place-constraints",
        "Constraints on the places, and how the answer keeps them",
        &[
            "constraint",
            "limit",
            "value",
            "left",
            "unit",
            "nearest",
            "active",
            "backing",
            "source",
        ],
    );
    for k in &place.found.kept {
        let fact = |x: f64| Fact::new(x, 2, &k.unit);
        table.row([
            format!(
                "{}, at {}",
                k.label,
                if k.at_least { "least" } else { "most" }
            )
            .into(),
            fact(k.limit).into(),
            k.value.map(fact).into(),
            k.slack.map(fact).into(),
            if k.unit.is_empty() { "–" } else { &k.unit }.into(),
            if k.subject.is_empty() {
                "–"
            } else {
                &k.subject
            }
            .into(),
            if k.active { "yes" } else { "no" }.into(),
            words::tag(k.tag).into(),
            k.source.as_str().into(),
        ]);
    }
    table
}

fn starts(place: &Place) -> Table {
    let aim = &place.aims[0];
    let mut table = Table::new(
        "place-starts",
        "The starts of the search",
        &[
            "start",
            "answer",
            "unit",
            "evaluations",
            "of them in the swarm",
            "simplices",
            "ended",
            "farthest anchor from the best (mm)",
        ],
    );
    for (k, s) in place.starts.iter().enumerate() {
        table.row([
            Fact::count(k + 1, "").into(),
            s.value
                .map(|v| Fact::new(v, aim.decimals(), &aim.unit))
                .into(),
            if aim.unit.is_empty() {
                "–"
            } else {
                &aim.unit
            }
            .into(),
            Fact::count(s.evaluations, "").into(),
            Fact::count(s.in_swarm, "").into(),
            Fact::count(s.restarts, "").into(),
            why(s.ended).into(),
            Fact::new(s.off, 1, "mm").into(),
        ]);
    }
    table
}

fn wander(place: &Place) -> Table {
    let mut table = Table::new(
        "place-wander",
        "How far each anchor may wander until a tenth is lost, the others held",
        &[
            "anchor",
            "way",
            "distance (mm)",
            "ended by",
            "area within a tenth",
            "area within a quarter",
            "unit of area",
        ],
    );
    for map in &place.wander {
        let line = map.coordinates[1].is_empty();
        let unit = if line { "mm" } else { "mm²" };
        let count = if line { 2 } else { 4 };
        let area = |a: f64| Fact::new(a, 1, unit);
        for way in map.ways.iter().take(count) {
            table.row([
                map.anchor.as_str().into(),
                way.name.as_str().into(),
                Fact::new(way.distance, 1, "mm").into(),
                by(&way.end).into(),
                area(map.area_10).into(),
                area(map.area_25).into(),
                unit.into(),
            ]);
        }
    }
    table
}

fn by(end: &WayEnd) -> String {
    match end {
        WayEnd::Lost => "a tenth is lost".to_owned(),
        WayEnd::Constraint { label, .. } => format!("constraint: {label}"),
        WayEnd::Range => "its range".to_owned(),
    }
}
