//! The program's own verification, part by part: each is within tolerance, and the short form of the
//! suite is what `rimhold verify` runs.

use rimhold::study::result::Start;
use rimhold::verify::{self, Check, Verification};

#[track_caller]
fn all_pass(found: &Verification) {
    assert!(
        !found.checks.is_empty() || !found.series.is_empty(),
        "nothing was checked"
    );
    for check in &found.checks {
        println!(
            "{} {}: expected {} {}, obtained {:?}, off by {:?}, allowed {:e}",
            check.passed,
            check.name,
            check.expected,
            check.unit,
            check.obtained,
            check.error,
            check.tolerance
        );
    }
    let failed: Vec<&Check> = found.checks.iter().filter(|c| !c.passed).collect();
    assert!(failed.is_empty(), "{failed:#?}");
    let failed: Vec<_> = found.series.iter().filter(|s| !s.passed).collect();
    assert!(failed.is_empty(), "{failed:#?}");
}

#[test]
fn second_solver_finds_the_same_rest() {
    all_pass(&Verification {
        checks: verify::minimum_of_energy(),
        series: Vec::new(),
    });
}

#[test]
fn digits_are_the_same_on_any_number_of_threads() {
    all_pass(&Verification {
        checks: verify::threads(),
        series: Vec::new(),
    });
}

#[test]
fn default_calculations_balance_and_are_resolved() {
    let (case, constructs) = verify::own().unwrap();
    for construct in &constructs {
        for part in verify::of(&case, construct, Start::Reduced) {
            let clock = std::time::Instant::now();
            all_pass(&part());
            println!("-- {:.2} s", clock.elapsed().as_secs_f64());
        }
    }
}
