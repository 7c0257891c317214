//! Tying orders, verification and scatter in a report are those of `rimhold tie`, `verify` and
//! `scatter`, asked by themselves.

use crate::report::{LOST, Made, NAMES, THREE, ends, program};
use serde_json::Value;
use std::sync::LazyLock;

/// Few samples of a seed of their own, without the suite.
static FEW: LazyLock<Made> = LazyLock::new(|| {
    Made::new(&[
        "quarter",
        "one-by-one",
        "two-by-two-crossed",
        "--samples",
        "40",
        "--seed",
        "7",
        "--no-suite",
        "--svg-only",
    ])
});

/// What a command says as JSON.
fn asked(arguments: &[&str]) -> Value {
    let room = tempfile::tempdir().unwrap();
    let mut all = arguments.to_vec();
    all.extend(["--format", "json", "--quiet"]);
    let end = program(room.path(), &all);
    assert!(end.status.success(), "{arguments:?}");
    serde_json::from_slice(&end.stdout).unwrap()
}

/// Rows of a table of the record, found by its name.
fn rows(record: &Value, name: &str) -> Vec<Vec<Value>> {
    let tables = record["tables"].as_array().unwrap();
    let table = tables.iter().find(|t| t["name"] == name);
    rows_of(table.unwrap_or_else(|| panic!("no table {name}")))
}

fn rows_of(table: &Value) -> Vec<Vec<Value>> {
    let rows = table["rows"].as_array().unwrap();
    rows.iter().map(|r| r.as_array().unwrap().clone()).collect()
}

/// The section of the methods under a heading.
fn section<'a>(text: &'a str, heading: &str) -> &'a str {
    let (_, rest) = text.split_once(&format!("\n## {heading}\n")).unwrap();
    rest.split("\n## ").next().unwrap()
}

#[test]
fn tying_orders_are_those_of_tie() {
    let record = THREE.json("results.json");
    for (k, name) in ["one-by-one", "two-by-two-crossed", "single-row"].into_iter().enumerate() {
        let alone = asked(&["tie", "quarter", name, "--orders", "all"]);
        let runs = alone["orders"]["runs"].as_array().unwrap();
        let told = &record["tying"][k];
        let rows = rows_of(&told["table"]);
        // Three ties have six orders.
        assert_eq!((runs.len(), rows.len()), (6, 6), "{name}");
        for (run, row) in runs.iter().zip(&rows) {
            let step = row[2]["value"].as_f64().map(f64::abs);
            assert_eq!(step, run["residual_step"].as_f64(), "{name}");
            assert_eq!(row[3]["value"], run["residual_shift"], "{name}");
            assert_eq!(row[0]["value"].as_f64(), run["rank"].as_f64(), "{name}: {row:?}");
        }
        assert_eq!(told["reading"], alone["orders"]["reading"], "{name}");
        assert_eq!(told["sampled"], Value::Null);
        let best = runs[0]["residual_step"].as_f64().unwrap();
        assert_eq!(told["best"]["step"]["value"].as_f64(), Some(best));
        let text = THREE.text("methods-supplement.md");
        let said =
            format!("The least residual step, {best:.2} mm, was left by {}", told["best"]["order"].as_str().unwrap());
        assert!(section(&text, "Tying order").contains(&said), "{said}");
        for figure in ["tie-strip", "tie-residuals"] {
            let path = format!("figures/{figure}-{name}.svg");
            assert!(THREE.text(&path).contains("<svg"), "{path}");
        }
    }
}

/// Of seven ties 120 orders of 5040 (7!) are run, the same for a seed.
#[test]
fn a_sample_of_orders_tells_its_seed() {
    let room = tempfile::tempdir().unwrap();
    let text = rimhold::model::builtin("two-by-two-crossed").unwrap();
    let (head, _) = text.split_once("[tying]").unwrap();
    let seven = format!(
        "{head}[limb.bridge-more]\npath = [\"medial-lower\", {{ rim = {{ along = \"-20 %\" }} }}, \"lateral-lower\"]\n\
         strand = \"cord\"\ntension = 10.0\n[tying]\norder = [\"inferior-loop\", \"superior-loop\", \
         \"bridge-lower\", \"bridge-upper\", \"bridge-rising\", \"bridge-falling\", \"bridge-more\"]\n"
    );
    std::fs::write(room.path().join("seven.toml"), seven).unwrap();
    let typed = [
        "report",
        "quarter",
        "seven.toml",
        "--seed",
        "5",
        "--samples",
        "0",
        "--no-suite",
        "--svg-only",
        "--out",
        "made",
    ];
    ends(room.path(), &typed, 0);
    let made = Made { room };
    let told = &made.json("results.json")["tying"][0];
    assert_eq!(told["orders"]["text"], "120");
    assert_eq!(told["sampled"]["of"]["text"], "5040");
    assert_eq!(told["sampled"]["seed"]["text"], "5");
    let seeds = made.json("manifest.json")["seeds"].clone();
    assert_eq!(seeds, serde_json::json!({ "tying orders of two-by-two-crossed": 5 }));
    let text = made.text("methods-supplement.md");
    assert!(section(&text, "Tying order").contains("120 of 5040 (seed 5)"));
    // The page lists the best and the last, the figure's CSV all.
    assert!(rows_of(&told["table"]).len() <= 31);
    let again = made.text("rerun.sh");
    assert!(again.contains("--seed=5") && again.contains("--no-suite"), "{again}");
}

#[test]
fn verification_is_that_of_verify() {
    let record = THREE.json("results.json");
    let alone = asked(&["verify", "quarter", "single-row"]);
    let found = &alone["verification"];
    let (checks, series) = (found["checks"].as_array().unwrap(), found["series"].as_array().unwrap());
    let own = |list: &[Value], key: &str| -> Vec<Value> {
        let mine = |v: &&Value| v[key].as_str().unwrap().starts_with("single-row on quarter");
        list.iter().filter(mine).cloned().collect()
    };
    let (mine, refined) = (own(checks, "name"), own(series, "subject"));
    assert!(mine.len() >= 9 && refined.len() == 41, "{} {}", mine.len(), refined.len());
    // The suite's counts are those without what was asked for of single-row.
    let suite = &record["verification"]["suite"];
    for (key, all, own) in [("checks", checks.len(), mine.len()), ("series", series.len(), refined.len())] {
        let told = suite[key]["value"].as_f64().unwrap();
        assert_eq!(told as usize, all - own, "{key}");
        assert_eq!(suite[key], suite[&format!("{key}_within")], "{key}");
    }
    let of = |list: &Value, key: &str| -> Vec<Value> { own(list.as_array().unwrap(), key) };
    assert_eq!(of(&record["verified"]["case"]["checks"], "name"), mine);
    assert_eq!(of(&record["verified"]["case"]["series"], "subject"), refined);
    let grid = rows(&record, "grid");
    let cells = refined.iter().filter(|s| s["refined"] == "cells");
    let told = grid.iter().filter(|r| r[0]["text"] == "single-row");
    let mut seen = 0;
    for (series, row) in cells.zip(told) {
        assert_eq!(row[2]["value"], series["used"]);
        assert_eq!(row[3]["value"], series["values"][3]);
        assert_eq!(row[4]["value"], series["extrapolated"]);
        assert_eq!(row[6]["value"].as_f64().unwrap(), 100.0 * series["error"].as_f64().unwrap());
        seen += 1;
    }
    assert_eq!(seen, 15);
    let text = THREE.text("methods-supplement.md");
    let said = format!(
        "{0} of {0} checks and {1} of {1} refinements",
        checks.len() - mine.len(),
        series.len() - refined.len()
    );
    assert!(section(&text, "Verification").contains(&said), "{said}");
    // Rows of the table of the suite sum to all of it.
    let rows = rows(&record, "suite");
    let sum: f64 = rows.iter().filter_map(|r| r[3]["value"].as_f64()).sum();
    assert_eq!(sum as usize, checks.len() + series.len() - mine.len() - refined.len());
}

#[test]
fn scatter_is_that_of_scatter() {
    let record = FEW.json("results.json");
    let typed = ["scatter", "quarter", "one-by-one", "two-by-two-crossed", "--samples", "40", "--seed", "7"];
    let alone = asked(&typed);
    let alone = &alone["scatter"];
    for key in ["constructs", "pairs", "inputs", "correlations"] {
        assert_eq!(record["scatter"][key], alone[key], "{key}");
    }
    // The table tells them.
    let table = rows(&record, "scatter");
    for one in alone["constructs"].as_array().unwrap() {
        let q = one["quantities"].as_array().unwrap();
        let load = q.iter().find(|q| q["quantity"]["key"] == "load-1mm");
        let load = &load.unwrap()["quantiles"];
        let row =
            table.iter().find(|r| r[0]["text"] == one["construct"] && r[1]["text"] == "load at 1 mm (N)").unwrap();
        for (column, key) in [(2, "median"), (4, "low"), (6, "high")] {
            assert_eq!(row[column]["value"], load[key]["value"], "{key}");
            assert_eq!(row[column + 1]["value"], load[key]["error"], "{key}");
        }
        assert_eq!(row[8]["value"].as_f64(), load["of"].as_f64());
        // And so does the answer.
        let said = format!(
            "N ({:.0}; {:.0} to {:.0}) for {}",
            load["median"]["value"].as_f64().unwrap(),
            load["low"]["value"].as_f64().unwrap(),
            load["high"]["value"].as_f64().unwrap(),
            one["construct"].as_str().unwrap()
        );
        assert!(record["answer"][0].as_str().unwrap().contains(&said), "{said}");
        // Failed samples are counted by why, all of them.
        let ends = &one["ends"];
        let held = ends["held"].as_f64().unwrap();
        // Where none fails there is no such table.
        let failed = record["tables"].as_array().unwrap().iter().find(|t| t["name"] == "scatter-failed");
        let astray: f64 = failed
            .map_or_else(Vec::new, rows_of)
            .iter()
            .filter(|r| r[0]["text"] == one["construct"])
            .map(|r| r[3]["value"].as_f64().unwrap())
            .sum();
        assert_eq!(held + astray, 40.0);
    }
    let pairs = rows(&record, "scatter-pairs");
    for (row, pair) in pairs.iter().zip(alone["pairs"].as_array().unwrap()) {
        assert_eq!(row[1]["text"], pair["first"]);
        assert_eq!(row[3]["value"], pair["difference"]["median"]["value"]);
        assert_eq!(row[9]["value"].as_f64().unwrap(), 100.0 * pair["superiority"]["value"].as_f64().unwrap());
    }
    assert_eq!(pairs.len(), alone["pairs"].as_array().unwrap().len());
    let manifest = FEW.json("manifest.json");
    assert_eq!(manifest["seeds"], serde_json::json!({ "scatter": 7 }));
    assert_eq!(manifest["samples"], 40);
    let text = FEW.text("methods-supplement.md");
    let said = section(&text, "Uncertainty");
    for words in ["40 samples", "seed 7", "the built-in spread", "tandard error"] {
        assert!(said.contains(words), "{words}");
    }
}

/// What was not run is said to be so, in both texts, and leaves no table behind.
#[test]
fn what_was_left_out_is_told() {
    let (text, page) = (NAMES.text("methods-supplement.md"), NAMES.pages());
    let record = NAMES.json("results.json");
    assert!(section(&text, "Uncertainty").contains("Not applicable because no study"));
    assert!(!page.contains("id=\"uncertainty\""));
    assert!(section(&text, "Verification").contains("suite was not run with this report"));
    assert!(page.contains("suite was not run with this report"));
    let tables = record["tables"].as_array().unwrap();
    for name in ["suite", "inputs", "scatter", "scatter-pairs", "scatter-failed"] {
        assert!(tables.iter().all(|t| t["name"] != name), "{name}");
    }
    assert_eq!(record["scatter"], Value::Null);
    assert_eq!(record["uncertainty"], Value::Null);
    assert_eq!(NAMES.json("manifest.json")["seeds"], serde_json::json!({}));
    assert!(text.contains("No random number was drawn."));
    // The case's own refinement is made nevertheless; where nothing is held there is none.
    assert!(tables.iter().any(|t| t["name"] == "grid"));
    let lost = LOST.text("methods-supplement.md");
    assert!(section(&lost, "Balance of this case").contains("Not applicable because"));
    assert!(LOST.pages().contains("not run, because no construct is stable"));
}

/// The case's own spread is taken where it has one, and its mistakes are told before the work.
#[test]
fn a_case_with_a_spread_of_its_own_is_followed() {
    let room = tempfile::tempdir().unwrap();
    let case = |spread: &str| {
        let text = rimhold::model::builtin("small").unwrap();
        let file = room.path().join("own.toml");
        std::fs::write(file, format!("{text}\n[spread]\n{spread}\n")).unwrap();
    };
    case("bed.friction = { uniform = [0.45, 0.55] }");
    let typed = ["report", "own.toml", "single-row", "--samples", "16", "--no-suite", "--svg-only", "--out", "r"];
    ends(room.path(), &typed, 0);
    let text = std::fs::read_to_string(room.path().join("r/methods-supplement.md")).unwrap();
    let said = section(&text, "Uncertainty");
    assert!(said.contains("the case's own [spread] table"), "{said}");
    assert!(said.contains("| bed.friction | uniform"), "{said}");
    case("bed.fricton = { uniform = [0.45, 0.55] }");
    let mut typed = typed.to_vec();
    *typed.last_mut().unwrap() = "never";
    let told = ends(room.path(), &typed, 2);
    assert!(told.contains("bed.fricton") && told.contains("own.toml"), "{told}");
    assert!(!room.path().join("never").exists());
    for bad in ["-1", "20001", "many"] {
        let said = ends(room.path(), &["report", "--samples", bad], 2);
        assert!(said.contains("0 to 20000"), "{said}");
    }
}
