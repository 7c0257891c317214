//! The program's own verification is within its tolerances, and the evidence page tells it.
//! The closed forms have a test each in `closed_form`, refinements in `properties`, bounds in
//! `references`; here is what has none elsewhere, and the whole.

use rimhold::report::verify_markdown;
use rimhold::study::result::Start;
use rimhold::verify::{self, Check, Verification};

const PAGE: &str = include_str!("README.md");

#[track_caller]
fn all_pass(found: &Verification) {
    assert!(
        !found.checks.is_empty() || !found.series.is_empty(),
        "nothing was checked"
    );
    let failed: Vec<&Check> = found.checks.iter().filter(|c| !c.passed).collect();
    assert!(failed.is_empty(), "{failed:#?}");
    let failed: Vec<_> = found.series.iter().filter(|s| !s.passed).collect();
    assert!(failed.is_empty(), "{failed:#?}");
    assert!(found.passed());
}

#[test]
fn the_whole_suite_is_within_tolerance_and_told_on_the_evidence_page() {
    let (case, constructs) = verify::own().unwrap();
    let mut parts = verify::parts();
    for construct in &constructs {
        parts.extend(verify::of(&case, construct, Start::Reduced));
    }
    let mut found = Verification::default();
    for part in parts {
        found.extend(part());
    }
    all_pass(&found);
    // Every check has a source and a reason, and every name stands once in its law.
    for check in &found.checks {
        assert!(
            !check.source.is_empty() && !check.reason.is_empty(),
            "{check:?}"
        );
    }
    let names = |c: &Check| (c.law.clone(), c.name.clone());
    let mut all: Vec<_> = found.checks.iter().map(names).collect();
    all.sort();
    // The seven threads are asked twice on purpose.
    let before = all.len();
    all.dedup();
    assert!(before - all.len() <= 2, "names that stand twice");
    // The page: each law with its source, each check with what is expected, each quantity refined.
    // Digits of what was obtained are those of the run that was pasted.
    let rows: Vec<&str> = PAGE.lines().collect();
    for line in verify_markdown(&found).lines() {
        let told = if line.starts_with("| ") {
            let cells: Vec<&str> = line.split(" | ").collect();
            rows.iter().any(|row| {
                let told: Vec<&str> = row.split(" | ").collect();
                // Some expectations belong to the run: the farthest of many pairs, a bound at its state,
                // the account of the work.
                let of_run = ["worst of", "work against", "largest load", "compression"];
                let bound_by_run = of_run.iter().any(|words| cells[0].contains(words));
                told.len() == cells.len()
                    && told[0] == cells[0]
                    && (cells.len() != 7 || bound_by_run || told[1] == cells[1])
            })
        } else {
            !line.starts_with("**") || rows.contains(&line)
        };
        assert!(told, "the evidence page does not say: {line}");
    }
}

#[test]
fn other_cases_are_balanced_and_resolved_too() {
    for (case, name, from) in [
        ("hinge-weak", "single-row", Start::Displaced),
        ("large", "two-by-two", Start::Reduced),
    ] {
        let case = rimhold::case::Case::open(case).unwrap();
        let construct = rimhold::case::ConstructFile::open(name)
            .unwrap()
            .fit(&case)
            .unwrap();
        for part in verify::of(&case, &construct, from) {
            let found = part();
            for check in &found.checks {
                assert!(check.passed, "{check:#?}");
            }
            for series in &found.series {
                println!("{series:?}");
            }
        }
    }
}

#[test]
fn what_is_not_held_fails_with_its_reason_and_no_number() {
    let mut case = rimhold::case::Case::open("quarter").unwrap();
    case.bed.friction = 0.0;
    case.envelope = None;
    let construct = rimhold::case::ConstructFile::open("one-by-one-bare")
        .unwrap()
        .fit(&case)
        .unwrap();
    for part in verify::of(&case, &construct, Start::Reduced) {
        let found = part();
        assert!(!found.passed());
        for check in found.checks {
            assert_eq!(check.obtained, None);
            assert!(check.trouble.unwrap().contains("held"));
        }
    }
}
