//! The table of a sweep, and the list of inputs that can be varied.

use crate::model::spread::Known;
use crate::show::terminal::{Page, Set};
use crate::show::words::{num, start, tag};
use crate::study::result::{End, GridPoint, Sweep, SweepAxis, with_unit};

/// Quantities that a table of one input has room for beside each other.
const BESIDE: usize = 4;
/// Columns that a table of two inputs has room for.
const ACROSS: usize = 10;

/// Writes the sweep.
pub fn sweep_table(page: &mut Page, found: &Sweep) {
    if let Some(question) = &found.question {
        page.heading(question);
        page.paragraph("An invented case; what the model says, not what a shoulder does.");
    }
    let paths: Vec<&str> = found.axes.iter().map(|a| a.path.as_str()).collect();
    page.heading(&format!(
        "Sweep over {} on case {}, tied from the {} position, pushed {} {} mm",
        paths.join(" and "),
        found.case,
        start(found.from),
        found.direction,
        num(found.to, 1)
    ));
    match found.axes.as_slice() {
        [axis] => one(page, found, axis),
        [first, second] => two(page, found, first, second),
        _ => {}
    }
    let words = footer(found);
    if !words.is_empty() {
        page.paragraph("");
        page.paragraph(&words);
    }
    if !found.reading.is_empty() {
        page.heading("Reading");
        for sentence in &found.reading {
            page.item(sentence);
        }
    }
}

fn at(axis: &SweepAxis, value: f64) -> String {
    if let Some(state) = axis.state(value) {
        return state.to_owned();
    }
    let text = num(value, 3);
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

fn cell(found: &Sweep, point: Option<&GridPoint>, q: usize) -> String {
    let Some(point) = point else {
        return "not done".to_owned();
    };
    let decimals = match found.quantities[q].unit.as_str() {
        "N" => 1,
        "%" => 0,
        _ => 2,
    };
    match (point.values[q], point.end) {
        (Some(value), _) => num(value, decimals),
        (None, end) => absent(end).0.to_owned(),
    }
}

/// What stands where a point has no value, and what it means.
fn absent(end: End) -> (&'static str, &'static str) {
    match end {
        End::Held => ("-", "held, without such a value: the push ends before it, say"),
        End::LostInPush => ("lost", "tied, but lost in the push before this"),
        End::NotHeld => ("not held", "not held when tied"),
        End::Uncertified => ("uncert.", "not certified, so not reported"),
        End::Impossible => ("imposs.", "no such fragment or construct"),
    }
}

/// What the words and signs of the tables mean, of those that occur.
fn footer(found: &Sweep) -> String {
    let shown = 0..found.shown.min(found.quantities.len());
    let points = || found.constructs.iter().flat_map(|c| &c.points);
    let mut parts: Vec<String> = [End::Held, End::LostInPush, End::NotHeld, End::Uncertified, End::Impossible]
        .into_iter()
        .filter(|end| points().any(|p| p.end == *end && shown.clone().any(|q| p.values[q].is_none())))
        .map(|end| {
            let (word, meaning) = absent(end);
            format!("{word}: {meaning}")
        })
        .collect();
    let gap = shown.clone().find(|q| found.quantities[*q].key == "lower-gap");
    if gap.is_some_and(|q| points().any(|p| p.values[q].is_some_and(|v| v < 0.0))) {
        parts.push("gap below zero: the lower end is pressed into the bed".to_owned());
    }
    parts.join("; ")
}

fn one(page: &mut Page, found: &Sweep, axis: &SweepAxis) {
    for construct in &found.constructs {
        page.heading(&construct.construct);
        let head = with_unit(&axis.path, &axis.unit);
        let shown: Vec<usize> = (0..found.shown.min(found.quantities.len())).collect();
        for (number, block) in shown.chunks(BESIDE).enumerate() {
            if number > 0 {
                page.paragraph("");
            }
            let names: Vec<String> =
                block.iter().map(|q| with_unit(&found.quantities[*q].label, &found.quantities[*q].unit)).collect();
            let mut heads = vec![(head.as_str(), Set::Left)];
            heads.extend(names.iter().map(|n| (n.as_str(), Set::Exact(14))));
            let rows: Vec<Vec<String>> = axis
                .values
                .iter()
                .enumerate()
                .map(|(k, value)| {
                    let mut row = vec![at(axis, *value)];
                    let cells = block.iter();
                    row.extend(cells.map(|q| cell(found, construct.points.get(k), *q)));
                    row
                })
                .collect();
            page.grid(&heads, &rows);
        }
    }
}

fn two(page: &mut Page, found: &Sweep, first: &SweepAxis, second: &SweepAxis) {
    let columns = second.values.len();
    for construct in &found.constructs {
        for q in 0..found.shown.min(found.quantities.len()) {
            let quantity = &found.quantities[q];
            page.heading(&format!(
                "{}: {} ({}); across: {}",
                construct.construct,
                quantity.label,
                quantity.unit,
                with_unit(&second.path, &second.unit)
            ));
            let head = with_unit(&first.path, &first.unit);
            let names: Vec<String> = second.values.iter().map(|v| at(second, *v)).collect();
            for block in (0..columns).collect::<Vec<_>>().chunks(ACROSS) {
                let mut heads = vec![(head.as_str(), Set::Left)];
                heads.extend(block.iter().map(|c| (names[*c].as_str(), Set::Right)));
                let rows: Vec<Vec<String>> = first
                    .values
                    .iter()
                    .enumerate()
                    .map(|(r, value)| {
                        let mut row = vec![at(first, *value)];
                        row.extend(block.iter().map(|c| cell(found, construct.points.get(r * columns + c), q)));
                        row
                    })
                    .collect();
                page.grid(&heads, &rows);
            }
        }
    }
}

/// Writes every input that can be varied.
pub fn inputs_table(page: &mut Page, known: &[Known]) {
    page.heading("Inputs that can be varied");
    let rows: Vec<Vec<String>> = known
        .iter()
        .map(|k| {
            let [low, usual, high] = k.spread;
            let now = k.places.iter().map(|p| p.1).find(|v| v.is_finite());
            vec![
                k.path.clone(),
                now.map_or_else(String::new, |v| num(v, 2)),
                format!("{low} – {usual} – {high}"),
                k.unit.to_owned(),
                format!("{} to {}", k.allowed.0, k.allowed.1),
                tag(k.tag).to_owned(),
            ]
        })
        .collect();
    page.grid(
        &[
            ("path", Set::Left),
            ("now", Set::Right),
            ("low – usual – high", Set::Left),
            ("unit", Set::Left),
            ("allowed", Set::Left),
            ("backing", Set::Left),
        ],
        &rows,
    );
    page.paragraph("`*` stands for any name: limb.*.tension.");
}
