//! What only a case has.

use super::super::case_file::{DIRECTIONS, SINCE};
use super::super::parameters::row;
use super::place::placed;
use super::shape::table;
use super::value::{bare, number, triple, words};
use serde_json::{Value, json};

pub(super) fn tether() -> Value {
    table(
        "a tension-only spring from the fragment to the scapula",
        vec![
            ("fragment", placed("its end on the fragment")),
            ("scapula", placed("its end on the scapula")),
            ("stiffness", number(row("tether.*.stiffness"))),
            ("slack", number(row("tether.*.slack"))),
        ],
        &["fragment", "scapula"],
    )
}

pub(super) fn load() -> Value {
    let directions: Vec<&str> = DIRECTIONS.iter().map(|d| d.0).collect();
    let mut load = table(
        "a constant force on the fragment",
        vec![
            ("at", placed("where on the fragment it acts")),
            (
                "force",
                json!({
                    "description": "its magnitude, or its three components [x, y, z]",
                    "anyOf": [bare(row("load.*.force[magnitude]")), triple(row("load.*.force"))],
                }),
            ),
            (
                "direction",
                json!({
                    "description": "where a force given by its magnitude points: a word, or [x, y, z]",
                    "anyOf": [{ "enum": directions }, triple(row("point"))],
                }),
            ),
            ("when", words("since when it acts; after tying when not given", &SINCE)),
        ],
        &["at", "force"],
    );
    load["if"] = json!({ "properties": { "force": { "type": "array" } } });
    load["then"] = json!({ "not": { "required": ["direction"] } });
    load["else"] = json!({ "required": ["direction"] });
    load
}

/// The displaced pose: what a given one does not name is zero, so no component has a default.
pub(super) fn displaced() -> Value {
    let keys = ["inferior", "medial", "out_of_bed", "tilt", "spin", "yaw"]
        .iter()
        .map(|&key| (key, bare(row(&format!("displaced.{key}")))))
        .collect();
    table(
        "where the fragment lay before it was reduced, in axes of the fracture bed; what is not named is zero",
        keys,
        &[],
    )
}
