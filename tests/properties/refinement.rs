//! Refinement: cells of the bed, steps of a push, steps of a pull. The tolerances, and what makes them
//! so large, stand beside the quantities in the program's own verification.

use rimhold::case::{Case, ConstructFile};
use rimhold::study::result::Start;
use rimhold::verify::refinement::{Subject, cells, pull_steps, push_steps};
use rimhold::verify::{Found, Series};

const NAMES: [&str; 4] = [
    "single-row",
    "one-by-one",
    "two-by-two-crossed",
    "crater-fan",
];

fn within_tolerance(refine: impl Fn(&Subject<'_>) -> Found<Vec<Series>>) {
    let case = Case::open("quarter").expect("a built-in case");
    let mut failed = Vec::new();
    for name in NAMES {
        let construct = ConstructFile::open(name)
            .and_then(|file| file.fit(&case))
            .expect("a built-in construct");
        let subject = Subject {
            case: &case,
            construct: &construct,
            from: Start::Reduced,
        };
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
                failed.push(format!(
                    "{name}: {} off by {:.3} %",
                    series.quantity,
                    percent(series.error)
                ));
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
