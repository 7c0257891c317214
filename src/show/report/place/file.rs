//! A search for better places for machines: JSON, CSV, and the construct that it found as a file.

use super::draws::kinds;
use super::of_aim;
use super::reading::fault;
use crate::CAUTION;
use crate::show::report::json::{Body, Told};
use crate::show::report::paper::sha256;
use crate::show::report::summary::{CaseSummary, ConstructSummary};
use crate::show::table::{Cell, Table};
use crate::study::result::{EndedBy, Place, Placement, WayEnd};
use schemars::JsonSchema;
use serde::Serialize;

/// What `rimhold place --format json` gives.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct PlaceBody {
    /// The case as it stands in its file.
    pub case: CaseSummary,
    /// The construct as it stands in its file.
    pub constructs: Vec<ConstructSummary>,
    /// What was found.
    pub place: Told<Place>,
}

impl PlaceBody {
    /// A document of one search.
    pub fn new(case: CaseSummary, constructs: Vec<ConstructSummary>, place: Place) -> Self {
        let reading = super::place_reading(&place);
        Self { case, constructs, place: Told { found: place, reading } }
    }
}

impl Body for PlaceBody {
    const SCHEMA: &str = "rimhold-place/2";
}

/// First words of a file that `rimhold place` made.
const OURS: &str = "# Made by `rimhold place`";
/// What its second line starts with.
const HASH: &str = "# SHA-256 of all other lines, by which the program knows that nobody changed them: ";

/// What a text is to `rimhold place`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Known {
    /// An answer, as it was written.
    Ours,
    /// An answer that was changed since, or was written before answers had a hash.
    Changed,
    /// Another file.
    Foreign,
}

/// What a text is: only an answer as it was written may be replaced.
pub fn known_answer(text: &str) -> Known {
    if !text.starts_with(OURS) {
        return Known::Foreign;
    }
    let mut lines = text.splitn(3, '\n');
    let parts = (lines.next(), lines.next(), lines.next());
    match parts {
        (Some(first), Some(second), Some(rest)) => match second.strip_prefix(HASH) {
            Some(told) if told == hash(first, rest) => Known::Ours,
            _ => Known::Changed,
        },
        _ => Known::Changed,
    }
}

fn hash(first: &str, rest: &str) -> String {
    sha256(format!("{first}\n{rest}").as_bytes())
}

/// The answer as a construct file that says what made it, and by which the program knows it again.
pub fn placed_file(command: &str, found: &Place) -> String {
    let aim = &found.aims[0];
    let value = |p: &Placement| p.values[0].map_or_else(|| "unstable".to_owned(), |v| of_aim(aim, v));
    let plain = |text: &str| text.replace(|c: char| c.is_control(), " ");
    let sought = if found.robust {
        format!("{} percentile over {} draws of {}", aim.percentile(), found.draws, aim.label)
    } else {
        aim.label.clone()
    };
    let first = format!("{OURS}: places sought in a model, from the construct {}.", plain(&found.construct));
    let rest = format!(
        "# Command: {}\n\
         # Seed: {}. Objective: {sought}.\n\
         # With the full bed{}: {} here, {} as given.\n\
         # {}CAUTION: {CAUTION}\n\n{}",
        plain(command),
        found.seed,
        if found.robust { ", without errors" } else { "" },
        value(&found.found),
        value(&found.given),
        if let Some(fault) = fault(found) {
            format!("{}\n# ", plain(&fault))
        } else if is_cut(found) {
            "Interrupted: the best so far.\n# ".to_owned()
        } else {
            String::new()
        },
        found.found.file
    );
    format!("{first}\n{HASH}{}\n{rest}", hash(&first, &rest))
}

/// Whether an end was asked for before the search was through.
fn is_cut(found: &Place) -> bool {
    let mut starts = found.starts.iter();
    starts.any(|s| s.ended == EndedBy::Interrupted)
}

/// Lines of `kind,name,item,value,unit,note`.
pub fn place_csv(found: &Place) -> String {
    let mut table = Table::new("place", "", &["kind", "name", "item", "value", "unit", "note"]);
    let mut line = |kind: &str, name: &str, item: &str, value: Option<f64>, unit: &str, note: &str| {
        let value = Cell { text: String::new(), value };
        table.row([kind.into(), name.into(), item.into(), value, unit.into(), note.into()]);
    };
    let designs = found.front.iter().flat_map(|f| &f.designs);
    for p in [&found.given, &found.found].into_iter().chain(designs) {
        for (aim, value) in found.aims.iter().zip(&p.values) {
            line("objective", &p.name, &aim.key, *value, &aim.unit, &p.why);
        }
        for (aim, value) in found.aims.iter().zip(&p.over_draws) {
            line("percentile", &p.name, &aim.key, *value, &aim.unit, "");
        }
        for k in &p.kept {
            let note = if k.active { "active" } else { "" };
            line("constraint", &p.name, &k.key, k.value, &k.unit, &k.subject);
            line("slack", &p.name, &k.key, k.slack, &k.unit, note);
        }
    }
    for v in &found.variables {
        for (item, value) in [("low", v.low), ("high", v.high), ("given", v.given), ("found", v.found)] {
            let note = match (v.idle, v.at_end) {
                (true, _) => "changes nothing",
                (_, true) => "at an end of its range",
                _ => "",
            };
            line("variable", &v.path, item, Some(value), &v.unit, note);
        }
    }
    for e in &found.errors {
        line("error", &e.path, &e.distribution, None, &e.unit, &e.source);
    }
    let aim = &found.aims[0];
    for (k, s) in found.starts.iter().enumerate() {
        let name = format!("start {}", k + 1);
        line("start", &name, "value", s.value, &aim.unit, "");
        line("start", &name, "off", Some(s.off), "mm", "");
        for p in &s.progress {
            let item = p.evaluations.to_string();
            line("progress", &name, &item, Some(p.value), &aim.unit, "");
        }
    }
    if let Some(g) = &found.gain {
        for (item, value) in [
            ("given", g.given),
            ("found", g.found),
            ("found on search bed", g.found_on_search_bed),
            ("difference", g.difference),
            ("difference low 95", g.difference_interval.map(|i| i[0])),
            ("difference high 95", g.difference_interval.map(|i| i[1])),
            ("median", g.median),
            ("low", g.low),
            ("high", g.high),
        ] {
            line("gain", "paired", item, value, &aim.unit, "");
        }
        let better = g.better.map(|b| b.value);
        line("gain", "paired", "better", better, "", "");
        for (k, item) in ["better low 95", "better high 95"].into_iter().enumerate() {
            let end = g.better_interval.map(|i| i[k]);
            line("gain", "paired", item, end, "", "");
        }
    }
    for (name, ends) in kinds(found) {
        for (item, count) in [
            ("held", ends.held),
            ("lost", ends.lost),
            ("uncertified", ends.uncertified),
            ("impossible", ends.impossible),
            ("beyond a limit", ends.beyond),
        ] {
            line("draws", name, item, Some(count as f64), "", "");
        }
    }
    for map in &found.wander {
        for w in &map.ways {
            let note = match &w.end {
                WayEnd::Lost => "10 % lost".to_owned(),
                WayEnd::Constraint { label, .. } => label.clone(),
                WayEnd::Range => "end of range".to_owned(),
            };
            line("way", &map.anchor, &w.name, Some(w.distance), "mm", &note);
        }
        for g in &map.grid {
            let item = format!("{} {}", g.offset[0], g.offset[1]);
            let note = g.broken.as_deref().unwrap_or("");
            line("wander", &map.anchor, &item, g.value, &aim.unit, note);
        }
    }
    if let Some(front) = &found.front {
        for (k, p) in front.points.iter().enumerate() {
            for (aim, value) in found.aims.iter().zip(p.values) {
                let name = (k + 1).to_string();
                line("front", &name, &aim.key, Some(value), &aim.unit, "");
            }
        }
    }
    table.csv()
}
