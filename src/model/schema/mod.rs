//! The two kinds of file as JSON Schema (draft 07, which editors' TOML servers read), so that an
//! editor completes keys and marks mistakes while a person types.
//!
//! Numbers, ranges, defaults and their backing come from the table of parameters; words, names and
//! limits are the reader's own. What keys a table has is written here a second time, and a test holds
//! it against what the reader asks for.
//!
//! A schema sees one file and no bone: whether a place lies on this fragment, whether an anchor that a
//! path names exists, and whether the order ties every limb once, only `rimhold check` tells.

#[cfg(test)]
mod asked;
mod of_a_case;
mod of_a_construct;
mod of_a_place;
mod of_a_screw;
mod of_both;
mod place;
mod shape;
mod value;

use super::case_file::{FLAT, MOST, RESTS, SIDES};
use super::construct_file::{MOST as MOST_OF_A_CONSTRUCT, RESERVED};
use super::parameters::row;
use of_a_case::{displaced, load, tether};
use of_a_construct::{anchor, limb, tying};
use of_a_place::searched;
use of_a_screw::screw;
use of_both::settings;
use place::place;
use serde_json::{Value, json};
use shape::{filled, named, numbers, table};
use value::{clock, description, length, name, number, number_or, words};

/// The schema of a case file.
pub fn case_schema() -> Value {
    let mut keys = vec![
        ("name", name()),
        ("description", description()),
        ("side", words("which shoulder", &SIDES)),
        (
            "socket",
            table(
                "the socket, as measured on CT",
                vec![
                    ("diameter", number(row("socket.diameter"))),
                    ("face_radius", number_or(row("socket.face_radius"), FLAT, "no curvature")),
                    ("height", number(row("socket.height"))),
                ],
                &["diameter"],
            ),
        ),
        (
            "fragment",
            table(
                "the fragment, as measured on CT",
                vec![
                    ("width", length(row("fragment.width"), row("fragment.width[percent]"))),
                    ("middle", clock(row("fragment.middle"))),
                    ("depth", number(row("fragment.depth"))),
                    ("tilt", number(row("fragment.tilt"))),
                    ("length", number(row("fragment.length"))),
                ],
                &["width", "middle"],
            ),
        ),
        (
            "bed",
            numbers(
                "the fracture bed",
                "bed",
                &["friction", "normal_stiffness", "shear_stiffness", "crush_strength", "edge_width", "cells"],
            ),
        ),
        (
            "envelope",
            table(
                "soft tissue still attached; both stiffnesses 0 for a bare fragment",
                vec![
                    ("shift_stiffness", number(row("envelope.shift_stiffness"))),
                    ("turn_stiffness", number(row("envelope.turn_stiffness"))),
                    ("rest", words("in which pose it is at rest; where tying starts when not given", &RESTS)),
                ],
                &[],
            ),
        ),
        ("tether", named("hinges and labral tethers, which only pull", tether(), MOST, &[])),
        ("load", named("constant forces on the fragment", load(), MOST, &[])),
        ("displaced", displaced()),
        ("seat", numbers("limb segments so short that they seat on bone", "seat", &["length", "stiffness"])),
        (
            "anchors",
            numbers(
                "distances below which anchors are warned about",
                "anchors",
                &["least_spacing", "least_rim_distance"],
            ),
        ),
        (
            "spread",
            // Its keys are those of cases and constructs with a distribution at each, and any name may
            // be `*`: more than a schema tells better than the reader does.
            json!({
                "type": "object",
                "description": "how far inputs are in doubt, for `rimhold scatter`: a distribution at the dotted path of each, e.g. bed.friction = { triangular = [0.3, 0.5, 0.9] }; `rimhold scatter --inputs` lists the paths",
                "minProperties": 1,
            }),
        ),
    ];
    keys.extend(settings());
    root(
        "rimhold case",
        "A socket, its fragment, the bed, soft tissue, loads and the displaced pose. Lengths in mm, angles in degrees, forces in N.",
        keys,
        &["side", "socket", "fragment"],
    )
}

/// The schema of a construct file.
pub fn construct_schema() -> Value {
    let mut keys = vec![
        ("name", name()),
        ("description", description()),
        ("anchor", filled(named("anchors in the scapula", anchor(), MOST_OF_A_CONSTRUCT, &RESERVED))),
        ("limb", filled(named("strands from anchor to anchor over the fragment", limb(), MOST_OF_A_CONSTRUCT, &[]))),
        ("screw", filled(named("lag screws through the fragment", screw(), MOST_OF_A_CONSTRUCT, &[]))),
        ("tying", tying()),
        ("place", searched()),
    ];
    keys.extend(settings());
    let mut schema = root(
        "rimhold construct",
        "Anchors, limbs, screws and the order in which they are tied. Lengths in mm, forces in N.",
        keys,
        &[],
    );
    // Limbs need anchors; screws stand alone.
    schema["anyOf"] = json!([{ "required": ["anchor", "limb"] }, { "required": ["screw"] }]);
    schema
}

fn root(title: &str, about: &str, keys: Vec<(&str, Value)>, required: &[&str]) -> Value {
    let mut schema = table(&format!("{about} {}", crate::CAUTION), keys, required);
    schema["$schema"] = "http://json-schema.org/draft-07/schema#".into();
    schema["title"] = title.into();
    schema["definitions"] = json!({ "place": place() });
    schema
}
