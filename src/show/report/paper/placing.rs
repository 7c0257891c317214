//! What page and methods section say of a search for better places.

use super::fact::{Fact, Facts};
use crate::show::report::place::why;
use crate::show::words::{joined, word};
use crate::study::result::{EndedBy, PairedGain, Place};

/// A search for better places in facts: objectives as given and as found are on the full bed, absent where not
/// held.
pub(super) fn placing(place: &Place) -> Facts {
    let aim = &place.aims[0];
    let value = |v: f64| Fact::new(v, aim.decimals(), &aim.unit);
    let count = |n: usize| Fact::count(n, "");
    let first = |values: &[Option<f64>]| values.first().copied().flatten().map(value);
    let idle = place.variables.iter().filter(|v| v.idle).map(|v| v.path.clone());
    let unsettled = place.starts.iter().filter(|s| s.ended == EndedBy::Budget);
    let robust = place.robust.then(|| {
        Facts(vec![
            ("draws", whole(place.draws).into()),
            ("percentile", if aim.more_is_better { "tenth" } else { "ninetieth" }.into()),
            ("given", first(&place.given.over_draws).into()),
            ("found", first(&place.found.over_draws).into()),
            ("on_search_bed", place.on_search_bed[1].map(value).into()),
        ])
    });
    let front = place.front.as_ref().zip(place.aims.get(1)).map(|(front, aim)| {
        Facts(vec![
            ("objective", (&aim.label).into()),
            ("about", (&aim.about).into()),
            ("points", count(front.points.len()).into()),
            ("evaluations", count(front.evaluations).into()),
            ("given_is_beaten", front.given_is_beaten.into()),
        ])
    });
    Facts(vec![
        ("construct", (&place.construct).into()),
        ("from", word(&place.from).into()),
        ("objective", (&aim.label).into()),
        ("about", (&aim.about).into()),
        ("given", place.given.values[0].map(value).into()),
        ("found", place.found.values[0].map(value).into()),
        ("variables", count(place.variables.iter().filter(|v| !v.idle).count()).into()),
        ("idle", idle.collect::<Vec<_>>().into()),
        ("seed", whole(place.seed).into()),
        ("starts", count(place.starts.len()).into()),
        ("evaluations", count(place.evaluations).into()),
        ("uncertified", count(place.uncertified).into()),
        ("cells", count(place.cells[0]).into()),
        ("steps", count(place.steps[0]).into()),
        ("full_cells", count(place.cells[1]).into()),
        ("full_steps", count(place.steps[1]).into()),
        ("budget", count(place.budget).into()),
        ("unsettled", count(unsettled.count()).into()),
        ("robust", robust.into()),
        ("front", front.into()),
        ("ended", joined(&EndedBy::counted(&place.starts, why)).into()),
        ("disagreement", value(place.disagreement).into()),
        ("apart", Fact::new(place.disagreement_mm, 1, "mm").into()),
        ("gain", place.gain.as_ref().map(|g| gained(g, aim.decimals(), &aim.unit)).into()),
        ("reading", crate::show::report::place_reading(place).into()),
    ])
}

fn whole(n: u64) -> Fact {
    Fact::exact(n as f64, "")
}

/// Given and found on common draws: what is absent no draw tells.
fn gained(g: &PairedGain, decimals: usize, unit: &str) -> Facts {
    let value = |v: f64| Fact::new(v, decimals, unit);
    let change = |v: f64| Fact::signed(v, decimals, unit);
    let [given, found] = g.ends;
    Facts(vec![
        ("draws", whole(g.draws).into()),
        ("seed", whole(g.seed).into()),
        ("cells", Fact::count(g.cells, "").into()),
        ("steps", Fact::count(g.steps, "").into()),
        ("median", g.median.map(change).into()),
        ("low", g.low.map(change).into()),
        ("high", g.high.map(change).into()),
        ("better", g.better.map(|b| Fact::percent(b.value)).into()),
        ("better_interval", g.better_interval.map(|i| i.map(Fact::percent).to_vec()).into()),
        ("difference", g.difference.map(change).into()),
        ("difference_interval", g.difference_interval.map(|i| i.map(change).to_vec()).into()),
        ("found_on_search_bed", g.found_on_search_bed.map(value).into()),
        ("given", g.given.map(value).into()),
        ("found", g.found.map(value).into()),
        ("lost_given", whole(given.lost).into()),
        ("lost_found", whole(found.lost).into()),
        ("pairs", whole(g.pairs).into()),
        ("uncertified_given", whole(given.uncertified).into()),
        ("uncertified_found", whole(found.uncertified).into()),
        ("impossible_given", whole(given.impossible).into()),
        ("impossible_found", whole(found.impossible).into()),
        ("beyond_given", whole(given.beyond).into()),
        ("beyond_found", whole(found.beyond).into()),
    ])
}
