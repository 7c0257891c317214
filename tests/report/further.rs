//! The further questions in a report are answered as the commands of their names answer them.

use crate::report::{LOST, NAMES, SCREWS, program};
use serde_json::{Value, json};

const ASKED: [&str; 4] = ["drill", "lose", "budget", "joint"];

/// What a command says as JSON: its one result.
fn asked(command: &str, construct: &str) -> Value {
    let room = tempfile::tempdir().unwrap();
    let mut typed = vec![command, "quarter", construct, "--format", "json", "--quiet"];
    if command == "budget" {
        // As many draws as the report has samples.
        typed.extend(["--draws", "20"]);
    }
    let end = program(room.path(), &typed);
    assert!(end.status.success(), "{typed:?}");
    serde_json::from_slice(&end.stdout).unwrap()
}

#[test]
fn further_questions_are_answered_as_their_commands_do() {
    let record = SCREWS.json("results.json");
    let all = record["further"].as_array().unwrap();
    assert_eq!(all.len(), 2 * ASKED.len());
    // Numbers hold on to their units by a space that does not break.
    let (page, methods) = (SCREWS.text("index.html").replace('\u{a0}', " "), SCREWS.text("methods-supplement.md"));
    for (k, one) in all.iter().enumerate() {
        let (command, construct) = (one["command"].as_str().unwrap(), one["construct"].as_str().unwrap());
        assert_eq!(command, ASKED[k % ASKED.len()]);
        // What the command found stands under a name of its own in its document.
        let alone = asked(command, construct);
        let found = one["found"].as_object().unwrap();
        let holds = |value: &Value| found.iter().all(|(key, own)| value.get(key) == Some(own));
        assert!(found.len() > 3 && alone.as_object().unwrap().values().any(holds), "{command} {construct}");
        let (title, answer) = (one["title"].as_str().unwrap(), one["verdict"][1][1].as_str().unwrap());
        // Among the first answers, and where it is told in full.
        for words in [title, answer, &format!("<li>{title}: {answer}.</li>")] {
            assert!(page.contains(words), "{words}");
        }
        assert!(methods.contains(one["how"].as_str().unwrap()), "{command}");
        for table in one["tables"].as_array().unwrap() {
            let name = format!("tables/construct-{}-{}.csv", one["of"], table["name"].as_str().unwrap());
            assert_eq!(SCREWS.text(&name).lines().count(), 1 + table["rows"].as_array().unwrap().len(), "{name}");
        }
    }
    for figure in ["losses-one-screw", "budget-one-screw", "drilling-one-screw"] {
        assert!(SCREWS.text(&format!("figures/{figure}.svg")).contains("<svg"), "{figure}");
    }
    let manifest = SCREWS.json("manifest.json");
    assert_eq!(manifest["further"].as_array().unwrap().len(), all.len());
    assert_eq!(manifest["seeds"]["budget"], json!(1));
    assert!(manifest["again"].as_str().unwrap().contains("--also=drill --also=lose --also=budget --also=joint"));
    assert!(SCREWS.text("references.bib").contains("plagenhoef-1983"));
}

#[test]
fn what_was_not_asked_is_said_and_what_does_not_hold_is_a_finding() {
    assert_eq!(NAMES.json("results.json")["further"], json!([]));
    assert!(NAMES.text("methods-supplement.md").contains("Not applicable because none was asked"));
    assert!(!NAMES.text("references.bib").contains("plagenhoef-1983"));
    let all = LOST.json("results.json");
    let verdicts: Vec<&str> =
        all["further"].as_array().unwrap().iter().map(|f| f["verdict"][1][1].as_str().unwrap()).collect();
    assert_eq!(verdicts.len(), 2);
    assert!(verdicts.iter().all(|v| v.contains("fixation fails")), "{verdicts:?}");
}
