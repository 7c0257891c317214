//! What a study tells: draws of a sample, runs of which nothing counts, every pair.

use crate::room::Room;

/// What was drawn stands in every form, with number and seed.
#[test]
fn a_sample_shown_again_tells_what_was_drawn_in_every_form() {
    let room = Room::new();
    let ask = [
        "scatter",
        "hinge-weak",
        "one-by-one",
        "--samples",
        "9",
        "--seed",
        "5",
        "--sample",
        "7",
        "--cells",
        "100",
        "--quiet",
    ];
    let json = room.json(&ask);
    let schema = rimhold::show::report::json_schema();
    let validator = jsonschema::validator_for(&schema).unwrap();
    assert!(validator.is_valid(&json));
    let sample = &json["sample"];
    assert_eq!((&sample["number"], &sample["seed"]), (&7.into(), &5.into()));
    assert_eq!(sample["sampler"], "latin_hypercube");
    let drawn = sample["drawn"].as_array().unwrap();
    let of = |path: &str| drawn.iter().find(|d| d["path"] == path).unwrap();
    // The drawn friction is that of the case which was solved.
    assert_eq!(of("bed.friction")["value"], json["case"]["friction"]);
    assert_eq!(of("fragment.width")["usage"], "added");
    let mut csv = ask.to_vec();
    csv.extend(["--format", "csv"]);
    let csv = room.run(&csv);
    for line in [
        ",sample,1,7".to_owned(),
        ",seed,1,5".to_owned(),
        format!(",drawn bed.friction (value),,{}", of("bed.friction")["value"]),
    ] {
        assert!(csv.lines().any(|l| l == line), "{line} in\n{csv}");
    }
    let drawn_lines = csv.lines().filter(|l| l.starts_with(",drawn "));
    assert_eq!(drawn_lines.count(), drawn.len());
    // Asked for, its figures are drawn.
    let mut drawing = ask.to_vec();
    drawing.extend(["--figures", "drawn"]);
    room.run(&drawing);
    assert!(room.has("drawn/resistance.svg"));
    // A comparison that is no sample has none.
    let plain = room.json(&["compare", "quarter", "one-by-one", "--quiet"]);
    assert!(plain["sample"].is_null());
}

/// A labral bite that cuts out is counted like all else that happens in a push.
#[test]
fn bites_that_cut_out_are_counted() {
    let room = Room::new();
    room.write("weak.toml", "[spread]\nbite.strength = { uniform = [20.0, 26.0] }\n");
    let ask = ["scatter", "quarter", "single-row", "--spread", "weak.toml", "--samples", "4", "--cells", "100"];
    let json = room.json(&ask);
    let events = json["scatter"]["constructs"][0]["events"].as_array().unwrap();
    let torn = events
        .iter()
        .find(|e| e["kind"] == "bite_tears")
        .expect("bites of 20 to 26 N cut out as they are tied with 25 N");
    assert_eq!(torn["probability"]["value"], 1.0);
}

/// A run of which no sample counts says so; nothing in its document is a number that is none.
#[test]
fn a_run_without_a_sample_that_counts_keeps_to_its_schema() {
    let room = Room::new();
    // So wide that the lower medial anchor finds no neck, see `sweep size`.
    room.write("wide.toml", "[spread]\nfragment.width = { uniform = [10.2, 10.3] }\n");
    let ask = [
        "scatter",
        "quarter",
        "two-by-two-crossed",
        "--spread",
        "wide.toml",
        "--samples",
        "20",
        "--cells",
        "100",
        "--steps",
        "2",
        "--quiet",
    ];
    let json = room.json(&ask);
    let construct = &json["scatter"]["constructs"][0];
    assert_eq!(construct["ends"]["impossible"], 20);
    assert!(construct["under"]["step"].is_null());
    let schema = rimhold::show::report::Envelope::<rimhold::show::report::ScatterBody>::schema();
    let validator = jsonschema::validator_for(&schema).unwrap();
    let errors: Vec<String> = validator.iter_errors(&json).map(|e| e.to_string()).collect();
    assert!(errors.is_empty(), "{errors:?}");
    let table = room.run(&[&ask[..], &["--full"]].concat());
    assert!(table.contains("none (no sample counts)"), "{table}");
}

/// Each pair has its own comparison on the same draws; a share of all draws has a bound and no error.
#[test]
fn every_pair_is_compared() {
    let room = Room::new();
    let names = ["one-by-one-bare", "one-by-one", "mattress"];
    let mut ask = vec!["scatter", "quarter"];
    ask.extend(names);
    ask.extend(["--samples", "40", "--cells", "100", "--steps", "4", "--quiet"]);
    let json = room.json(&ask);
    let pairs = json["scatter"]["pairs"].as_array().unwrap();
    let of = |first: &str, second: &str, key: &str| -> &serde_json::Value {
        pairs.iter().find(|p| p["first"] == first && p["second"] == second && p["quantity"]["key"] == key).unwrap()
    };
    assert_eq!(pairs.len(), 18);
    // Where all have the quantity, means of differences add up along the constructs, to rounding.
    let mean = |first: &str, second: &str| {
        let d = &of(first, second, "compression")["difference"];
        (d["mean"]["value"].as_f64().unwrap(), d["of"].as_u64().unwrap())
    };
    let [ab, bc, ac] = [[0, 1], [1, 2], [0, 2]].map(|[a, b]| mean(names[a], names[b]));
    if [ab.1, bc.1, ac.1] == [40; 3] {
        assert!((ab.0 + bc.0 - ac.0).abs() < 1e-9, "{ab:?} {bc:?} {ac:?}");
    }
    for p in pairs {
        let s = &p["superiority"];
        let share = s["value"].as_f64().unwrap();
        let extreme = share == 0.0 || share == 1.0;
        assert_eq!(s["bound"].is_number(), extreme, "{s}");
        assert_eq!(s["error"].is_number(), !extreme, "{s}");
        if extreme {
            // 0.05^(1/40), calculator.
            assert!((s["bound"].as_f64().unwrap() - share).abs() < 0.0722, "{s}");
        }
    }
    let table = room.run(&[&ask[..], &["--full"]].concat());
    for words in [
        "Differences of each pair on the same draws",
        "mattress against one-by-one-bare,",
        "mattress against one-by-one,",
        "0.8",
        "assumed",
    ] {
        assert!(table.contains(words), "{words} in\n{table}");
    }
    let correlation = &json["scatter"]["correlations"][0];
    assert_eq!(correlation["tag"], "assumed");
    assert!(json["methods"].as_str().unwrap().contains("Both borders are assumed"));
}
