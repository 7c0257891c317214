//! The first screen of each command at 80 columns, as it was last read by a person and agreed on.
//!
//! `RIMHOLD_WRITE=1 cargo test --release --test program screens` writes them anew; a change of mechanics changes
//! their numbers.

use crate::cli::Bench;
use serde_json::Value;
use std::path::Path;
use unicode_width::UnicodeWidthStr;

const SCREENS: [(&str, &str); 17] = [
    ("help", "--help"),
    ("check", "check quarter one-by-one"),
    ("compare", "compare quarter single-row one-by-one two-by-two-crossed"),
    ("compare-two", "compare quarter one-by-one two-by-two-crossed"),
    ("compare-one", "compare quarter one-by-one"),
    ("compare-equal", "compare quarter one-by-one two-by-two-crossed --equal total"),
    ("tie", "tie quarter one-by-one"),
    ("tie-alone", "tie quarter one-by-one --orders own"),
    ("place", "place quarter one-by-one --starts 1 --evaluations 60 --no-wander"),
    ("scatter", "scatter quarter one-by-one two-by-two-crossed --samples 64 --cells 100"),
    ("sweep", "sweep size --cells 100 --steps 4"),
    ("settle", "settle quarter one-by-one"),
    ("lose", "lose quarter two-by-two-crossed --rescue one-by-one"),
    ("drill", "drill quarter two-by-two-crossed"),
    ("joint", "joint quarter two-by-two-crossed"),
    ("budget", "budget quarter one-by-one --draws 16"),
    ("verify", "verify"),
];

/// Lines above the first empty one.
fn head(screen: &str) -> Vec<&str> {
    screen.lines().take_while(|line| !line.is_empty()).collect()
}

#[test]
fn the_first_screen_of_each_command_is_the_one_that_was_agreed_on() {
    let mut changed = Vec::new();
    for (name, typed) in SCREENS {
        let bench = Bench::new();
        let mut words: Vec<&str> = typed.split(' ').collect();
        words.push("--quiet");
        let screen = bench.run(&words).code(0).out;
        let file = Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("tests/cli/screens/{name}.txt"));
        let whole = format!("$ rimhold {typed}\n{screen}");
        for line in screen.lines() {
            assert!(line.width() <= 80, "{typed}\n{line}");
        }
        if name != "help" {
            let verdict = head(&screen);
            assert!((2..=5).contains(&verdict.len()) && verdict[0].starts_with("Question "), "{screen}");
            assert!(verdict[1].starts_with("Answer   "), "{screen}");
            assert!(!verdict.iter().any(|line| line.contains('…')), "{screen}");
        }
        if std::env::var_os("RIMHOLD_WRITE").is_some() {
            std::fs::write(&file, whole).unwrap();
        } else if std::fs::read_to_string(&file).unwrap_or_default() != whole {
            changed.push(whole);
        }
    }
    assert!(changed.is_empty(), "{}", changed.join("\n"));
}

#[test]
fn the_help_holds_every_command_in_25_lines() {
    let bench = Bench::new();
    let help = bench.run(&["--help"]).code(0).out;
    assert!(help.lines().count() <= 25, "{help}");
    let pages = bench.run(&["man", "pages"]).code(0);
    assert!(pages.err.contains("wrote"));
    let commands = crate::cli::listed(&bench.path("pages"));
    let commands: Vec<&str> = commands.iter().filter_map(|p| p.strip_prefix("rimhold-")?.strip_suffix(".1")).collect();
    assert!(commands.len() > 10);
    for command in commands {
        assert!(help.contains(command), "{command}\n{help}");
    }
}

fn json(bench: &Bench, typed: &[&str]) -> Value {
    let end = bench.run(&[typed, &["--format", "json", "--quiet"]].concat()).code(0);
    serde_json::from_str(&end.out).unwrap()
}

/// The tension of bridge limbs by the words of the help: a bridge limb runs from one anchor to another, its lateral
/// anchor is that of its tied end.
fn spent(construct: &Value) -> [f64; 3] {
    let limbs = construct["construct"]["limbs"].as_array().unwrap();
    let end = |l: &Value, k: usize| l["path"].as_array().unwrap()[k].as_str().unwrap().to_owned();
    let last = |l: &Value| end(l, l["path"].as_array().unwrap().len() - 1);
    let bridge: Vec<&Value> = limbs.iter().filter(|l| end(l, 0) != last(l)).collect();
    let sum: f64 = bridge.iter().map(|l| l["tension"].as_f64().unwrap()).sum();
    let mut lateral: Vec<String> = bridge.iter().map(|l| last(l)).collect();
    lateral.sort();
    lateral.dedup();
    [sum / lateral.len() as f64, sum / bridge.len() as f64, sum]
}

#[test]
fn equal_terms_are_equal_in_what_was_asked_for() {
    let bench = Bench::new();
    // The first has no bridge: the terms are those of the second, and the first stays as it is.
    let names = ["compare", "quarter", "single-row", "one-by-one", "two-by-two-tape", "two-by-two-crossed"];
    let given = json(&bench, &[&names[..], &["--tied-only"]].concat());
    let constructs = |document: &Value| document["constructs"].as_array().unwrap().clone();
    for (k, what) in ["anchor", "bridge", "total"].into_iter().enumerate() {
        let equal = constructs(&json(&bench, &[&names[..], &["--tied-only", "--equal", what]].concat()));
        let of: Vec<[f64; 3]> = equal[1..].iter().map(spent).collect();
        assert_eq!(of[0], spent(&constructs(&given)[1]), "{what}");
        assert!(of.iter().all(|own| (own[k] / of[0][k] - 1.0).abs() < 1e-9), "{what}: {of:?}");
        assert_eq!(equal[0]["found"]["hold"], constructs(&given)[0]["found"]["hold"], "{what}");
    }
    // By default the two differ in the sum, so that it is another repair with half of it.
    let total = json(&bench, &[&names[..], &["--tied-only", "--equal", "total"]].concat());
    let pressed = |document: &Value| constructs(document)[3]["quantities"]["compression"].as_f64().unwrap();
    assert!(pressed(&total) < 0.8 * pressed(&given), "{} {}", pressed(&total), pressed(&given));
}

/// The uncertainty of a verdict is that of `scatter` with the same draws, by its own border: two standard errors off
/// three quarters of the draws, on the side of the one that bears more.
#[test]
fn a_difference_counts_when_the_draws_say_so() {
    let bench = Bench::new();
    for names in [["single-row", "one-by-one"], ["one-by-one", "two-by-two-crossed"]] {
        let told = json(&bench, &[&["compare", "quarter"][..], &names].concat());
        let drawn = ["--samples", "32", "--cells", "100", "--steps", "4", "--to", "1"];
        let drawn = json(&bench, &[&["scatter", "quarter"][..], &names, &drawn].concat());
        let pairs = drawn["scatter"]["pairs"].as_array().unwrap();
        let pair = pairs.iter().find(|p| p["quantity"]["key"] == "load-1mm").unwrap();
        let (share, error) = (pair["superiority"]["value"].as_f64().unwrap(), pair["superiority"]["error"].as_f64());
        let certain = error.is_none_or(|error| (share - 0.5).abs() - 2.0 * error > 0.25);
        let answer = told["verdict"][1].as_str().unwrap();
        assert_eq!(!certain, answer.contains("No difference"), "{answer} {share} {error:?}");
        let load = |k: usize| told["constructs"][k]["quantities"]["load-1mm"].as_f64().unwrap();
        let first = usize::from(load(1) > load(0));
        assert!(answer.contains(&format!("{} {:.0} N", names[first], load(first))), "{answer}");
        let end = |key: &str| pair["difference"][key]["value"].as_f64().unwrap();
        let (low, high) = if first == 1 { (end("low"), end("high")) } else { (-end("high"), -end("low")) };
        let sure = told["verdict"][2].as_str().unwrap();
        assert!(sure.contains(&format!("{low:+.0} to {high:+.0} N in 90 % of 32 draws")), "{sure}");
    }
    // Nothing drawn, nothing claimed.
    let none = json(&bench, &["compare", "quarter", "single-row", "one-by-one", "--draws", "0"]);
    assert!(none["verdict"][2].as_str().unwrap().contains("no difference counts"), "{none}");
}
