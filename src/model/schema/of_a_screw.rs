//! A screw of a construct.

use super::super::parameters::row;
use super::place::placed;
use super::shape::table;
use super::value::{bare, number, text, triple};
use serde_json::{Value, json};

pub(super) fn screw() -> Value {
    let mut one = table(
        "a lag screw through the fragment into the scapula",
        vec![
            ("at", placed("where its head sits on the fragment")),
            ("direction", triple(row("screw.*.direction"))),
            ("toward", placed("a place in the scapula that it is aimed at")),
            ("group", text(40, "name under which its forces are summed")),
            ("diameter", number(row("screw.*.diameter"))),
            ("core", bare(row("screw.*.core"))),
            ("head", number(row("screw.*.head"))),
            ("modulus", number(row("screw.*.modulus"))),
            ("working_length", number(row("screw.*.working_length"))),
            ("foundation", number(row("screw.*.foundation"))),
            ("preload", number(row("screw.*.preload"))),
        ],
        &["at"],
    );
    // Aimed along a direction or at a place, or square to the fracture plane.
    one["not"] = json!({ "required": ["direction", "toward"] });
    one
}
