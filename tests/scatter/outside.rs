//! Formats, replays, ready-made sweeps.

use crate::room::Room;
use std::sync::LazyLock;

const SMALL: [&str; 9] =
    ["scatter", "hinge-weak", "one-by-one", "one-by-one-bare", "--samples", "16", "--cells", "100", "--quiet"];

#[test]
fn json_keeps_to_its_schema_and_table_and_csv_agree() {
    let room = Room::new();
    let mut with_indices = SMALL.to_vec();
    with_indices.extend(["--indices", "3"]);
    let json = room.json(&with_indices);
    let schema = rimhold::show::report::Envelope::<rimhold::show::report::ScatterBody>::schema();
    let validator = jsonschema::validator_for(&schema).unwrap();
    let errors: Vec<String> = validator.iter_errors(&json).map(|e| e.to_string()).collect();
    assert!(errors.is_empty(), "{errors:?}");
    assert_eq!(json["schema"], "rimhold-scatter/2");
    assert!(json["caution"].as_str().unwrap().contains("not a medical device"));
    let construct = &json["scatter"]["constructs"][0];
    let ends = &construct["ends"];
    let sum: u64 = ["held", "lost_in_push", "not_held", "uncertified", "impossible"]
        .iter()
        .map(|k| ends[k].as_u64().unwrap())
        .sum();
    assert_eq!(sum, 16);
    assert!(construct["indices"].as_array().unwrap().len() <= 5);
    let mut csv = SMALL.to_vec();
    csv.extend(["--format", "csv"]);
    let csv = room.run(&csv);
    assert!(csv.lines().all(|l| l.contains(',')));
    let median = construct["quantities"][0]["quantiles"]["median"]["value"].as_f64().unwrap();
    let line = csv.lines().find(|l| l.starts_with("one-by-one,quantity,compression,N,50 %,")).unwrap();
    assert!(line.contains(&median.to_string()), "{line} {median}");
    let table = room.run(&[&SMALL[..], &["--full"]].concat());
    assert!(table.contains("not a medical device"));
    assert!(table.lines().all(|l| unicode_width::UnicodeWidthStr::width(l) <= 80));
    assert!(table.contains(&format!("{median:.0}")));
}

/// The table of a ready-made sweep, coarsely; run once.
fn lower_end() -> &'static str {
    static TABLE: LazyLock<String> = LazyLock::new(|| Room::new().run(&coarsely("lower-end")));
    &TABLE
}

fn coarsely(name: &str) -> [&str; 6] {
    ["sweep", name, "--cells", "100", "--steps", "4"]
}

/// A sample shown again has the numbers that its row had: a study of that one number of samples whose
/// only quantiles are its own.
#[test]
fn a_sample_can_be_shown_again() {
    let room = Room::new();
    let ask = ["scatter", "quarter", "one-by-one", "--samples", "1", "--cells", "150", "--quiet", "--seed", "5"];
    let study = room.json(&ask);
    let load = &study["scatter"]["constructs"][0]["quantities"];
    let value = |key: &str| {
        load.as_array().unwrap().iter().find(|q| q["quantity"]["key"] == key).unwrap()["quantiles"]["median"]["value"]
            .as_f64()
            .unwrap()
    };
    let mut again = ask.to_vec();
    again.extend(["--sample", "0"]);
    let replay = room.json(&again);
    let found = &replay["constructs"][0]["found"];
    // The same solver on the same numbers: the certificate's own 1e-6 N.
    let close = |a: f64, b: &serde_json::Value| assert!((a - b.as_f64().unwrap()).abs() < 1e-6, "{a} {b}");
    close(value("load-1mm"), &found["push"]["load_at"][1]);
    close(value("load-2mm"), &found["push"]["load_at"][2]);
    close(value("compression"), &found["hold"]["tied"]["bed"]["compression"]);
    let table = room.run(&again);
    assert!(table.contains("Sample 0: what was drawn with seed 5") && table.contains("bed.friction"), "{table}");
}

#[test]
fn ready_made_sweeps_run_by_name_alone() {
    let room = Room::new();
    for named in rimhold::study::sweep::NAMED {
        let json = room.json(&["sweep", named.name, "--cells", "100", "--steps", "4", "--quiet"]);
        let schema = rimhold::show::report::Envelope::<rimhold::show::report::SweepBody>::schema();
        let validator = jsonschema::validator_for(&schema).unwrap();
        let errors: Vec<String> = validator.iter_errors(&json).map(|e| e.to_string()).collect();
        assert!(errors.is_empty(), "{}: {errors:?}", named.name);
        let sweep = &json["sweep"];
        assert_eq!(sweep["complete"], true);
        assert!(!sweep["reading"].as_array().unwrap().is_empty());
        let points: usize =
            sweep["axes"].as_array().unwrap().iter().map(|a| a["values"].as_array().unwrap().len()).product();
        for construct in sweep["constructs"].as_array().unwrap() {
            let list = construct["points"].as_array().unwrap();
            assert_eq!(list.len(), points);
            let uncertified = list.iter().filter(|p| p["end"] == "uncertified").count();
            assert_eq!(uncertified, 0, "{}", named.name);
        }
        let table = match named.name {
            "lower-end" => lower_end().to_owned(),
            name => room.run(&coarsely(name)),
        };
        assert!(table.contains("not a medical device"));
        assert!(table.lines().all(|l| unicode_width::UnicodeWidthStr::width(l) <= 80), "{table}");
    }
}

/// What writes no file asks for no place to write one.
#[test]
fn a_sweep_without_files_needs_no_temporary_folder() {
    let room = Room::new();
    let typed = ["sweep", "small", "one-by-one", "--vary", "bed.friction=0.4,0.6", "--cells", "100", "--steps", "2"];
    let without = room.command(&typed).env("TMPDIR", room.0.path().join("none")).output().unwrap();
    assert!(without.status.success(), "{}", String::from_utf8_lossy(&without.stderr));
    assert_eq!(String::from_utf8(without.stdout).unwrap(), room.run(&typed));
}

/// A point of a sweep is the state that `push` finds for a case with that number typed in.
#[test]
fn a_point_of_a_sweep_is_the_case_with_that_number() {
    let room = Room::new();
    let sweep = room.json(&[
        "sweep",
        "quarter",
        "one-by-one",
        "--vary",
        "fragment.width=20%,30%",
        "--vary",
        "limb.*.tension=20,40",
        "--cells",
        "600",
        "--steps",
        "40",
        "--quiet",
    ]);
    let point = &sweep["sweep"]["constructs"][0]["points"][3];
    let at = sweep["sweep"]["quantities"].as_array().unwrap().iter().position(|q| q["key"] == "load-1mm").unwrap();
    let case = rimhold::model::builtin("quarter").unwrap().replace("\"25 %\"", "\"30 %\"");
    let construct = rimhold::model::builtin("one-by-one").unwrap().replace("tension = 25.0", "tension = 40.0");
    let construct = construct.replace("strand = \"cord\"\n\n", "strand = \"cord\"\ntension = 40.0\n\n");
    assert!(case.contains("30 %") && construct.matches("tension = 40.0").count() == 4, "{construct}");
    room.write("case.toml", &case);
    room.write("construct.toml", &construct);
    let push = room.json(&["compare", "case.toml", "construct.toml", "--draws", "0", "--quiet"]);
    let load = push["constructs"][0]["found"]["push"]["load_at"][1].as_f64().unwrap();
    assert!((point["values"][at].as_f64().unwrap() - load).abs() < 1e-6, "{point} {load}");
}

/// What is asked for is what is printed; words that stand for a missing value are explained where they
/// occur, and only there.
#[test]
fn a_sweep_shows_what_was_asked_for_and_explains_its_words() {
    let room = Room::new();
    let one = |more: &[&str]| {
        let mut ask = vec!["sweep", "quarter", "one-by-one", "--cells", "100", "--quiet"];
        ask.extend(more);
        room.run(&ask)
    };
    let plain = one(&["--vary", "bed.friction=0.5,0.6", "--show", "step"]);
    assert!(plain.split_whitespace().collect::<Vec<_>>().join(" ").contains("articular step-off"), "{plain}");
    for word in ["load at", "compression", "fails:", "unstable:", "invalid:", "gap"] {
        assert!(!plain.contains(word), "{word} in\n{plain}");
    }
    // Five at once, side by side; asked for twice is shown once.
    let keys = ["step", "tilt", "load-1mm", "load-2mm", "peak-load", "step"];
    let mut ask = vec!["--vary", "bed.friction=0.5,0.6"];
    ask.extend(keys.iter().flat_map(|k| ["--show", k]));
    let many = one(&ask);
    // Below the verdict.
    let below = many.split_once("\n\n").unwrap().1;
    assert_eq!(below.matches("bed.friction\n").count() + below.matches("bed.friction ").count(), 2);
    assert_eq!(below.matches("step-off").count(), 1, "{many}");
    // An anchor at the very end is no construct, and a bed of little friction does not hold.
    let torn = one(&["--vary", "anchor.medial.along=0%,100%", "--vary", "bed.friction=0.05,0.6", "--show", "load-2mm"]);
    let flat = torn.split_whitespace().collect::<Vec<_>>().join(" ");
    for meaning in ["unstable: fixation fails when tied", "invalid: invalid geometry"] {
        assert!(flat.contains(meaning), "{meaning}: {torn}");
    }
    assert!(!flat.contains("fails:") && !flat.contains("no answer:"), "{torn}");
    let gaps = lower_end();
    let flat = gaps.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(flat.contains("gap below zero: the lower end is pressed"), "{gaps}");
    let help = room.run(&["sweep", "--help"]);
    let flat = help.split_whitespace().collect::<Vec<_>>().join(" ");
    for words in ["15%..30%:3", "rimhold scatter --inputs CASE CONSTRUCT", "`*` stands for a whole name"] {
        assert!(flat.contains(words), "{words} in\n{help}");
    }
}

#[test]
fn every_input_is_listed() {
    let room = Room::new();
    let csv = room.run(&["scatter", "--inputs", "--format", "csv"]);
    for path in [
        "bed.friction",
        "fragment.width",
        "displaced.inferior",
        "tether.hinge",
        "tether.hinge.stiffness",
        "anchor.medial.along_error",
        "anchor.lateral.across_error",
        "limb.bridge-upper.tension",
        "limb.inferior-loop.knot_slack",
        "strand.cord.rigidity",
    ] {
        assert!(csv.lines().any(|l| l.starts_with(&format!("{path},"))), "{path}");
    }
    let table = room.run(&["scatter", "--inputs"]);
    assert!(table.lines().all(|l| unicode_width::UnicodeWidthStr::width(l) <= 80), "{table}");
}

/// Helps have the caution and an example that fits the page.
#[test]
fn helps_are_complete() {
    let room = Room::new();
    for command in ["scatter", "sweep"] {
        let help = room.run(&[command, "--help"]);
        assert!(help.contains("not a medical device") && help.contains("Example:"));
        assert!(help.lines().all(|l| unicode_width::UnicodeWidthStr::width(l) <= 100), "{help}");
    }
}

/// Figures from outside: written with the answer, the same bytes again, and nobody's file touched.
#[test]
fn figures_are_written_on_request_and_foreign_files_left_alone() {
    let room = Room::new();
    let mut ask = SMALL.to_vec();
    ask.extend(["--figures", "plots"]);
    room.run(&ask);
    let fan = room.0.path().join("plots/scatter-fan.svg");
    let first = std::fs::read(&fan).unwrap();
    for kind in ["intervals", "difference-one-by-one-bare", "ranking-one-by-one"] {
        for ending in ["svg", "png", "csv", "txt"] {
            let name = format!("plots/scatter-{kind}.{ending}");
            assert!(room.has(&name), "{name}");
        }
    }
    room.run(&ask);
    assert_eq!(std::fs::read(&fan).unwrap(), first);
    let caption = std::fs::read_to_string(fan.with_extension("txt")).unwrap();
    assert!(caption.contains("16 samples") && caption.contains("not a medical device"));

    room.write("notes.csv", "mine");
    std::fs::rename(room.0.path().join("notes.csv"), room.0.path().join("plots/scatter-fan.csv")).unwrap();
    let refused = room.output(&ask);
    assert_ne!(refused.status.code(), Some(0));
    assert!(String::from_utf8_lossy(&refused.stderr).contains("scatter-fan.csv"));
    let kept = std::fs::read_to_string(room.0.path().join("plots/scatter-fan.csv")).unwrap();
    assert_eq!(kept, "mine");

    room.run(&["sweep", "size", "--cells", "100", "--steps", "4", "--quiet", "--figures", "maps"]);
    assert!(room.has("maps/sweep-size.svg") && room.has("maps/sweep-size.csv"));
    let twice = [
        "sweep",
        "quarter",
        "one-by-one",
        "--vary",
        "bed.friction=0.3..0.9:3",
        "--vary",
        "bite.stiffness=8,40",
        "--show",
        "load-1mm",
        "--cells",
        "100",
        "--quiet",
        "--figures",
        "maps",
    ];
    room.run(&twice);
    assert!(room.has("maps/sweep-load-1mm.png"));
}
