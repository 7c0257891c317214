//! What only a construct has.

use super::super::parameters::row;
use super::super::path::{FIXINGS, KINDS as STOP_KINDS, MOST_STOPS, TAUT};
use super::super::reader::LONGEST_NAME;
use super::super::settings::{RIGID, built_in};
use super::super::tying::STOPS;
use super::place::placed;
use super::shape::table;
use super::value::{bare, described, flag, length, number, plain, text, words};
use serde_json::{Value, json};

pub(super) fn anchor() -> Value {
    let stiffness = bare(row("anchor-class.*.stiffness"));
    table(
        "an anchor in the scapula",
        vec![
            ("at", placed("where it sits")),
            (
                "class",
                text(
                    40,
                    &format!(
                        "its class: {}, or one of your own; all-suture when not given",
                        built_in("anchor-class").join(", ")
                    ),
                ),
            ),
            (
                "stiffness",
                json!({
                    "description": format!("{}, or \"{RIGID}\"; its class's when not given", described(&stiffness)),
                    "anyOf": [stiffness, { "const": RIGID }],
                }),
            ),
            ("holding", bare(row("anchor-class.*.holding"))),
        ],
        &["at"],
    )
}

pub(super) fn limb() -> Value {
    table(
        "a strand",
        vec![
            (
                "path",
                json!({
                    "type": "array",
                    "description": "its stops from end to end, the tie end last",
                    "items": stop(),
                    "minItems": 2,
                    "maxItems": MOST_STOPS,
                }),
            ),
            ("closed", flag("whether the last stop leads back to the first")),
            ("friction", friction()),
            (
                "strand",
                text(
                    40,
                    &format!("its class: {}, or one of your own; cord when not given", built_in("strand").join(", ")),
                ),
            ),
            (
                "fixing",
                words(
                    "how it is finished; a knot for a loop or a closed strand, knotless for a bridge when not given",
                    &FIXINGS,
                ),
            ),
            ("tension", bare(row("clamp.tension"))),
            ("knot_slack", bare(row("clamp.slack"))),
            ("knot_limit", bare(row("clamp.limit"))),
            ("group", text(40, "name under which its forces are summed")),
        ],
        &["path"],
    )
}

pub(super) fn friction() -> Value {
    let mut friction = bare(row("friction.rim"));
    friction["description"] =
        "friction coefficient of the strand here; that of rim, labrum, bone or eyelet when not given".into();
    friction
}

/// A stop of a limb: an anchor's name, `"rim"`, or a table with exactly one kind.
pub(super) fn stop() -> Value {
    let locked = || flag("whether a stitch is locked there, so that the strand does not run");
    let crossing = |about: &str| {
        table(
            about,
            vec![
                ("along", length(row("along"), row("along[percent]"))),
                ("friction", friction()),
                ("locked", locked()),
            ],
            &["along"],
        )
    };
    let mut keys: Vec<(&str, Value)> = STOP_KINDS
        .iter()
        .map(|&kind| {
            let value = match kind {
                "rim" => json!({
                    "description": "over the rim: at a place along it, or where the limb is shortest",
                    "anyOf": [crossing("at a place along the rim"), { "const": TAUT }],
                }),
                "margin" => crossing("round the medial margin of the fragment"),
                "bite" => {
                    let mut bite = crossing("through labrum");
                    bite["properties"]["below"] = bare(row("bite.below"));
                    bite["properties"]["stiffness"] = bare(row("bite.stiffness"));
                    bite
                }
                "over" => placed("over a place on the fragment"),
                _ => json!({ "type": "string", "description": "through the eyelet of this anchor", "pattern": plain(LONGEST_NAME) }),
            };
            (kind, value)
        })
        .collect();
    keys.extend([("friction", friction()), ("locked", locked())]);
    let mut one = table("a turning point", keys, &[]);
    one["oneOf"] = STOP_KINDS.iter().map(|kind| json!({ "required": [kind] })).collect();
    json!({
        "anyOf": [
            {
                "type": "string",
                "description": "an anchor's name, or \"rim\": over the rim where the limb is shortest",
                "pattern": plain(LONGEST_NAME),
                "not": { "const": "margin" },
            },
            one,
        ],
    })
}

pub(super) fn tying() -> Value {
    let one =
        || json!({ "type": "string", "description": "the name of a limb or screw", "pattern": plain(LONGEST_NAME) });
    let some = || {
        json!({
            "type": "array",
            "description": "limbs and screws that are pulled together",
            "items": one(),
            "minItems": 1,
        })
    };
    let tie = table(
        "a tie with what it needs said",
        vec![
            ("limbs", json!({ "anyOf": [one(), some()] })),
            ("stop", words("when the pull ends: at its tension, or when the fragment is reduced", &STOPS)),
            ("held", flag("whether the fragment is held by an instrument meanwhile")),
        ],
        &["limbs"],
    );
    table(
        "the order of ties",
        vec![
            (
                "order",
                json!({
                    "type": "array",
                    "description": "limbs and screws in the order in which they are tied, each once; as in the file when not given",
                    "items": { "anyOf": [one(), some(), tie] },
                    "minItems": 1,
                }),
            ),
            ("retained", number(row("tying.retained"))),
        ],
        &[],
    )
}
