//! The command from outside: formats, files, threads, Ctrl-C.

use crate::room::Room;

/// A small search, in a room with the coarse case.
const SMALL: [&str; 13] = [
    "place",
    "coarse.toml",
    "one-by-one",
    "--starts",
    "3",
    "--evaluations",
    "40",
    "--cells",
    "100",
    "--steps",
    "2",
    "--quiet",
    "--out",
];

pub fn small<'a>(out: &'a str, more: &[&'a str]) -> Vec<&'a str> {
    let mut all = SMALL.to_vec();
    all.push(out);
    all.extend(more);
    all
}

#[test]
fn digits_do_not_depend_on_threads() {
    let room = Room::coarse();
    let outputs: Vec<String> = ["1", "3"]
        .map(|threads| {
            let more = ["--format", "json", "--against", "evenness"];
            let output = room.command(&small("a.toml", &more)).env("RAYON_NUM_THREADS", threads).output().unwrap();
            let err = String::from_utf8_lossy(&output.stderr).into_owned();
            assert_eq!(output.status.code(), Some(0), "{err}");
            String::from_utf8(output.stdout).unwrap() + &room.read("a.toml")
        })
        .into();
    assert_eq!(outputs[0], outputs[1]);
}

#[test]
fn the_file_is_accepted_and_worth_what_was_said() {
    let room = Room::coarse();
    let json: serde_json::Value = serde_json::from_str(&room.run(&small("best.toml", &["--format", "json"]))).unwrap();
    assert_eq!(json["schema"], "rimhold-place/2");
    let schema: serde_json::Value = serde_json::from_str(&room.run(&["schema", "place"])).unwrap();
    let validator = jsonschema::validator_for(&schema).unwrap();
    let errors: Vec<String> = validator.iter_errors(&json).map(|e| format!("{}: {e}", e.instance_path())).collect();
    assert!(errors.is_empty(), "{errors:#?}");
    let said = json["place"]["found"]["values"][0].as_f64().unwrap();
    let given = json["place"]["given"]["values"][0].as_f64().unwrap();
    assert!(said > given, "{said} {given}");
    let text = room.read("best.toml");
    assert!(text.starts_with("# Made by `rimhold place`"));
    for part in ["--starts=3 --evaluations=40", "Seed: 1", rimhold::CAUTION] {
        assert!(text.contains(part), "{part}\n{text}");
    }
    room.run(&["check", "coarse.toml", "best.toml"]);
    let compared: serde_json::Value = serde_json::from_str(&room.run(&[
        "compare",
        "coarse.toml",
        "one-by-one",
        "best.toml",
        "--format",
        "json",
        "--quiet",
    ]))
    .unwrap();
    let load = |k: usize| compared["constructs"][k]["found"]["push"]["load_at"][1].as_f64().unwrap();
    // The same steps; their distances differ in the last digit, the solver's balance is 1e-9 N.
    for (compared, told) in [(load(0), given), (load(1), said)] {
        assert!((compared - told).abs() < 1e-8, "{compared} {told}");
    }
    // The caution stands in help and output; CSV has every kind of line.
    assert!(room.run(&["place", "--help"]).contains("not a medical device"));
    let table = room.run(&small("best.toml", &[]));
    assert!(table.replace('\n', " ").contains("not a medical device"));
    let csv = room.run(&small("best.toml", &["--format", "csv"]));
    for kind in ["objective", "constraint", "slack", "variable", "start", "progress", "gain", "way", "wander"] {
        assert!(csv.lines().any(|l| l.starts_with(&format!("{kind},"))), "{kind}");
    }
    assert!(csv.lines().all(|l| !l.is_empty()));
}

#[test]
fn nothing_is_overwritten_that_is_not_ours() {
    let room = Room::coarse();
    room.write("notes.toml", "mine = true\n");
    let output = room.output(&small("notes.toml", &[]));
    assert_eq!(output.status.code(), Some(1));
    assert!(output.stdout.is_empty(), "refused before the search");
    assert_eq!(room.read("notes.toml"), "mine = true\n");
    let output = room.output(&small("none/there.toml", &[]));
    assert_eq!(output.status.code(), Some(1));
    assert!(!room.has("none"));
}

/// A plain and a robust answer stand side by side, each under a name of its own; one of ours is replaced,
/// and said to be.
#[test]
fn answers_have_names_of_their_own_and_replace_only_their_like() {
    let room = Room::coarse();
    let run = |more: &[&str]| {
        let mut all: Vec<&str> = SMALL[..SMALL.len() - 2].to_vec();
        all.push("--no-wander");
        all.extend(more);
        let output = room.output(&all);
        let err = String::from_utf8(output.stderr).unwrap();
        assert_eq!(output.status.code(), Some(0), "{err}");
        err
    };
    let (plain, robust) = ("one-by-one-placed", "one-by-one-placed-robust");
    let files = [plain, robust].map(|name| format!("{name}.toml"));
    assert!(run(&[]).contains(&format!("wrote {}", files[0])));
    let said = run(&["--robust", "10"]);
    assert!(said.contains(&format!("wrote {}", files[1])), "{said}");
    let first = room.read(&files[0]);
    for (name, text) in [(plain, &first), (robust, &room.read(&files[1]))] {
        assert!(text.contains(&format!("name = \"{name}\"")), "{text}");
    }
    let said = run(&["--seed", "2"]);
    let words = format!("replaced an earlier answer in {}", files[0]);
    assert!(said.contains(&words), "{said}");
    assert_ne!(first, room.read(&files[0]));
}
