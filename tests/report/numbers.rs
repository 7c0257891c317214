//! Every number of page and methods section stands, as it was rounded, in `results.json`.

use crate::report::{all, files};
use rimhold::show::report::paper::{METHODS, METHODS_SUPPLEMENT, PAGE, SUPPLEMENT};
use scraper::{Html, Node};
use serde_json::Value;
use std::collections::BTreeMap;

/// Numbers in a text: runs of digits with point and exponent. A name that a file gave may hold
/// digits too; they are then found in its words.
fn numbers(text: &str) -> Vec<String> {
    let chars: Vec<char> = text.chars().collect();
    let digit = |k: usize| chars.get(k).is_some_and(char::is_ascii_digit);
    let mut found = Vec::new();
    let mut k = 0;
    while k < chars.len() {
        if !digit(k) {
            k += 1;
            continue;
        }
        let start = k;
        while digit(k) || (chars.get(k) == Some(&'.') && digit(k + 1)) {
            k += 1;
        }
        if chars.get(k) == Some(&'e') {
            let sign = usize::from(chars.get(k + 1) == Some(&'-'));
            if digit(k + 1 + sign) {
                k += 1 + sign;
                while digit(k) {
                    k += 1;
                }
            }
        }
        found.push(chars[start..k].iter().collect());
    }
    found
}

/// What a template says by itself: without what it fills in, its drawing rules and its equations.
fn typed(template: &str) -> String {
    let mut text = String::new();
    let mut rest = template;
    while let Some(at) = rest.find('{') {
        text.push_str(&rest[..at]);
        let end = match &rest[at..] {
            t if t.starts_with("{{") => t.find("}}").map(|e| e + 2),
            t if t.starts_with("{%") => t.find("%}").map(|e| e + 2),
            _ => None,
        };
        let skip = end.unwrap_or(1);
        text.push(' ');
        rest = &rest[at + skip..];
    }
    text.push_str(rest);
    text
}

/// A text without what stands between two marks.
fn without(text: &str, from: &str, to: &str) -> String {
    let mut out = String::new();
    let mut rest = text;
    while let Some((before, after)) = rest.split_once(from) {
        out.push_str(before);
        rest = after.split_once(to).map_or("", |(_, after)| after);
    }
    out.push_str(rest);
    out
}

/// The embedded templates say no number by themselves: whatever number a text has was filled in from
/// the record. Allowed are the names of publications, and equations, which hold no data.
#[test]
fn the_templates_hold_no_numbers() {
    for methods in [METHODS, METHODS_SUPPLEMENT] {
        let methods = without(&typed(methods), "```text", "```");
        let methods = without(&methods, "[@", "]").replace("V&V 40", "");
        assert_eq!(numbers(&methods), Vec::<String>::new());
    }
    for page in [PAGE, SUPPLEMENT] {
        let page = without(page, "<style>", "</style>");
        let page = typed(&page);
        let words: String =
            page.split('<').map(|piece| piece.split_once('>').map_or(piece, |(_, text)| text)).collect();
        assert_eq!(numbers(&words), Vec::<String>::new());
    }
}

/// Every text of the record's facts, tables and words, with how often its numbers may be found.
fn said(record: &Value) -> BTreeMap<String, usize> {
    fn walk(value: &Value, out: &mut BTreeMap<String, usize>) {
        match value {
            // Texts alone: a number that was not rounded is nothing that was said.
            Value::String(text) => {
                for number in numbers(text) {
                    *out.entry(number).or_default() += 1;
                }
            }
            Value::Array(list) => list.iter().for_each(|v| walk(v, out)),
            Value::Object(map) => map.values().for_each(|v| walk(v, out)),
            _ => {}
        }
    }
    let mut record = record.clone();
    // What was found in all its digits is not what is printed.
    for key in ["results", "verified", "scatter", "swept", "place"] {
        assert!(record.as_object_mut().unwrap().remove(key).is_some());
    }
    let mut out = BTreeMap::new();
    walk(&record, &mut out);
    out
}

/// The words of the page that a reader sees, drawings left out (their numbers are in their CSV).
fn visible(html: &str) -> String {
    fn walk(node: ego_tree::NodeRef<'_, Node>, out: &mut String) {
        match node.value() {
            Node::Text(text) => {
                out.push_str(text);
                out.push(' ');
            }
            Node::Element(e) if matches!(e.name(), "svg" | "style" | "title") => {}
            _ => node.children().for_each(|c| walk(c, out)),
        }
    }
    let document = Html::parse_document(html);
    let mut out = String::new();
    walk(document.tree.root(), &mut out);
    out
}

#[test]
fn every_number_of_the_texts_is_in_the_record() {
    for (name, made) in all() {
        let known = said(&made.json("results.json"));
        for (file, least) in
            [("methods.md", 20), ("methods-supplement.md", 100), ("index.html", 100), ("supplement.html", 100)]
        {
            let text = made.text(file);
            let text = if file.ends_with("md") { without(&text, "```text", "```") } else { visible(&text) };
            let found = numbers(&text);
            assert!(found.len() > least, "{name} {file}: {}", found.len());
            for number in found {
                assert!(known.contains_key(&number), "{name} {file}: {number}");
            }
        }
    }
}

/// Each fact's and each cell's text is its value, rounded: within half of its last digit.
#[test]
fn what_is_said_is_what_was_computed_rounded() {
    fn walk(at: &str, value: &Value, seen: &mut usize) {
        if let (Some(text), Some(number)) = (value["text"].as_str(), value["value"].as_f64()) {
            // A share may stand behind it in parentheses.
            let text = text.split(" (").next().unwrap();
            let said: f64 = text.parse().unwrap_or_else(|_| panic!("{at}: {text}"));
            let (mantissa, power) = text.split_once('e').unwrap_or((text, "0"));
            let decimals = mantissa.split_once('.').map_or(0, |(_, d)| d.len()) as i32;
            let last = 10f64.powi(power.parse::<i32>().unwrap() - decimals);
            // Half of the last digit, and the rounding of the number's own last bits.
            let slack = 0.5 * last * (1.0 + 1e-9) + 1e-12 * number.abs();
            assert!((said - number).abs() <= slack, "{at}: {text} for {number}");
            *seen += 1;
        }
        match value {
            Value::Array(list) => list.iter().enumerate().for_each(|(k, v)| walk(&format!("{at}/{k}"), v, seen)),
            Value::Object(map) => map.iter().for_each(|(k, v)| walk(&format!("{at}/{k}"), v, seen)),
            _ => {}
        }
    }
    for (name, made) in all() {
        let mut seen = 0;
        walk(name, &made.json("results.json"), &mut seen);
        assert!(seen > 100, "{name}: {seen}");
    }
}

/// The record's comparison is the one of the results beside it, and of the figures' CSV.
#[test]
fn table_results_and_figure_agree() {
    let made = &*crate::report::THREE;
    let record = made.json("results.json");
    let csv = made.text("tables/comparison.csv");
    let figure = made.text("figures/sheet.csv");
    for (k, one) in record["results"]["constructs"].as_array().unwrap().iter().enumerate() {
        let found = &one["found"];
        let load = found["push"]["load_at"][1].as_f64().unwrap();
        let row = csv.lines().find(|l| l.starts_with("load at 1 mm")).unwrap();
        assert_eq!(row.split(',').nth(k + 1).unwrap().parse::<f64>().unwrap(), load);
        let name = found["hold"]["construct"].as_str().unwrap();
        let line = figure.lines().find(|l| l.contains(name) && l.contains("Load at 1 mm")).unwrap();
        // The figure's table has nine digits.
        assert!((line.rsplit(',').next().unwrap().parse::<f64>().unwrap() / load - 1.0).abs() < 1e-8);
    }
    assert!(files(&made.path()).contains_key("figures/rose.csv"));
}
