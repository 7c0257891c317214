//! Sentences from templates: what a reading says stands in a text, its numbers in a result, and how they are
//! rounded in filters.

use super::words;
use minijinja::value::ValueKind;
use minijinja::{Environment, Error, UndefinedBehavior, Value};

/// What stands for the end of a line within a name, while ends of lines part sentences.
const BREAK: char = '\u{1e}';

/// Columns that a name takes in a line that has to fit.
const NAME: usize = 21;

/// The sentences of a template (minijinja) over plain data: each of its lines that says anything. An indented
/// line goes on with the sentence before it.
///
/// # Panics
/// Where a template names what its data do not have: both are ours, and tests render every template.
pub(crate) fn sentences(template: &str, data: &Value) -> Vec<String> {
    let mut environment = Environment::new();
    environment.set_undefined_behavior(UndefinedBehavior::Strict);
    environment.set_trim_blocks(true);
    environment.set_lstrip_blocks(true);
    environment.set_formatter(|out, _, value| match value.kind() {
        ValueKind::Undefined => Err(Error::from(minijinja::ErrorKind::UndefinedError)),
        _ => out.write_str(&value.to_string().replace('\n', "\u{1e}")).map_err(Error::from),
    });
    environment.add_filter("num", |value: f64, decimals: usize| words::num(value, decimals));
    environment.add_filter("size", |value: f64, decimals: usize| words::num(value.abs(), decimals));
    environment.add_filter("signed", |value: f64, decimals: usize| words::signed(value, decimals));
    environment.add_filter("percent", words::percent);
    environment.add_filter("of", |value: f64, key: String| words::of(value, &key));
    environment.add_filter("short", |name: String| words::short(&name, NAME));
    environment.add_filter("lying", words::lying);
    environment.add_filter("plain", |value: f64| value.to_string());
    environment.add_filter("joined", |list: Vec<String>| words::joined(&list));
    environment.add_filter("counted", crate::study::result::counted);
    environment.add_filter("pushed", |direction: String| words::pushed(&direction));
    environment.add_filter("along_line", words::along_line);
    environment.add_filter("unit", |number: String, unit: String| format!("{number} {unit}").trim_end().to_owned());
    let joined = template.replace("\n    ", " ");
    let text = environment.render_str(&joined, data).unwrap_or_else(|e| panic!("{e:#}"));
    let lines = text.lines().filter(|line| !line.is_empty());
    lines.map(|line| line.replace(BREAK, "\n")).collect()
}
