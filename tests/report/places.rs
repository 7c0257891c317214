//! A search for better places in a report is that of `rimhold place`, asked by itself.

use crate::report::{PLACED, THREE, TRACED, program};
use serde_json::Value;

/// Rows of a table of the record, found by its name.
fn rows<'a>(record: &'a Value, name: &str) -> &'a Vec<Value> {
    let tables = record["tables"].as_array().unwrap();
    let table = tables.iter().find(|t| t["name"] == name);
    let table = table.unwrap_or_else(|| panic!("no table {name}"));
    table["rows"].as_array().unwrap()
}

/// The section of the methods under a heading.
fn section<'a>(text: &'a str, heading: &str) -> &'a str {
    let (_, rest) = text.split_once(&format!("\n## {heading}\n")).unwrap();
    rest.split("\n## ").next().unwrap()
}

/// A result without its sentences, which a report says in its own places.
fn without_reading(found: &Value) -> Value {
    let mut found = found.clone();
    found.as_object_mut().unwrap().remove("reading").expect("a reading");
    found
}

#[test]
fn the_search_is_that_of_place() {
    let room = tempfile::tempdir().unwrap();
    let typed = ["place", "quarter", "one-by-one", "--evaluations", "120", "--format", "json", "--quiet"];
    let end = program(room.path(), &typed);
    assert!(end.status.success());
    let alone: Value = serde_json::from_slice(&end.stdout).unwrap();
    let record = PLACED.json("results.json");
    assert_eq!(record["place"], without_reading(&alone["place"]));
    let place = &alone["place"];
    let variables = place["variables"].as_array().unwrap();
    let told = rows(&record, "place-variables");
    assert_eq!(told.len(), variables.len());
    for (row, v) in told.iter().zip(variables) {
        assert_eq!(row[0]["text"], v["path"]);
        assert_eq!(row[1]["value"], v["given"]);
        assert_eq!(row[2]["value"], v["found"]);
    }
    let kept = place["found"]["kept"].as_array().unwrap();
    let told = rows(&record, "place-constraints");
    assert_eq!(told.len(), kept.len());
    for (row, k) in told.iter().zip(kept) {
        assert_eq!(row[1]["value"], k["limit"]);
        assert_eq!(row[3]["value"].as_f64(), k["slack"].as_f64());
        assert_eq!(row[8]["text"], k["source"]);
    }
    let starts = place["starts"].as_array().unwrap();
    for (row, s) in rows(&record, "place-starts").iter().zip(starts) {
        assert_eq!(row[1]["value"].as_f64(), s["value"].as_f64());
        assert_eq!(row[2]["value"].as_f64(), s["evaluations"].as_f64());
    }
    let gain = &record["placing"]["gain"];
    assert_eq!(gain["median"]["value"], place["gain"]["median"]);
    assert_eq!(gain["lost_found"]["value"].as_f64(), place["gain"]["ends"][1]["lost"].as_f64());
}

#[test]
fn page_methods_and_manifest_speak_of_it() {
    let text = PLACED.text("methods-supplement.md");
    let record = PLACED.json("results.json");
    let said = section(&text, "Places of the anchors");
    // With the words about them: a bare 0.0 stands in many places.
    for (fact, words) in [
        ("evaluations", "There were NUMBER evaluations"),
        ("seed", "(seed NUMBER) began"),
        ("disagreement", "answers differ by up to NUMBER "),
        ("apart", "their anchors by up to NUMBER "),
        ("cells", "on about NUMBER cells"),
    ] {
        let number = record["placing"][fact]["text"].as_str().unwrap();
        let words = words.replace("NUMBER", number);
        assert!(said.contains(&words), "{fact}: {words}");
    }
    for figure in ["place-before-after", "place-tolerance", "place-convergence"] {
        let path = format!("figures/{figure}.svg");
        assert!(PLACED.text(&path).contains("<svg"), "{path}");
    }
    let page = PLACED.pages();
    assert!(page.contains("Better places were sought for the anchors of one-by-one"));
    assert_eq!(PLACED.json("manifest.json")["seeds"]["places"], 1);
    assert!(PLACED.text("rerun.sh").contains(" --place"));
}

/// A robust search against another objective: what `rimhold place` has of it stands in page, methods,
/// tables, figures and the line that runs it again.
#[test]
fn a_robust_search_and_a_front_are_told_too() {
    let typed = "place quarter few.toml --robust 10 --against reduction --evaluations 24 --format json --quiet";
    let typed: Vec<&str> = typed.split(' ').collect();
    let end = program(TRACED.room.path(), &typed);
    assert!(end.status.success());
    let alone: Value = serde_json::from_slice(&end.stdout).unwrap();
    let place = &alone["place"];
    let record = TRACED.json("results.json");
    assert_eq!(record["place"], without_reading(place));
    let told = rows(&record, "place-front");
    let given = std::iter::once(&place["given"]);
    let designs: Vec<&Value> = given.chain(place["front"]["designs"].as_array().unwrap()).collect();
    assert_eq!(told.len(), designs.len());
    for (row, design) in told.iter().zip(designs) {
        for (cell, k) in [(1, 0), (2, 1)] {
            assert_eq!(row[cell]["value"].as_f64(), design["over_draws"][k].as_f64());
        }
    }
    let errors = rows(&record, "place-errors");
    assert_eq!(errors.len(), place["errors"].as_array().unwrap().len());
    let text = TRACED.text("methods-supplement.md");
    let said = section(&text, "Places of the anchors");
    for words in [
        "The objective was the tenth percentile, over 10 common draws",
        "tied from the displaced position",
        "weighed against another, the articular step left",
        "anchor.*.along_error",
        "ninety-five per cent interval after Wilson",
    ] {
        assert!(said.contains(words), "{words}");
    }
    for figure in ["place-front-robust", "place-tolerance-robust"] {
        let path = format!("figures/{figure}.svg");
        assert!(TRACED.text(&path).contains("<svg"), "{path}");
    }
    let again = TRACED.text("rerun.sh");
    assert!(again.contains(" --place --robust=10 --against=reduction --evaluations=24 "), "{again}");
    let wrong = program(TRACED.room.path(), &["report", "--robust", "10"]);
    assert_eq!(wrong.status.code(), Some(2));
}

#[test]
fn what_was_not_sought_is_said_to_be_so() {
    let said = THREE.text("methods-supplement.md");
    let said = section(&said, "Places of the anchors");
    assert!(said.contains("Not applicable because no search for better places"), "{said}");
    assert!(!THREE.pages().contains("Places of the anchors"));
    let record = THREE.json("results.json");
    assert_eq!(record["place"], Value::Null);
    assert_eq!(record["placing"], Value::Null);
    assert!(!THREE.text("rerun.sh").contains("--place"));
}
