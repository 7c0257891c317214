//! Numbers, texts and words in a schema.

use super::super::parameters::Parameter;
use super::super::reader::{LONGEST_NAME, LONGEST_TEXT};
use serde_json::{Value, json};

/// Control characters, as a class of a regular expression holds them.
pub(super) const CONTROL: &str = r"\u0000-\u001f\u007f-\u009f";

/// A number that has no default, or whose default is another value's.
pub(super) fn bare(row: &Parameter) -> Value {
    let mut about = row.spread();
    if !row.source.is_empty() {
        about.push_str(&format!(". {}", row.source));
    }
    json!({
        "type": if row.is_whole() { "integer" } else { "number" },
        "description": about,
        "minimum": row.allowed.0,
        "maximum": row.allowed.1,
    })
}

/// A number with what is taken when it is not given, and how that is backed.
pub(super) fn number(row: &Parameter) -> Value {
    let mut number = bare(row);
    if let Some(default) = row.default {
        number["default"] = default.into();
        number["description"] = format!("{} ({:?}: {})", row.about(), row.tag, row.source).into();
    }
    number
}

/// A number or one word for what no number can say.
pub(super) fn number_or(row: &Parameter, word: &str, meaning: &str) -> Value {
    let mut number = number(row);
    let about = format!("{}; \"{word}\": {meaning}", described(&number));
    let default = number.as_object_mut().and_then(|n| n.remove("default"));
    let mut either = json!({ "description": about, "anyOf": [number, { "const": word }] });
    if let Some(default) = default {
        either["default"] = default;
    }
    either
}

pub(super) fn described(value: &Value) -> String {
    value["description"].as_str().unwrap_or_default().to_owned()
}

/// A length in mm, or a percentage in quotes.
pub(super) fn length(mm: &Parameter, percent: &Parameter) -> Value {
    json!({
        "description": format!(
            "{}: a number in mm, or a percentage in quotes ({}; allowed: {})",
            mm.spread(), percent.meaning, percent.range()
        ),
        "anyOf": [
            bare(mm),
            {
                "type": "string",
                "pattern": r"^\s*[-+\u2212]?([0-9]+\.?[0-9]*|\.[0-9]+)([eE][-+\u2212]?[0-9]+)?\s*(%|mm)?\s*$",
            },
        ],
    })
}

/// A clock position in hours.
pub(super) fn clock(row: &Parameter) -> Value {
    json!({
        "description": format!("{}; \"4:30\" or 4.5; {}", row.spread(), row.source),
        "anyOf": [
            bare(row),
            { "type": "string", "pattern": r"^\s*[0-9]{1,2}(:[0-5][0-9])?\s*$" },
        ],
    })
}

/// Three numbers in the range of a row.
pub(super) fn triple(row: &Parameter) -> Value {
    json!({
        "type": "array",
        "items": bare(row),
        "minItems": 3,
        "maxItems": 3,
        "description": format!("{}: x anterior, y superior, z lateral", row.meaning),
    })
}

/// One of a few words.
pub(super) fn words<T>(about: &str, words: &[(&str, T)]) -> Value {
    let words: Vec<&str> = words.iter().map(|w| w.0).collect();
    json!({ "description": about, "enum": words })
}

pub(super) fn flag(about: &str) -> Value {
    json!({ "type": "boolean", "description": about })
}

/// The pattern of a text on one line that is not empty, without spaces round it.
pub(super) fn plain(longest: usize) -> String {
    let last = longest - 2;
    format!(r"^[^\s{CONTROL}]([^{CONTROL}]{{0,{last}}}[^\s{CONTROL}])?$")
}

pub(super) fn text(longest: usize, about: &str) -> Value {
    json!({
        "type": "string",
        "description": about,
        "pattern": plain(longest).replacen('^', r"^\s*", 1).replace('$', r"\s*$"),
    })
}

pub(super) fn name() -> Value {
    text(LONGEST_NAME, "what it is called; the file's name when not given")
}

pub(super) fn description() -> Value {
    json!({
        "type": "string",
        "description": "what it is, in free words",
        "maxLength": LONGEST_TEXT,
        "pattern": r"^[^\u0000-\u0008\u000b\u000c\u000e-\u001f\u007f-\u009f]*$",
    })
}
