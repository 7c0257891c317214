//! Refinement: cells of the bed, steps of a push, steps of a pull. The tolerances, and what makes them
//! so large, stand beside the quantities in the program's own verification.

use rimhold::model::{Case, ConstructFile};
use rimhold::study::result::{Event, EventKind, Start};
use rimhold::study::{self, PushPlan};
use rimhold::verify::refinement::{Subject, cells, pull_steps, push_steps};
use rimhold::verify::{Found, Series};

const NAMES: [&str; 4] = ["single-row", "one-by-one", "two-by-two-crossed", "crater-fan"];

fn within_tolerance(refine: impl Fn(&Subject<'_>) -> Found<Vec<Series>>) {
    let case = Case::open("quarter").expect("a built-in case");
    let mut failed = Vec::new();
    for name in NAMES {
        let construct = ConstructFile::open(name).and_then(|file| file.fit(&case)).expect("a built-in construct");
        let subject = Subject { case: &case, construct: &construct, from: Start::Reduced };
        for series in refine(&subject).unwrap_or_else(|e| panic!("{name}: {e}")) {
            let percent = |v: Option<f64>| 100.0 * v.unwrap_or(f64::NAN);
            println!(
                "{name:20} {:20} {:?} {:10.5?} used {:10.5?} error {:7.3} % index {:7.3} % {:?}",
                series.quantity,
                series.levels,
                series.values.map(|v| v.unwrap_or(f64::NAN)),
                series.used.unwrap_or(f64::NAN),
                percent(series.error),
                percent(series.uncertainty),
                series.order
            );
            if !series.passed {
                failed.push(format!("{name}: {} off by {:.3} %", series.quantity, percent(series.error)));
            }
        }
    }
    assert!(failed.is_empty(), "{failed:#?}");
}

#[test]
fn cells_of_the_bed() {
    within_tolerance(cells);
}

#[test]
fn steps_of_a_push() {
    within_tolerance(push_steps);
}

#[test]
fn steps_of_a_pull() {
    within_tolerance(pull_steps);
}

/// Where things first happen is found within the recorded steps, not at their ends: eight times as
/// many steps move it by at most a fifth of a step of 0.05 mm. A stretch is taken to be linear within
/// a step, and whether a cell slides is judged by its slip at the step's start.
#[test]
fn first_events_lie_between_the_recorded_steps() {
    let case = Case::open("quarter").expect("a built-in case");
    let mut compared = Vec::new();
    for name in ["one-by-one", "mattress", "linked-pair", "single-row"] {
        let construct = ConstructFile::open(name).and_then(|file| file.fit(&case)).expect("a built-in construct");
        let rig = study::rig(&case, &construct, Start::Reduced);
        let (_, tied) = study::tie(&case, &construct, &rig, Start::Reduced);
        let tied = tied.expect("held");
        let events = |steps| {
            let plan = PushPlan { to: 1.0, steps, ..PushPlan::default() };
            study::push(&case, &construct, &rig, &tied, &plan).events
        };
        let (coarse, fine) = (events(20), events(160));
        // Contact and peak pressure go in leaps of whole cells: no sharper than those.
        let sharp = [EventKind::LimbSlack, EventKind::BiteSeated, EventKind::BedSliding];
        for event in (coarse.iter()).filter(|e| e.displacement > 0.0 && sharp.contains(&e.kind)) {
            let same = |e: &&Event| e.kind == event.kind && e.subject == event.subject;
            let Some(other) = fine.iter().find(same) else {
                panic!("{name}: {event:?} is not in {fine:?}");
            };
            let off = event.displacement - other.displacement;
            println!("{name}: {:?} at {:.4} mm, {off:+.4}", event.kind, event.displacement);
            assert!(off.abs() <= 0.01, "{name}: {event:?}, {other:?}");
            compared.push(event.kind);
        }
    }
    for kind in [EventKind::LimbSlack, EventKind::BedSliding] {
        assert!(compared.contains(&kind), "{compared:?}");
    }
}
