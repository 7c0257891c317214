//! `rimhold verify` from outside: forms, schema, exit codes.

use crate::cli::{Bench, CAUTION, Ended, NEVER_HELD};
use std::sync::LazyLock;
use unicode_width::UnicodeWidthStr;

/// The command of the example in its help.
pub(super) const TYPED: [&str; 5] = ["verify", "quarter", "single-row", "--format", "markdown"];
/// How it ended; run once, the suite takes seconds.
pub(super) static EXAMPLE: LazyLock<Ended> = LazyLock::new(|| Bench::new().run(&TYPED).code(0));

const COARSE: &str = "[bed]\ncells = 100\n";

fn valid(text: &str) -> serde_json::Value {
    let document: serde_json::Value = serde_json::from_str(text).unwrap();
    let printed = Bench::new().run(&["schema", "verification"]).code(0).out;
    let schema: serde_json::Value = serde_json::from_str(&printed).unwrap();
    assert_eq!(schema, rimhold::show::report::Envelope::<rimhold::show::report::VerifyBody>::schema());
    assert_eq!(schema["title"], "rimhold-verify/1");
    let validator = jsonschema::validator_for(&schema).unwrap();
    let errors: Vec<String> = validator.iter_errors(&document).map(|e| format!("{}: {e}", e.instance_path())).collect();
    assert!(errors.is_empty(), "{}", errors.join("\n"));
    assert!(document["caution"].as_str().unwrap().contains(CAUTION));
    let mut broken = document.clone();
    broken["caution"] = 1.into();
    assert!(!validator.is_valid(&broken));
    document
}

#[test]
fn the_suite_passes_and_its_forms_tell_the_same() {
    let bench = Bench::new();
    let table = bench.run(&["verify", "--full"]).code(0).says(CAUTION);
    let table = table.says("all within their tolerances").says("Source: Coulomb");
    assert!(!table.out.contains("FAIL"));
    for line in table.out.lines() {
        assert!(line.width() <= 80, "{line}");
    }
    let typed = ["verify", "quarter", "single-row", "--format", "json", "--quiet"];
    let document = valid(&bench.run(&typed).code(0).out);
    assert_eq!(document["passed"], true);
    assert_eq!(document["asked"]["construct"], "single-row");
    let series = document["verification"]["series"].as_array().unwrap();
    let own = |s: &&serde_json::Value| s["subject"] == "single-row on quarter";
    assert!(series.iter().filter(own).count() > 20);
    let checks = document["verification"]["checks"].as_array().unwrap();
    assert!(checks.iter().any(|c| { c["name"].as_str().unwrap().starts_with("single-row on quarter: net force") }));
    let page = &EXAMPLE.out;
    assert!(page.contains(CAUTION));
    for check in checks.iter().filter(|c| c["category"] == "code_verification") {
        let name = check["name"].as_str().unwrap();
        if !name.contains("single-row on quarter") {
            assert!(page.contains(name), "{name}");
        }
    }
}

#[test]
fn what_is_out_of_tolerance_ends_with_one() {
    let bench = Bench::new();
    // On so few cells the answers are not resolved.
    let case = bench.write("coarse.toml", &(include_str!("../../configs/cases/quarter.toml").to_owned() + COARSE));
    let end = bench.run(&["verify", &case, "single-row"]).code(1);
    end.says("FAIL").says("out of tolerance").warns("out of tolerance");
}

#[test]
fn a_construct_that_does_not_hold_is_a_finding_and_no_failed_verification() {
    let bench = Bench::new();
    let case = bench.write("lost.toml", NEVER_HELD);
    let end = bench.run(&["verify", &case, "one-by-one"]).code(0);
    let end = end.says("all within their tolerances");
    let flat = end.out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(flat.contains("one-by-one on lost: fixation fails"), "{flat}");
    assert!(!end.out.contains("FAIL") && !end.out.contains("NotHeld"), "{}", end.out);
    let document = valid(&bench.run(&["verify", &case, "one-by-one", "--format", "json", "--quiet"]).code(0).out);
    assert_eq!(document["passed"], true);
    assert_eq!(document["verification"]["lost"][0]["outcome"]["status"], "not_held");
    let compared = bench.run(&["compare", &case, "one-by-one"]);
    assert!(!compared.out.contains("All 0 states"), "{}", compared.out);
}

#[test]
fn predictions_are_printed_and_pass_or_fail_nothing() {
    let bench = Bench::new();
    let typed = ["verify", "--published", "--draws", "8", "--format", "json", "--quiet"];
    let document = valid(&bench.run(&typed).code(0).out);
    assert_eq!(document["passed"], serde_json::Value::Null);
    assert_eq!(document["published"]["draws"], 8);
    assert!(document["published"]["facts"].as_array().unwrap().len() >= 9);
}

#[test]
fn mistakes_end_with_two() {
    let bench = Bench::new();
    bench.run(&["verify", "quarter"]).code(2).warns("CONSTRUCT");
    bench.run(&["verify", "quarter", "nowhere"]).code(2).warns("nowhere");
    bench.run(&["verify", "nowhere", "one-by-one"]).code(2).warns("nowhere");
    bench.run(&["verify", "--published", "quarter", "one-by-one"]).code(2);
    bench.run(&["verify", "--format", "csv"]).code(2).warns("markdown");
    bench.run(&["compare", "--format", "markdown"]).code(2).warns("verify");
}
