//! The headline numbers of every shipped pair, tied from both starts: what the program said when they
//! were last agreed on. They are no evidence, only a memory: a refactoring changes none of them, and a
//! change of mechanics changes them in a commit that says why.
//!
//! `RIMHOLD_WRITE=1 cargo test --release --test engine golden -- --nocapture` writes them anew and
//! shows what changed.

mod documents;
mod further;

use rayon::prelude::*;
use rimhold::model::{CASES, CONSTRUCTS, Case, ConstructFile};
use rimhold::quantities::{QUANTITIES, Quantity, View};
use rimhold::study::result::{Outcome, Start};
use rimhold::study::{ComparePlan, compare};
use std::fmt::Write;
use std::path::Path;

/// Relative agreement asked for. The digits are those of the program on every processor, so this is no
/// allowance for rounding: it is the last digit that anyone could ever quote.
const TOLERANCE: f64 = 1e-4;
/// What counts as zero: mm, N or degrees below what is ever printed.
const NOTHING: f64 = 1e-6;

/// Columns before those of the quantities.
const ENDS: [&str; 5] = ["case", "construct", "from", "held", "push"];

fn head() -> Vec<String> {
    let unit = |q: &Quantity| if q.unit.is_empty() { q.key.to_owned() } else { format!("{} ({})", q.key, q.unit) };
    ENDS.map(str::to_owned).into_iter().chain(QUANTITIES.iter().map(unit)).collect()
}

fn end(outcome: &Outcome) -> String {
    match outcome {
        Outcome::Held => "held".into(),
        Outcome::NotHeld { mode, during, .. } => format!("{mode:?} during {during}").replace(',', ";"),
        Outcome::Uncertified { during, .. } => format!("uncertified during {during}").replace(',', ";"),
    }
}

fn row(case_name: &str, name: &str, from: Start) -> Vec<String> {
    let case = Case::open(case_name).expect("a built-in case");
    let construct = ConstructFile::open(name).and_then(|file| file.fit(&case)).expect("it fits");
    let plan = ComparePlan { from, ..ComparePlan::default() };
    let found = compare(&case, &construct, &plan);
    let start = match from {
        Start::Reduced => "reduced",
        Start::Displaced => "displaced",
    };
    let ends = [end(&found.hold.outcome), found.push.as_ref().map_or_else(String::new, |p| end(&p.outcome))];
    let view = View::of(&case, &construct, &found);
    let quantities = QUANTITIES.iter().map(|q| (q.of)(&view).map_or_else(String::new, |v| format!("{v:.6e}")));
    [case_name.into(), name.into(), start.into()].into_iter().chain(ends).chain(quantities).collect()
}

fn agree(now: &str, then: &str) -> bool {
    match (now.parse::<f64>(), then.parse::<f64>()) {
        (Ok(a), Ok(b)) => (a - b).abs() <= TOLERANCE * b.abs() + NOTHING,
        _ => now == then,
    }
}

#[test]
fn headline_numbers_are_those_last_agreed_on() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/golden/headline.csv");
    let mut pairs = Vec::new();
    for (case, _) in CASES {
        for (construct, _) in CONSTRUCTS {
            pairs.extend([Start::Reduced, Start::Displaced].map(|from| (case, construct, from)));
        }
    }
    let rows: Vec<Vec<String>> = pairs.par_iter().map(|(case, construct, from)| row(case, construct, *from)).collect();
    let then = std::fs::read_to_string(&path).unwrap_or_default();
    let then: Vec<Vec<&str>> = then.lines().map(|line| line.split(',').collect()).collect();
    let columns = head();
    let mut changes = String::new();
    for now in &rows {
        let (head, pair) = (&now[..3], now[..3].join(" "));
        let Some(old) = then.iter().find(|old| old.len() > 3 && old[..3] == *head) else {
            let _ = writeln!(changes, "{pair}: new");
            continue;
        };
        for (column, value) in now.iter().enumerate().skip(3) {
            let before = then[0].iter().position(|name| *name == columns[column]).map_or("absent", |at| old[at]);
            if !agree(value, before) {
                let _ = writeln!(changes, "{pair}: {} {before} → {value}", columns[column]);
            }
        }
    }
    let writes = std::env::var_os("RIMHOLD_WRITE").is_some();
    if writes {
        let mut text = columns.join(",") + "\n";
        rows.iter().for_each(|row| text += &(row.join(",") + "\n"));
        std::fs::write(&path, text).unwrap();
        println!("{changes}");
    } else {
        assert!(changes.is_empty(), "{changes}");
        assert_eq!(then.len(), rows.len() + 1, "pairs that are no longer shipped");
    }
    let agreed = std::fs::read_to_string(&path).unwrap();
    let agreed: Vec<Vec<&str>> = agreed.lines().map(|line| line.split(',').collect()).collect();
    for name in documents::DOCUMENTS {
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(name);
        let text = std::fs::read_to_string(&path).unwrap();
        let now = documents::written(&text, &agreed[0], &agreed[1..]);
        if writes {
            std::fs::write(&path, now).unwrap();
        } else {
            assert!(text == now, "the tables of {name} are not those of the golden numbers");
        }
    }
}
