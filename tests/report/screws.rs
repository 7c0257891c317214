//! Screws in the report: in the order, the tables, the law, and the limit beyond which loads are too
//! high.

use crate::report::{SCREWS, THREE};

/// The text of a section of the methods, up to the next heading of its rank.
fn section(text: &str, heading: &str) -> String {
    let (_, rest) = text.split_once(&format!("\n## {heading}\n")).unwrap();
    rest.split("\n## ").next().unwrap().to_owned()
}

/// Rows of a CSV without its head, cells without quotes.
fn rows(csv: &str) -> Vec<Vec<String>> {
    let clean = |c: &str| c.trim_matches('"').to_owned();
    csv.lines().skip(1).map(|l| l.split(',').map(clean).collect()).collect()
}

#[test]
fn the_order_and_the_ties_name_screws_and_what_they_hold() {
    let record = SCREWS.json("results.json");
    let order = |k: usize| record["constructs"][k]["order"].as_str().unwrap().to_owned();
    // As typed in the files of the constructs.
    let words = order(0);
    let at = |name: &str| {
        let found = words.find(&format!("{name} (")).unwrap_or(usize::MAX);
        assert!(found < usize::MAX, "{words}: {name}");
        found
    };
    assert!(at("inferior-loop") < at("lower"));
    assert!(at("lower") < at("upper") && at("upper") < at("superior-loop"));
    assert_eq!(words.matches("tightened to its preload").count(), 2);
    assert_eq!(order(1), "middle (tightened to its preload)");
    let methods = SCREWS.text("methods-supplement.md");
    assert!(methods.contains("two-screws-with-loops (anchors: 2, limbs: 2, screws: 2)"));
    assert!(methods.contains("one-screw (anchors: 0, limbs: 0, screws: 1)"));
    for (k, names) in [vec!["inferior-loop", "lower", "upper", "superior-loop"], vec!["middle"]].iter().enumerate() {
        let ties = rows(&SCREWS.text(&format!("tables/construct-{}-ties.csv", k + 1)));
        let found: Vec<&str> = ties.iter().map(|r| r[0].as_str()).collect();
        assert_eq!(found, *names);
        let hold = &record["results"]["constructs"][k]["found"]["hold"];
        for (tie, row) in hold["ties"].as_array().unwrap().iter().zip(&ties) {
            let locked: f64 = row[3].parse().unwrap();
            // A limb's tension, or the pull of the head of this very screw.
            let expected = match tie["locked"].as_array().unwrap().as_slice() {
                [tension] => tension.as_f64().unwrap(),
                _ => {
                    let screws = hold["tied"]["screws"].as_array().unwrap();
                    let index = screws.iter().position(|s| s["name"] == row[0]).unwrap();
                    tie["heads"][index].as_f64().unwrap()
                }
            };
            // A table has fifteen digits.
            assert!((locked - expected).abs() <= 1e-14 * expected, "{row:?}: {expected}");
            assert!(locked > 0.0, "{row:?}");
        }
    }
}

#[test]
fn a_screw_has_its_tables_and_a_construct_without_one_has_none() {
    let record = SCREWS.json("results.json");
    for (k, names) in [vec!["lower", "upper"], vec!["middle"]].iter().enumerate() {
        let stem = |name: &str| format!("tables/construct-{}-{name}.csv", k + 1);
        for table in ["screws", "screw-stiffness", "tied-screws"] {
            let found = rows(&SCREWS.text(&stem(table)));
            assert_eq!(found.iter().map(|r| &r[0]).collect::<Vec<_>>(), *names);
        }
        let tied = record["results"]["constructs"][k]["found"]["hold"]["tied"]["screws"].clone();
        let csv = rows(&SCREWS.text(&stem("tied-screws")));
        for (screw, row) in tied.as_array().unwrap().iter().zip(csv) {
            for (key, cell) in [("axial", 1), ("bearing", 2), ("compression", 3), ("shear", 4), ("pressure", 6)] {
                let told: f64 = row[cell].parse().unwrap();
                let exact = screw[key].as_f64().unwrap();
                // A table has fifteen digits.
                assert!((told - exact).abs() <= 1e-14 * exact.abs(), "{key}: {told} {exact}");
            }
        }
        // No table of nothing.
        for table in ["anchors", "limbs", "tied"] {
            let made = SCREWS.path().join(stem(table)).exists();
            assert_eq!(made, k == 0, "{table}");
        }
    }
    for k in 1..=3 {
        for table in ["screws", "screw-stiffness", "tied-screws"] {
            let path = THREE.path().join(format!("tables/construct-{k}-{table}.csv"));
            assert!(!path.exists(), "{path:?}");
        }
    }
    let page = SCREWS.pages();
    for k in ["two-screws-with-loops", "one-screw"] {
        assert!(page.contains(&format!("<caption>Screws of {k}</caption>")));
    }
}

#[test]
fn the_law_of_the_screws_is_told_where_there_is_one() {
    let law = section(&SCREWS.text("methods-supplement.md"), "Law of the screws");
    // Hetényi 1946 as on the front page of the crate's documentation.
    for line in [
        "N = k_a max(0, o − o₀)",
        "f = −(K_ss s + K_st τ)",
        "λ = (k/4EI)^(1/4)",
        "[@hetenyi-1946]",
        "**Screws of one-screw**",
    ] {
        assert!(law.contains(line), "{line}");
    }
    assert!(SCREWS.text("references.bib").contains("@book{hetenyi-1946,"));
    let law = section(&THREE.text("methods-supplement.md"), "Law of the screws");
    assert!(law.contains("Not applicable because no construct of this run has a screw."));
    assert!(!law.contains("```"), "{law}");
    assert!(!THREE.text("references.bib").contains("hetenyi"));
}

/// A reader of the four sentences alone sees that a part gives before a load, and where:
/// the numbers are facts of the record, and those of the events beside it.
#[test]
fn the_answer_says_where_parts_give() {
    let record = SCREWS.json("results.json");
    let answer = record["answer"].as_array().unwrap();
    assert_eq!(answer.len(), 4);
    let load = answer[0].as_str().unwrap();
    assert!(load.contains("on the way parts give"), "{load}");
    for (k, name) in ["two-screws-with-loops", "one-screw"].iter().enumerate() {
        let found = &record["results"]["constructs"][k]["found"]["push"];
        let event = found["events"].as_array().unwrap().iter().find(|e| e["kind"] == "above_bearing").unwrap();
        let limit = &record["constructs"][k]["limits"][0];
        for key in ["displacement", "load"] {
            assert_eq!(limit[key]["value"], event[key], "{name}: {key}");
        }
        let fact = |key: &str| {
            let text = limit[key]["text"].as_str().unwrap();
            format!("{text} {}", limit[key]["unit"].as_str().unwrap())
        };
        let clause = format!(
            "with {name}, {} from {} on ({})",
            limit["what"].as_str().unwrap(),
            fact("displacement"),
            fact("load")
        );
        assert!(load.contains(&clause), "{load}\n{clause}");
        assert!(clause.contains("crushes"));
        // The load that is told for it lies beyond.
        assert!(found["load_at"][1].as_f64() > event["load"].as_f64());
    }
    let page = SCREWS.pages().replace('\u{a0}', " ");
    assert!(page.contains("on the way parts give"));
    // Three constructs of limbs pass no such limit before the mark: nothing is said.
    let record = THREE.json("results.json");
    let passed = record["constructs"].as_array().unwrap().iter().any(|c| {
        let limits = c["limits"].as_array().unwrap();
        limits.iter().any(|l| l["displacement"]["value"].as_f64() < Some(2.0))
    });
    let said = record["answer"][0].as_str().unwrap();
    assert_eq!(said.contains("on the way parts give"), passed, "{said}");
}
