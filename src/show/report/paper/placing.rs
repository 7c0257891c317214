//! What a report tells of a search for better places.

use super::fact::Fact;
use crate::show::words::{self, joined};
use crate::study::result::{EndedBy, Place};
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
    /// Recorded steps of the push in them.
    pub full_steps: Fact,
    /// Most evaluations of each start.
    pub budget: Fact,
    /// Starts that spent them, and had not settled.
    pub unsettled: Fact,
    /// What a robust search adds; absent when none was made.
    pub robust: Option<Robust>,
    /// The front against another objective; absent when none was traced.
    pub front: Option<Traced>,
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

/// A search over draws.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Robust {
    /// Its common draws.
    pub draws: Fact,
    /// Which percentile was sought, in a word.
    pub percentile: String,
    /// The percentile as given, on the full bed; absent where there is none.
    pub given: Option<Fact>,
    /// The same as found.
    pub found: Option<Fact>,
    /// As found on the bed of the search.
    pub on_search_bed: Option<Fact>,
}

/// A front of two objectives.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Traced {
    /// The other objective.
    pub objective: String,
    /// What it is made of.
    pub about: String,
    /// Designs of which none is better in both.
    pub points: Fact,
    /// Evaluations.
    pub evaluations: Fact,
    /// Whether the given construct is beaten in both.
    pub given_is_beaten: bool,
}

/// The paired gain.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Gained {
    /// Draws.
    pub draws: Fact,
    /// Seed of the draws.
    pub seed: Fact,
    /// Bed cells aimed at under these draws.
    pub cells: Fact,
    /// Recorded steps of the push.
    pub steps: Fact,
    /// Median of the difference, found less given; it and the next three absent where no draw tells.
    pub median: Option<Fact>,
    /// Its 10th percentile.
    pub low: Option<Fact>,
    /// Its 90th percentile.
    pub high: Option<Fact>,
    /// Share of draws in which the answer is the better one.
    pub better: Option<Fact>,
    /// Its 95 % interval.
    pub better_interval: Option<[Fact; 2]>,
    /// Difference of the tenth percentiles.
    pub difference: Option<Fact>,
    /// Its 95 % interval.
    pub difference_interval: Option<[Fact; 2]>,
    /// What nine of ten draws reach as found, on the bed of the search.
    pub found_on_search_bed: Option<Fact>,
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
    /// Draws in which a load passes a limit, of those held as given.
    pub beyond_given: Fact,
    /// The same as found.
    pub beyond_found: Fact,
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
            full_steps: Fact::count(place.steps[1], ""),
            budget: Fact::count(place.budget, ""),
            unsettled: Fact::count(place.starts.iter().filter(|s| s.ended == EndedBy::Budget).count(), ""),
            robust: place.robust.then(|| Robust {
                draws: Fact::exact(place.draws as f64, ""),
                percentile: if aim.more_is_better { "tenth" } else { "ninetieth" }.to_owned(),
                given: place.given.over_draws.first().copied().flatten().map(value),
                found: place.found.over_draws.first().copied().flatten().map(value),
                on_search_bed: place.on_search_bed[1].map(value),
            }),
            front: place.front.as_ref().zip(place.aims.get(1)).map(|(front, aim)| Traced {
                objective: aim.label.clone(),
                about: aim.about.clone(),
                points: Fact::count(front.points.len(), ""),
                evaluations: Fact::count(front.evaluations, ""),
                given_is_beaten: front.given_is_beaten,
            }),
            ended: ended(place),
            disagreement: value(place.disagreement),
            apart: Fact::new(place.disagreement_mm, 1, "mm"),
            gain: place.gain.as_ref().map(|g| Gained {
                draws: Fact::exact(g.draws as f64, ""),
                seed: Fact::exact(g.seed as f64, ""),
                cells: Fact::count(g.cells, ""),
                steps: Fact::count(g.steps, ""),
                median: g.median.map(change),
                low: g.low.map(change),
                high: g.high.map(change),
                better: g.better.map(|b| Fact::percent(b.value)),
                better_interval: g.better_interval.map(|i| i.map(Fact::percent)),
                difference: g.difference.map(change),
                difference_interval: g.difference_interval.map(|i| i.map(change)),
                found_on_search_bed: g.found_on_search_bed.map(value),
                given: g.given.map(value),
                found: g.found.map(value),
                lost_given: Fact::exact(g.ends[0].lost as f64, ""),
                lost_found: Fact::exact(g.ends[1].lost as f64, ""),
                pairs: Fact::exact(g.pairs as f64, ""),
                uncertified_given: Fact::exact(g.ends[0].uncertified as f64, ""),
                uncertified_found: Fact::exact(g.ends[1].uncertified as f64, ""),
                impossible_given: Fact::exact(g.ends[0].impossible as f64, ""),
                impossible_found: Fact::exact(g.ends[1].impossible as f64, ""),
                beyond_given: Fact::exact(g.ends[0].beyond as f64, ""),
                beyond_found: Fact::exact(g.ends[1].beyond as f64, ""),
            }),
            reading: crate::show::report::place_reading(place),
        }
    }
}

fn ended(place: &Place) -> String {
    joined(&EndedBy::counted(&place.starts, crate::show::report::place::why))
}
