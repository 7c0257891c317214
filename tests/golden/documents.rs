//! The tables of the documents, written from the golden numbers: between the lines
//! `<!-- golden: CASE FROM | CONSTRUCT … | QUANTITY … -->` and `<!-- golden end -->`.

use rimhold::quantities::quantity;
use std::fmt::Write;

/// The documents that have such tables.
pub const DOCUMENTS: [&str; 2] = ["README.md", "plots/README.md"];

const OPEN: &str = "<!-- golden: ";
const CLOSE: &str = "<!-- golden end -->";

/// A document with its tables as the golden numbers have them.
pub fn written(text: &str, head: &[&str], rows: &[Vec<&str>]) -> String {
    let mut out = String::new();
    let mut rest = text;
    while let Some(at) = rest.find(OPEN) {
        let line = at + rest[at..].find('\n').expect("an end of the line");
        let end = line + rest[line..].find(CLOSE).expect("an end of the table");
        let asked = rest[at + OPEN.len()..line].trim_end_matches(" -->");
        let _ = write!(out, "{}\n{}", &rest[..line], table(asked, head, rows));
        rest = &rest[end..];
    }
    out + rest
}

fn table(asked: &str, head: &[&str], rows: &[Vec<&str>]) -> String {
    let [pair, constructs, keys] = asked.split(" | ").collect::<Vec<_>>()[..] else {
        panic!("case and start | constructs | quantities, not {asked}")
    };
    let (case, from) = pair.split_once(' ').expect("a case and a start");
    let quantities: Vec<_> = keys.split(' ').map(quantity).collect();
    let mut out = "| construct |".to_owned();
    quantities.iter().for_each(|q| out += &format!(" {} |", q.axis()));
    out += &format!("\n|---|{}\n", "---:|".repeat(quantities.len()));
    for name in constructs.split(' ') {
        let row = rows.iter().find(|row| row[..3] == [case, name, from]).unwrap_or_else(|| panic!("no row of {name}"));
        let _ = write!(out, "| {name} |");
        for q in &quantities {
            let at = head.iter().position(|h| h.split(' ').next() == Some(q.key)).expect("a golden column");
            match row[at].parse::<f64>() {
                Ok(value) => {
                    let text = format!("{value:.*}", q.decimals);
                    let _ = write!(
                        out,
                        " {} |",
                        if text.parse() == Ok(0.0) { text.trim_start_matches('-') } else { &text }
                    );
                }
                Err(_) => out += " fixation fails |",
            }
        }
        out += "\n";
    }
    out
}
