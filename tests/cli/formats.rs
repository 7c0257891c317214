//! JSON keeps to its schema and CSV to RFC 4180.

use crate::cli::{Bench, NEVER_HELD};
use serde_json::Value;

fn json(bench: &Bench, arguments: &[&str]) -> Value {
    let mut typed = arguments.to_vec();
    typed.extend(["--format", "json", "--quiet"]);
    let end = bench.run(&typed).code(0);
    assert!(end.err.is_empty(), "{}", end.err);
    serde_json::from_str(&end.out).unwrap()
}

#[test]
fn json_of_every_command_keeps_to_the_schema() {
    let bench = Bench::new();
    let lost = bench.write("lost.toml", NEVER_HELD);
    let schema = rimhold::show::report::json_schema();
    assert_eq!(schema["title"], "rimhold/2");
    let validator = jsonschema::validator_for(&schema).unwrap();
    for typed in [
        vec!["check"],
        vec!["check", "large", "mattress", "single-row"],
        vec!["compare", "hinge-weak", "linked-pair", "--tied-only"],
        vec!["compare", &lost],
        vec!["compare", "quarter", "one-by-one", "--rose"],
        vec!["compare", "small", "crater-fan", "--to", "0.3"],
        vec!["compare"],
        vec!["compare", "small", "single-row", "two-by-two", "mattress"],
        vec!["compare", &lost, "single-row", "two-by-two"],
        vec!["compare", "quarter", "one-screw", "two-screws-with-loops"],
        vec!["check", "small", "two-screws"],
    ] {
        let document = json(&bench, &typed);
        let errors: Vec<String> =
            validator.iter_errors(&document).map(|e| format!("{}: {e}", e.instance_path())).collect();
        assert!(errors.is_empty(), "{typed:?}\n{}", errors.join("\n"));
        assert_eq!(document["schema"], "rimhold/2");
        assert_eq!(document["version"], env!("CARGO_PKG_VERSION"));
        assert!(document["caution"].as_str().unwrap().contains("not a medical device"));
        assert_eq!(document["asked"]["command"], typed[0]);
        assert!(!document["case"]["defaults"].as_array().unwrap().is_empty());
    }
    // The schema is no empty form: a document without its case, or with a word for a number, is
    // refused.
    let mut broken = json(&bench, &["check"]);
    broken["case"]["chord"] = "wide".into();
    assert!(!validator.is_valid(&broken));
    broken.as_object_mut().unwrap().remove("case");
    assert!(!validator.is_valid(&broken));
}

/// Holes: JSON keeps to its schema, CSV has a line for each value, the table a verdict of at most five lines.
#[test]
fn holes_are_told_in_every_form() {
    let bench = Bench::new();
    let schema: Value = serde_json::from_str(&bench.run(&["schema", "drill"]).code(0).out).unwrap();
    let validator = jsonschema::validator_for(&schema).unwrap();
    for construct in ["one-by-one", "two-screws-with-loops", "one-screw", "crater-fan"] {
        let document = json(&bench, &["drill", "quarter", construct]);
        let errors: Vec<String> = validator.iter_errors(&document).map(|e| e.to_string()).collect();
        assert!(errors.is_empty(), "{construct}\n{}", errors.join("\n"));
        assert_eq!(document["schema"], "rimhold-drill/1");
        assert!(document["verdict"].as_array().unwrap().len() <= 5, "{construct}");
        let csv = bench.run(&["drill", "quarter", construct, "--format", "csv", "--quiet"]).code(0).out;
        let holes = document["drilling"]["holes"].as_array().unwrap();
        let bridges = csv.lines().filter(|l| l.contains(",bone between,")).count();
        assert_eq!(bridges, holes.len() * (holes.len() - 1) / 2, "{construct}");
        assert_eq!(csv.lines().filter(|l| l.contains(",reached,")).count(), holes.len(), "{construct}");
    }
    let table = bench.run(&["drill", "quarter", "one-by-one", "--full"]).code(0).out;
    for part in ["Answer   No: ", "Portals", "What is asked", "not a medical device"] {
        assert!(table.contains(part), "{part}\n{table}");
    }
    let check = bench.run(&["check", "quarter", "one-by-one", "--format", "json", "--quiet"]).code(0).out;
    assert!(check.contains("`rimhold drill` says how each hole is reached"), "{check}");
}

#[test]
fn json_of_losses_and_budgets_keeps_to_its_schema() {
    use rimhold::show::report::{Body, BudgetBody, Envelope, LoseBody};
    fn keeps<T: Body>(bench: &Bench, typed: &[&str]) {
        let schema = Envelope::<T>::schema();
        assert_eq!(schema["title"], T::SCHEMA);
        let document = json(bench, typed);
        let validator = jsonschema::validator_for(&schema).unwrap();
        let errors: Vec<String> = validator.iter_errors(&document).map(|e| e.to_string()).collect();
        assert!(errors.is_empty(), "{typed:?}\n{}", errors.join("\n"));
        assert!(document["caution"].as_str().unwrap().contains("not a medical device"));
    }
    let bench = Bench::new();
    let lost = bench.write("lost.toml", NEVER_HELD);
    keeps::<LoseBody>(&bench, &["lose", "small", "one-screw", "--as-tied"]);
    keeps::<LoseBody>(
        &bench,
        &["lose", "quarter", "one-by-one", "--lost", "medial,inferior-loop", "--rescue", "mattress"],
    );
    keeps::<LoseBody>(&bench, &["lose", &lost]);
    keeps::<BudgetBody>(&bench, &["budget", "small", "single-row", "--draws", "3"]);
    keeps::<BudgetBody>(&bench, &["budget", &lost, "--draws", "0"]);
}

#[test]
fn json_of_the_joint_keeps_to_its_schema_and_says_what_is_left_out() {
    let bench = Bench::new();
    let lost = bench.write("lost.toml", NEVER_HELD);
    let printed = bench.run(&["schema", "joint"]).code(0).out;
    let schema: Value = serde_json::from_str(&printed).unwrap();
    assert_eq!(schema["title"], "rimhold-joint/1");
    let validator = jsonschema::validator_for(&schema).unwrap();
    for typed in [vec!["joint"], vec!["joint", "small", "one-by-one"], vec!["joint", &lost, "one-by-one"]] {
        let document = json(&bench, &typed);
        let errors: Vec<String> =
            validator.iter_errors(&document).map(|e| format!("{}: {e}", e.instance_path())).collect();
        assert!(errors.is_empty(), "{typed:?}\n{}", errors.join("\n"));
        assert!(document["caution"].as_str().unwrap().contains("not a medical device"));
        let left_out = document["left_out"].as_str().unwrap();
        assert!(left_out.contains("friction") && left_out.contains("labrum"), "{left_out}");
        // Every state is in balance: the limit of the certificate, 1e-6 N.
        assert!(document["joint"]["certificate"]["imbalance"].as_f64().unwrap() <= 1e-6);
    }
    let rows = csv(&bench.run(&["joint", "quarter", "one-by-one", "--format", "csv"]).code(0).out);
    assert_eq!(rows[0][..3], ["state", "direction", "ratio (%)"]);
    // Five states, three directions.
    assert_eq!(rows.len(), 1 + 5 * 3);
    assert!(rows[1..].iter().all(|row| row[2..].iter().all(|f| f.parse::<f64>().is_ok_and(f64::is_finite))));
}

#[test]
fn shares_in_the_json_sum_to_the_load() {
    // Balance of forces (Newton's first law): what is applied equals what resists.
    let bench = Bench::new();
    let document = json(&bench, &["compare", "quarter", "one-by-one", "crater-fan"]);
    let mut states = 0;
    for construct in document["constructs"].as_array().unwrap() {
        for point in construct["found"]["push"]["curve"].as_array().unwrap() {
            let load = point["load"].as_f64().unwrap();
            let shares = point["shares"].as_array().unwrap();
            let sum: f64 = shares.iter().map(|s| s.as_f64().unwrap()).sum();
            // The certificate's bound on the net force, 1e-6 N.
            assert!((sum - load).abs() <= 1e-6, "{sum} {load}");
            states += 1;
        }
    }
    assert!(states > 50);
    let first = &document["versus_first"][0];
    assert_eq!(first["load_at"][1], 1.0);
    assert_eq!(first["compression"], 1.0);
}

#[test]
fn the_table_and_the_json_tell_the_same() {
    let bench = Bench::new();
    let typed = ["compare", "quarter", "crater-fan", "single-row"];
    let document = json(&bench, &typed);
    let table = bench.run(&[&typed[..], &["--full"]].concat()).code(0).out;
    for construct in document["constructs"].as_array().unwrap() {
        let found = &construct["found"];
        let compression = found["hold"]["tied"]["bed"]["compression"].as_f64().unwrap();
        let row = table.lines().find(|l| l.contains("compression of the bed")).unwrap();
        assert!(row.contains(&format!("{compression:.0}")), "{row}");
        let load = found["push"]["load_at"][1].as_f64().unwrap();
        let row = table.lines().find(|l| l.contains("load at 1 mm (N)")).unwrap();
        assert!(row.contains(&format!("{load:.0}")), "{row}");
        let flat = table.split_whitespace().collect::<Vec<_>>().join(" ");
        for sentence in found["reading"].as_array().unwrap() {
            assert!(flat.contains(sentence.as_str().unwrap()), "{sentence}");
        }
    }
}

/// Fields of a CSV text, by RFC 4180.
pub(crate) fn csv(text: &str) -> Vec<Vec<String>> {
    let mut rows = vec![vec![String::new()]];
    let mut quoted = false;
    let mut chars = text.chars().peekable();
    while let Some(c) = chars.next() {
        let row = rows.last_mut().unwrap();
        match c {
            '"' if quoted && chars.peek() == Some(&'"') => {
                chars.next();
                row.last_mut().unwrap().push('"');
            }
            '"' => quoted = !quoted,
            ',' if !quoted => row.push(String::new()),
            '\n' if !quoted => rows.push(vec![String::new()]),
            c => row.last_mut().unwrap().push(c),
        }
    }
    assert!(!quoted);
    assert_eq!(rows.pop().unwrap(), [String::new()]);
    rows
}

#[test]
fn csv_parses_and_is_tidy() {
    let bench = Bench::new();
    let lost = bench.write("lost.toml", NEVER_HELD);
    for typed in [
        vec!["check", "quarter", "two-by-two"],
        vec!["compare", "quarter", "two-by-two", "--tied-only"],
        vec!["compare", "small", "single-row", "two-by-two", "one-by-one"],
        vec!["compare", &lost, "single-row", "two-by-two"],
        vec!["compare", "quarter", "one-screw", "two-screws-with-loops"],
        vec!["check", "small", "two-screws"],
    ] {
        let mut typed = typed;
        typed.extend(["--format", "csv"]);
        let rows = csv(&bench.run(&typed).code(0).out);
        assert_eq!(rows[0], ["construct", "quantity", "unit", "value"]);
        assert!(rows.iter().all(|r| r.len() == 4), "{typed:?}");
        for row in rows.iter().skip(1) {
            let numeric = ["mm", "N", "MPa", "N/mm", "°", "%"].contains(&row[2].as_str());
            let is_number = row[3].parse::<f64>().is_ok_and(f64::is_finite);
            assert!(!numeric || is_number || row[1].starts_with("default"), "{row:?}");
        }
    }
    let rows = csv(&bench.run(&["compare", "quarter", "one-by-one", "--curve", "--format", "csv"]).code(0).out);
    assert_eq!(rows[0][..3], ["construct", "displacement_mm", "load_N"]);
    assert!(rows.len() > 20);
    for row in rows.iter().skip(1) {
        assert_eq!(row.len(), rows[0].len());
        assert!(row[1..].iter().all(|f| f.parse::<f64>().is_ok_and(f64::is_finite)));
    }
}
