//! What either file may set for all limbs and anchors at once.

use super::super::parameters::parameter;
use super::super::settings::{MOST_CLASSES, OF_A_STRAND, OF_AN_ANCHOR, RIGID, TABLES, built_in};
use super::shape::{named, numbers, table};
use super::value::{number, number_or};
use serde_json::{Map, Value};

/// What either file may set for all limbs and anchors at once.
pub(super) fn settings() -> Vec<(&'static str, Value)> {
    let mut tables: Vec<(&str, Value)> = TABLES
        .iter()
        .map(|(table, keys)| {
            let about = match *table {
                "friction" => "friction of strands",
                "bite" => "bites through labrum",
                "knot" => "limbs tied by hand",
                _ => "knotless limbs",
            };
            (*table, numbers(about, table, keys))
        })
        .collect();
    tables.push(("strand", classes("strand", "classes of strand", &OF_A_STRAND)));
    tables.push(("anchor-class", classes("anchor-class", "classes of anchor", &OF_AN_ANCHOR)));
    tables
}

/// Classes of one kind: the built-in ones with their defaults, and any others.
pub(super) fn classes(kind: &str, about: &str, keys: &[&'static str]) -> Value {
    let class = |name: &str| {
        let keys = keys
            .iter()
            .filter_map(|&key| {
                let row = parameter(&format!("{kind}.{name}.{key}"))?;
                Some((key, if key == "stiffness" { number_or(row, RIGID, "no spring") } else { number(row) }))
            })
            .collect();
        table("a class", keys, &[])
    };
    let mut classes = named(about, class("*"), MOST_CLASSES, &[]);
    classes["anyOf"][0]["properties"] =
        built_in(kind).into_iter().map(|name| (name.to_owned(), class(name))).collect::<Map<String, Value>>().into();
    classes
}
