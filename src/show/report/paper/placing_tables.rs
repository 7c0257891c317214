//! The tables of a search for better places in a report.

use super::fact::Fact;
use super::placing::why;
use crate::show::table::Table;
use crate::show::words;
use crate::study::result::{Place, Placement, WayEnd};

/// The tables of a search.
pub(super) fn tables(place: &Place) -> Vec<Table> {
    let mut all = vec![variables(place), constraints(place), starts(place)];
    if place.gain.is_some() || place.robust {
        all.extend([errors(place), draws(place)]);
    }
    all.extend((!place.wander.is_empty()).then(|| wander(place)));
    all.extend(front(place));
    all
}

fn variables(place: &Place) -> Table {
    let mut table = Table::new(
        "place-variables",
        &format!("Free variables of {} and their bounds", place.construct),
        &[
            "variable",
            "unit",
            "low",
            "high",
            "given",
            "found",
            "change",
            "remark",
            "backing of the range",
            "source of the range",
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
            words::tag(v.tag).into(),
            v.source.as_str().into(),
        ]);
    }
    table
}

fn constraints(place: &Place) -> Table {
    let mut table = Table::new(
        "place-constraints",
        "Constraints on the places, and how the answer keeps them",
        &["constraint", "limit", "value", "left", "unit", "nearest", "active", "backing", "source"],
    );
    for k in &place.found.kept {
        let fact = |x: f64| Fact::new(x, 2, &k.unit);
        table.row([
            format!("{}, at {}", k.label, if k.at_least { "least" } else { "most" }).into(),
            fact(k.limit).into(),
            k.value.map(fact).into(),
            k.slack.map(fact).into(),
            if k.unit.is_empty() { "–" } else { &k.unit }.into(),
            if k.subject.is_empty() { "–" } else { &k.subject }.into(),
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
            s.value.map(|v| Fact::new(v, aim.decimals(), &aim.unit)).into(),
            if aim.unit.is_empty() { "–" } else { &aim.unit }.into(),
            Fact::count(s.evaluations, "").into(),
            Fact::count(s.in_swarm, "").into(),
            Fact::count(s.restarts, "").into(),
            why(s.ended).into(),
            Fact::new(s.off, 1, "mm").into(),
        ]);
    }
    table
}

fn errors(place: &Place) -> Table {
    let mut table = Table::new(
        "place-errors",
        "What draws of placement error and tension vary",
        &["input", "distribution", "use", "unit", "backing", "source"],
    );
    for e in &place.errors {
        table.row([
            e.path.as_str().into(),
            e.distribution.as_str().into(),
            e.usage.as_str().into(),
            if e.unit.is_empty() { "–" } else { &e.unit }.into(),
            words::tag(e.tag).into(),
            e.source.as_str().into(),
        ]);
    }
    table
}

fn draws(place: &Place) -> Table {
    let mut table = Table::new(
        "place-draws",
        "How draws of placement error and tension ended",
        &["draws", "held", "of these beyond a limit of load", "lost", "off the bone", "without a certificate"],
    );
    let [given, found] = place.draw_ends;
    let fresh = place.gain.as_ref().map(|g| g.ends);
    for (name, ends) in [
        ("of the search on its bed, as given", given),
        ("of the search on its bed, as found", found),
        ("of the search on the full bed, as given", place.given.draws),
        ("of the search on the full bed, as found", place.found.draws),
        ("fresh, on the full bed, as given", fresh.map(|e| e[0])),
        ("fresh, on the full bed, as found", fresh.map(|e| e[1])),
    ] {
        let Some(e) = ends else {
            continue;
        };
        let count = |n: u64| Fact::exact(n as f64, "").into();
        table.row([
            name.into(),
            count(e.held),
            count(e.beyond),
            count(e.lost),
            count(e.impossible),
            count(e.uncertified),
        ]);
    }
    table
}

/// The designs of a front that have a name, and the given construct.
fn front(place: &Place) -> Option<Table> {
    let (front, [a, b]) = (place.front.as_ref()?, place.aims.as_slice()) else {
        return None;
    };
    let mut table = Table::new(
        "place-front",
        &format!("Designs between {} and {}, on the full bed", a.label, b.label),
        &["design", &a.label, "unit", &b.label, "unit of that", "kind"],
    );
    let kind = if place.robust { "percentile over draws" } else { "where nothing errs" };
    for p in std::iter::once(&place.given).chain(&front.designs) {
        let values = |p: &Placement| {
            if place.robust { p.over_draws.clone() } else { p.values.clone() }
        };
        let of = |k: usize| {
            let aim = &place.aims[k];
            let value = values(p).get(k).copied().flatten();
            value.map(|v| Fact::new(v, aim.decimals(), &aim.unit))
        };
        let unit = |k: usize| match place.aims[k].unit.as_str() {
            "" => "–",
            unit => unit,
        };
        table.row([p.name.as_str().into(), of(0).into(), unit(0).into(), of(1).into(), unit(1).into(), kind.into()]);
    }
    Some(table)
}

fn wander(place: &Place) -> Table {
    let mut table = Table::new(
        "place-wander",
        "How far each anchor may wander until a tenth is lost, the others held",
        &["anchor", "way", "distance (mm)", "ended by", "area within a tenth", "area within a quarter", "unit of area"],
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
