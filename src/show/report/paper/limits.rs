//! Limits that a push passes: there a part gives.

use super::fact::Fact;
use crate::show::words::event_clause;
use crate::study::result::{Event, EventKind, Push};
use serde::Serialize;

/// A limit where a push passes it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Limit {
    /// What is passed, as a clause.
    pub what: String,
    /// Displacement, mm; zero: already as tied.
    pub displacement: Fact,
    /// Load there, N.
    pub load: Fact,
}

impl Limit {
    fn of(event: &Event) -> Self {
        Self {
            what: event_clause(event),
            displacement: Fact::new(event.displacement, 2, "mm"),
            load: Fact::new(event.load, 0, "N"),
        }
    }

    /// The clause with where it happens.
    pub(super) fn words(&self) -> String {
        if self.displacement.value == 0.0 {
            format!("{} already as tied", self.what)
        } else {
            format!("{} from {} on ({})", self.what, self.displacement.with_unit(), self.load.with_unit())
        }
    }
}

/// The first limit of bone beside a screw that a push passes, and the first of any other, in the order
/// of their displacement.
pub(super) fn limits(push: &Push) -> Vec<Limit> {
    let first = |wanted: fn(EventKind) -> bool| push.events.iter().find(|e| wanted(e.kind));
    let bearing = first(|kind| kind == EventKind::AboveBearing);
    let other = first(|kind| match kind {
        EventKind::AboveKnot
        | EventKind::AboveStrand
        | EventKind::AboveAnchor
        | EventKind::BiteTears
        | EventKind::AboveCrush => true,
        EventKind::LimbSlack
        | EventKind::ScrewLoose
        | EventKind::AboveBearing
        | EventKind::BiteSeated
        | EventKind::BedSliding
        | EventKind::HalfContact
        | EventKind::Step
        | EventKind::Jump => false,
    });
    let mut events: Vec<&Event> = bearing.into_iter().chain(other).collect();
    events.sort_by(|a, b| a.displacement.total_cmp(&b.displacement));
    events.into_iter().map(Limit::of).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::study::result::Outcome;

    fn event(kind: EventKind, subject: &str, displacement: f64) -> Event {
        Event { kind, subject: subject.to_owned(), displacement, load: 100.0 * displacement }
    }

    #[test]
    fn the_first_beside_a_screw_and_the_first_of_any_other_are_told() {
        let push = Push {
            construct: "both".to_owned(),
            direction: "inferior".to_owned(),
            vector: [0.0, -1.0, 0.0],
            guided: false,
            outcome: Outcome::Held,
            contributors: Vec::new(),
            curve: Vec::new(),
            load_at: [None; 3],
            failure: None,
            settling: None,
            stiffness: None,
            peak: None,
            events: vec![
                event(EventKind::AboveCrush, "", 0.0),
                event(EventKind::BedSliding, "", 0.2),
                event(EventKind::AboveBearing, "upper", 0.456),
                event(EventKind::AboveBearing, "lower", 0.5),
                event(EventKind::AboveAnchor, "neck", 1.0),
            ],
            jumps: Vec::new(),
        };
        let found = limits(&push);
        let words: Vec<String> = found.iter().map(Limit::words).collect();
        assert_eq!(
            words,
            [
                "bone of the bed begins to crush already as tied",
                "bone beside the shank of upper crushes from 0.46 mm on (46 N)",
            ]
        );
        assert_eq!(found[1].displacement.value, 0.456);
        let without = Push { events: vec![event(EventKind::Step, "", 1.0)], ..push };
        assert!(limits(&without).is_empty());
    }
}
