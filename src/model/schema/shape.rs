//! Tables in a schema.

use super::super::parameters::row;
use super::super::reader::LONGEST_NAME;
use super::value::{number, plain, text};
use serde_json::{Map, Value, json};

/// A table with these keys and no others.
pub(super) fn table(about: &str, keys: Vec<(&str, Value)>, required: &[&str]) -> Value {
    let keys: Map<String, Value> = keys.into_iter().map(|(k, v)| (k.to_owned(), v)).collect();
    let mut table = json!({
        "type": "object",
        "description": about,
        "additionalProperties": false,
        "properties": keys,
    });
    if !required.is_empty() {
        table["required"] = required.into();
    }
    table
}

/// A table whose keys are numbers with rows of their own.
pub(super) fn numbers(about: &str, path: &str, keys: &[&'static str]) -> Value {
    let keys = keys.iter().map(|&key| (key, number(row(&format!("{path}.{key}"))))).collect();
    table(about, keys, &[])
}

/// Tables with names of their own, or a list of tables that may bear one.
pub(super) fn named(about: &str, inner: Value, most: usize, reserved: &[&str]) -> Value {
    let mut in_list = inner.clone();
    in_list["properties"]["name"] = text(LONGEST_NAME, "its name; numbered when not given");
    let mut names = json!({ "pattern": plain(LONGEST_NAME) });
    if !reserved.is_empty() {
        names["not"] = json!({ "enum": reserved });
        in_list["properties"]["name"]["not"] = names["not"].clone();
    }
    json!({
        "description": format!("{about}; at most {most}"),
        "anyOf": [
            {
                "type": "object",
                "propertyNames": names,
                "additionalProperties": inner,
                "maxProperties": most,
            },
            { "type": "array", "items": in_list, "maxItems": most },
        ],
    })
}

/// The same with at least one.
pub(super) fn filled(mut named: Value) -> Value {
    named["anyOf"][0]["minProperties"] = 1.into();
    named["anyOf"][1]["minItems"] = 1.into();
    named
}
