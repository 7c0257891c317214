//! Single values of a table: numbers in their range, and words of a few.

use super::document::{Node, Value};
use super::parameters::{Parameter, parameter};
use super::problems::Span;
use super::reader::Log;
use super::words::{is_word, listed, nearest, quoted, said, suggest};

/// A number in the range of `row`.
pub(super) fn number(node: &Node, path: &str, row: &Parameter, log: &mut Log) -> Option<f64> {
    let Value::Number(value) = node.value else {
        wrong_type(node, path, "a number", log);
        return None;
    };
    in_range(value, node.span.clone(), path, row, log)
}

/// A value already in the unit of its row, checked against it.
pub(super) fn in_range(value: f64, span: Span, path: &str, row: &Parameter, log: &mut Log) -> Option<f64> {
    #[cfg(test)]
    log.numbers.push((path.into(), row.path));
    if row.accepts(value) && !(row.is_whole() && value.fract() != 0.0) {
        return Some(value);
    }
    let message = if !value.is_finite() {
        format!("`{path}` is {value}, not a finite number")
    } else if row.accepts(value) {
        format!("`{path}` is {}, not a whole number", said(value))
    } else {
        let percent = if row.unit == "%" { " %" } else { "" };
        format!("`{path}` is {}{percent}, outside its range", said(value))
    };
    log.wrong(span, message, format!("allowed: {}", row.range()), row.about());
    None
}

/// One of a few words.
pub(super) fn word<T: Copy>(node: &Node, path: &str, words: &[(&'static str, T)], log: &mut Log) -> Option<T> {
    let names: Vec<&str> = words.iter().map(|w| w.0).collect();
    let Value::Text(text) = &node.value else {
        wrong_type(node, path, &format!("one of {}", listed(names)), log);
        return None;
    };
    if let Some(found) = words.iter().find(|w| is_word(text, w.0)) {
        return Some(found.1);
    }
    let all = listed(names.iter().copied());
    // A long list is wrapped in the hint; at the text it would run off the page.
    let (label, hint) = match nearest(text, names.iter().copied()) {
        _ if all.len() <= 50 => (format!("allowed: {all}"), suggest(text, &names)),
        Some(near) => ("not a word known here".into(), format!("did you mean `{near}`? allowed: {all}")),
        None => ("not a word known here".into(), format!("allowed: {all}")),
    };
    log.wrong(node.span.clone(), format!("`{path}` is \"{}\"", quoted(text)), label, hint);
    None
}

/// A value of the wrong kind.
pub(super) fn wrong_type(node: &Node, path: &str, wanted: &str, log: &mut Log) {
    let hint = match parameter(path) {
        Some(row) => row.about(),
        None => format!("write {wanted}"),
    };
    log.wrong(
        node.span.clone(),
        format!("`{path}` is {}, not {wanted}", node.kind()),
        format!("allowed: {wanted}"),
        hint,
    );
}
