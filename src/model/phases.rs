//! Phases of rehabilitation: what load comes how often, after the operation.

use super::direction::Direction;
use super::parameters::row;
use super::reader::{LONGEST_NAME, Log, Section, text};
use super::{PhaseSpec, Tag};

/// Most phases.
pub(super) const MOST: usize = 12;
/// How the list is written.
const LIST: &str = "a list of tables, each under [[phase]]";

/// The phases that are taken where a case gives none: name, largest load (N), cycles, and what backs the load. Each
/// cycle comes back to the least load of a bench test, inferiorly; cycles and direction are assumed.
const USUAL: [(&str, f64, u32, &str); 4] = [
    ("sling", 15.0, 100, "middle of the 5–25 N of bench tests; that share, the cycles and the direction assumed"),
    ("passive motion", 25.0, 1000, "bench tests cycle 5–25 N (seen); the cycles and the direction assumed"),
    (
        "active motion",
        38.0,
        1000,
        "weight of a hanging arm, 26–50 N (derived from Plagenhoef 1983 and de Leva 1996); that all of it pulls on the \
         fragment, the cycles and the direction assumed",
    ),
    ("light use", 50.0, 5000, "the upper end of the same weight; the rest assumed as before"),
];

/// The least load of the usual phases, N: where bench tests return to.
const USUAL_LOW: f64 = 5.0;

/// The phases that are taken where a case gives none: assumed, all of them.
pub fn usual_phases() -> Vec<PhaseSpec> {
    let phase = |(name, high, cycles, source): (&str, f64, u32, &str)| PhaseSpec {
        name: name.to_owned(),
        low: USUAL_LOW,
        high,
        cycles,
        direction: Direction::default(),
        tag: Tag::Assumed,
        source: source.to_owned(),
    };
    USUAL.map(phase).to_vec()
}

/// Reads the direction of a load of cycles, where a table gives one.
pub(super) fn read_direction(s: &mut Section<'_>, log: &mut Log) -> Option<Direction> {
    let path = s.at("direction");
    let e = s.get("direction")?;
    let word = text(&e.node, &path, "a direction, like \"inferior\"", log)?;
    Direction::parse(word)
        .map_err(|why| {
            let (what, hint) = why.split_once(": ").unwrap_or((&why, "give a direction"));
            log.wrong(e.node.span.clone(), format!("`{path}`: {what}"), "no direction", hint);
        })
        .ok()
}

/// Reads `[[phase]]`, in order; none where the file has none.
pub(super) fn read_phases(root: &mut Section<'_>, log: &mut Log) -> Vec<PhaseSpec> {
    let mut phases: Vec<PhaseSpec> = Vec::new();
    for mut s in root.list("phase", MOST, LIST, log) {
        let name = s.text("name", LONGEST_NAME, log);
        if s.get("name").is_none() {
            s.missing("name", "what it is called, like name = \"sling\"", log);
        }
        let named_before = name.as_ref().is_some_and(|name| phases.iter().any(|p| p.name == *name));
        if let (true, Some(name)) = (named_before, &name) {
            log.wrong(s.span_of("name"), format!("two phases are called `{name}`"), "again", "give each its own name");
        }
        let low = s.number_as("low", row("phase.*.low"), log);
        let high = s.number_as("high", row("phase.*.high"), log);
        let cycles = s.number_as("cycles", row("phase.*.cycles"), log);
        if low > high {
            log.wrong(
                s.span_of("high"),
                format!("`{}` is below `{}`", s.at("high"), s.at("low")),
                format!("{high} N, but the least load is {low} N"),
                "a cycle goes from `low` up to `high`",
            );
        }
        let direction = read_direction(&mut s, log).unwrap_or_default();
        s.done(log);
        let name = name.unwrap_or_default();
        phases.push(PhaseSpec {
            name,
            low,
            high,
            cycles: cycles as u32,
            direction,
            tag: Tag::Given,
            source: String::new(),
        });
    }
    phases
}
