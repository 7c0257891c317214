//! Sobol' indices and sweeps in a report are those of `rimhold scatter --indices` and `rimhold sweep`.

use crate::report::{NAMES, SWEPT, ends, program};
use serde_json::{Value, json};

/// What a command says as JSON.
fn asked(arguments: &[&str]) -> Value {
    let room = tempfile::tempdir().unwrap();
    let mut all = arguments.to_vec();
    all.extend(["--format", "json", "--quiet"]);
    let end = program(room.path(), &all);
    assert!(end.status.success(), "{arguments:?}");
    serde_json::from_slice(&end.stdout).unwrap()
}

/// The section of the methods under a heading.
fn section<'a>(text: &'a str, heading: &str) -> &'a str {
    let (_, rest) = text.split_once(&format!("\n## {heading}\n")).unwrap();
    rest.split("\n## ").next().unwrap()
}

#[test]
fn indices_are_those_of_scatter() {
    let alone =
        asked(&["scatter", "quarter", "one-by-one", "two-by-two-crossed", "--samples", "20", "--indices", "16"]);
    let record = SWEPT.json("results.json");
    let mut told = 0;
    let tables = record["tables"].as_array().unwrap();
    let table = tables.iter().find(|t| t["name"] == "scatter-indices");
    let mut rows = table.unwrap()["rows"].as_array().unwrap().iter();
    for (one, own) in alone["scatter"]["constructs"]
        .as_array()
        .unwrap()
        .iter()
        .zip(record["scatter"]["constructs"].as_array().unwrap())
    {
        assert_eq!(one["indices"], own["indices"]);
        for i in one["indices"].as_array().unwrap() {
            for x in i["indices"].as_array().unwrap() {
                let row = rows.next().unwrap();
                assert_eq!(row[2]["text"], x["path"]);
                assert_eq!(row[3]["value"], x["first"]);
                assert_eq!(row[6]["value"], x["total"]);
                assert_eq!(row[8]["value"], x["total_interval"][1]);
                told += 1;
            }
        }
        let name = one["construct"].as_str().unwrap();
        let figure = format!("figures/scatter-indices-{name}.svg");
        assert!(SWEPT.text(&figure).contains("<svg"), "{figure}");
    }
    assert!(told > 20 && rows.next().is_none(), "{told}");
    let manifest = SWEPT.json("manifest.json");
    assert_eq!(manifest["index_base"], 16);
    assert_eq!(manifest["seeds"], json!({ "scatter": 1, "indices": 2 }));
    let text = SWEPT.text("methods-supplement.md");
    let said = section(&text, "Sensitivity");
    for words in ["16 base samples", "seed 2", "[@saltelli-2010]", "500 redraws"] {
        assert!(said.contains(words), "{words} in {said}");
    }
    assert!(SWEPT.text("references.bib").contains("saltelli-2010"));
    assert!(!NAMES.text("references.bib").contains("saltelli-2010"));
}

#[test]
fn sweeps_are_those_of_sweep() {
    let record = SWEPT.json("results.json");
    let swept = record["swept"].as_array().unwrap();
    let both = ["quarter", "one-by-one", "two-by-two-crossed"];
    // Of the crossed construct no anchor is called medial: it is left out and named.
    let one = ["quarter", "one-by-one"];
    let text = SWEPT.text("methods-supplement.md");
    let said = section(&text, "Sweeps");
    let page = SWEPT.pages();
    let wanted: [(&str, &[&str], &[&str]); 3] = [
        ("size", &both, &["sweep-size"]),
        ("lower-end", &one, &["sweep-lower-end-lower-off", "sweep-lower-end-lower-gap"]),
        ("tension", &both, &["sweep-tension-load-1mm", "sweep-tension-compression"]),
    ];
    assert_eq!(swept.len(), wanted.len());
    for (found, (name, typed, figures)) in swept.iter().zip(wanted) {
        let mut all = vec!["sweep", name];
        all.extend(typed);
        let alone = asked(&all);
        // Without its sentences, which a report says in its own places.
        let mut told = alone["sweep"].clone();
        told.as_object_mut().unwrap().remove("reading").expect("a reading");
        assert_eq!(found["sweep"], told, "{name}");
        let left: Vec<&str> = both.iter().copied().filter(|n| !typed.contains(n)).collect();
        assert_eq!(found["left_out"], json!(left), "{name}");
        let points = alone["sweep"]["constructs"].as_array().unwrap();
        let points: usize = points.iter().map(|c| c["points"].as_array().unwrap().len()).sum();
        let csv = SWEPT.text(&format!("tables/sweep-{name}.csv"));
        assert_eq!(csv.lines().count(), points + 1, "{name}");
        assert!(SWEPT.text(&format!("tables/sweep-{name}.md")).contains("| --"));
        for figure in figures {
            let path = format!("figures/{figure}.svg");
            assert!(SWEPT.text(&path).contains("<svg"), "{path}");
            assert!(page.contains(&format!("id=\"figure-{figure}\"")), "{figure}");
        }
        let question = alone["sweep"]["question"].as_str().unwrap();
        assert!(said.contains(question) && page.contains(question), "{name}");
    }
    assert!(said.contains("left out: two-by-two-crossed"));
    let manifest = SWEPT.json("manifest.json");
    assert_eq!(manifest["sweeps"], json!(["size", "lower-end", "tension"]));
    let again = SWEPT.text("rerun.sh");
    assert!(again.contains("--indices=16 --sweep=size --sweep=lower-end --sweep=size --sweep=tension"), "{again}");
}

#[test]
fn what_was_not_run_is_told_and_what_cannot_be_is_refused() {
    let text = NAMES.text("methods-supplement.md");
    for heading in ["Sensitivity", "Sweeps"] {
        let said = section(&text, heading);
        assert!(said.contains("Not applicable because no"), "{said}");
    }
    for id in ["sensitivity", "sweeps"] {
        assert!(!NAMES.pages().contains(&format!("id=\"{id}\"")), "{id}");
    }
    let record = NAMES.json("results.json");
    assert_eq!(record["sweeps"], json!([]));
    let room = tempfile::tempdir().unwrap();
    for (typed, words) in [
        (vec!["report", "--sweep", "colour"], "lower-end, size, tension"),
        (vec!["report", "quarter", "two-by-two-crossed", "--sweep", "lower-end"], "anchor.medial.along"),
        (vec!["report", "--samples", "0", "--indices", "16"], "--indices needs samples"),
        (vec!["report", "--indices", "0"], "from 1 to 100000"),
    ] {
        let said = ends(room.path(), &typed, 2);
        assert!(said.contains(words), "{typed:?}: {said}");
    }
    assert_eq!(std::fs::read_dir(room.path()).unwrap().count(), 0);
}
