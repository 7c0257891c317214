//! What a construct says of a search for better places.

use super::super::parameters::row;
use super::super::place::{LONGEST_PATH, MOST_CONES, MOST_FREE};
use super::super::reader::LONGEST_NAME;
use super::shape::{named, table};
use super::value::{bare, length, number, plain, text, triple};
use serde_json::{Value, json};

pub(super) fn searched() -> Value {
    let end = || length(row("place.bound"), row("place.bound[percent]"));
    let free = table(
        "free variables of one path and their range; the usual range when it is not given",
        vec![
            (
                "path",
                text(
                    LONGEST_PATH,
                    "dotted path, * for any name: anchor.NAME.along, limb.NAME.crossing.1.along, limb.NAME.tension; `rimhold place --variables` lists them",
                ),
            ),
            ("low", end()),
            ("high", end()),
        ],
        &["path"],
    );
    let limits = ["spacing", "rim_distance", "cartilage", "peak_pressure", "used"]
        .iter()
        .map(|&key| (key, number(row(&format!("place.limits.{key}")))))
        .collect();
    let cone = table(
        "a portal through which anchors are set",
        vec![
            ("portal", triple(row("point"))),
            ("half_angle", bare(row("place.reach.*.half_angle"))),
            (
                "anchors",
                json!({
                    "type": "array",
                    "description": "anchors set through it; all free ones when not given",
                    "items": { "type": "string", "pattern": plain(LONGEST_NAME) },
                    "minItems": 1,
                }),
            ),
        ],
        &["portal", "half_angle"],
    );
    table(
        "what `rimhold place` may change, within which bounds, and what its answer must keep",
        vec![
            (
                "free",
                json!({
                    "type": "array",
                    "description": "free variables; both coordinates of every anchor that a bridge uses when not given",
                    "items": free,
                    "minItems": 1,
                    "maxItems": MOST_FREE,
                }),
            ),
            ("limits", table("what the answer must keep", limits, &[])),
            ("reach", named("portals and how far instruments through them may lean", cone, MOST_CONES, &[])),
        ],
        &[],
    )
}
