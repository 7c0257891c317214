//! Places in a schema.

use super::super::parameters::row;
use super::super::places::KINDS as PLACE_KINDS;
use super::shape::table;
use super::value::{bare, clock, length, triple};
use serde_json::{Value, json};

/// Where places are described, once for all.
pub(super) const PLACE: &str = "#/definitions/place";

/// A place on bone: exactly one kind.
pub(super) fn place() -> Value {
    let along = || ("along", length(row("along"), row("along[percent]")));
    let kinds = PLACE_KINDS
        .iter()
        .map(|&kind| {
            let at = |about: &str, key: Option<(&'static str, &str)>| {
                let mut keys = vec![along()];
                let mut required = vec!["along"];
                if let Some((key, path)) = key {
                    keys.push((key, bare(row(path))));
                    required.push(key);
                }
                table(about, keys, &required)
            };
            let value = match kind {
                "face" => at("on the face beyond the fracture line", Some(("inset", "inset"))),
                "rim" => at("on the rim", None),
                "wall" => at("on the outer wall below the rim", Some(("below", "below"))),
                "margin" => at("on the medial margin of the fragment", None),
                "neck" => at("in the neck beyond the fragment's exit", Some(("beyond", "beyond"))),
                "crater" => at("on the fracture bed", Some(("deep", "deep"))),
                "clock" => table(
                    "on the face by clock position",
                    vec![("hours", clock(row("hours"))), ("inset", bare(row("inset[rim]")))],
                    &["hours", "inset"],
                ),
                _ => triple(row("point")),
            };
            (kind, value)
        })
        .collect();
    let mut place = table(&format!("a place on bone: one of {}", PLACE_KINDS.join(", ")), kinds, &[]);
    place["minProperties"] = 1.into();
    place["maxProperties"] = 1.into();
    place
}

pub(super) fn placed(about: &str) -> Value {
    json!({ "description": about, "allOf": [{ "$ref": PLACE }] })
}
