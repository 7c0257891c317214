//! The page's digits are those of the commands for the files that it lets one save.

use super::Served;
use rimhold::model::{CASES, CONSTRUCTS};
use serde_json::{Value, json};
use std::process::Command;

/// The JSON of a command in the page's folder.
fn run(served: &Served, arguments: &[&str]) -> Value {
    let mut command = Command::new(env!("CARGO_BIN_EXE_rimhold"));
    let out = command.args(arguments).args(["--format", "json", "--quiet"]).current_dir(served.folder.path()).output();
    let out = out.unwrap();
    assert!(out.status.success(), "{arguments:?}\n{}", String::from_utf8_lossy(&out.stderr));
    serde_json::from_slice(&out.stdout).unwrap()
}

/// Every shipped pair, from the displaced and from the reduced pose by turns, settled and as tied by turns: what
/// `compare` and `tie` say of the saved files is what the page says, to the last bit.
#[test]
fn they_are_those_of_compare_and_tie_for_every_shipped_pair() {
    let served = Served::new(&[]);
    let mut pair = 0;
    for (case, case_text) in CASES {
        for (construct, construct_text) in CONSTRUCTS {
            let from = ["displaced", "reduced"][pair % 2];
            let settled = pair / 2 % 2 == 0;
            pair += 1;
            let state = json!({
                "case": { "name": case, "text": case_text },
                "constructs": [{ "name": construct, "text": construct_text }],
                "shown": 0, "from": from, "settled": settled, "tied": null, "lost": [],
            });
            // Something is changed first, so that the texts are none of the built-in ones.
            let first = json!({ "kind": "set", "path": "bed.friction", "value": 0.4 });
            let answer = served.ask(&state, json!({ "change": first }));
            let state = &answer["state"];
            assert_eq!(answer["stopped"], Value::Null);
            for (name, text) in [("case.toml", &state["case"]), ("construct.toml", &state["constructs"][0])] {
                std::fs::write(served.folder.path().join(name), text["text"].as_str().unwrap()).unwrap();
            }
            let mut arguments = vec!["compare", "case.toml", "construct.toml", "--from", from, "--draws", "0"];
            if !settled {
                arguments.push("--as-tied");
            }
            let compared = run(&served, &arguments);
            let values = &compared["constructs"][0]["quantities"];
            for row in answer["table"]["rows"].as_array().unwrap() {
                let key = row["key"].as_str().unwrap();
                assert_eq!(row["values"][0], values[key], "{case} {construct} {from}: {key}");
            }
            let tied = run(&served, &["tie", "case.toml", "construct.toml", "--from", from, "--orders", "own"]);
            let ties = &tied["orders"]["runs"][0]["hold"]["ties"];
            let stages = answer["timeline"].as_array().unwrap();
            for (k, tie) in ties.as_array().unwrap().iter().enumerate() {
                let values = &stages[k + 1]["values"];
                assert_eq!(values["step"], tie["measures"]["step"]["value"], "{case} {construct} tie {k}");
                assert_eq!(values["compression"], tie["compression"], "{case} {construct} tie {k}");
            }
        }
    }
    assert_eq!(pair, CASES.len() * CONSTRUCTS.len());
}
