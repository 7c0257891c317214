//! The inputs of a construct that can be varied.

use super::super::parameters::row;
use super::super::settings::Reach;
use super::super::{Case, Construct, ConstructFile, Edge, Fixing, LimbSpec, Stop, Tag};
use super::known::{Known, Owner};
use crate::anatomy::Place;

/// Keys that set a value for all limbs at once.
const OF_SETTINGS: [&str; 12] = [
    "friction.rim",
    "friction.labrum",
    "friction.bone",
    "friction.eyelet",
    "bite.stiffness",
    "bite.below",
    "knot.tension",
    "knot.slack",
    "knot.limit",
    "clamp.tension",
    "clamp.slack",
    "clamp.limit",
];

/// Adds an input, joining it to the one of the same path.
fn join(list: &mut Vec<Known>, new: Known) {
    match list.iter_mut().find(|k| k.path == new.path) {
        Some(known) => known.places.extend(new.places),
        None => list.push(new),
    }
}

/// Adds the inputs of a construct, each joined to that of the same path.
pub(super) fn of_construct(
    case: &Case,
    file: &ConstructFile,
    construct: &Construct,
    owner: Owner,
    list: &mut Vec<Known>,
) {
    let reach = Reach { construct: &file.settings, case: &case.settings };
    for limb in &construct.limbs {
        let kind = match limb.fixing {
            Fixing::Knot => "knot",
            Fixing::Knotless => "clamp",
        };
        for (key, part, value) in [
            ("tension", "tension", limb.tension),
            ("knot_slack", "slack", limb.knot_slack),
            ("knot_limit", "limit", limb.knot_limit),
        ] {
            let path = format!("limb.{}.{key}", limb.name);
            join(list, Known::of(path, row(&format!("{kind}.{part}")), owner, value));
        }
        crossings(case, limb, owner, list);
        let path = format!("strand.{}.rigidity", limb.strand.class);
        let row =
            super::super::parameters().iter().find(|p| p.path == path).unwrap_or_else(|| row("strand.*.rigidity"));
        if !list.iter().any(|k| k.path == path && k.places.iter().any(|p| p.0 == owner)) {
            join(list, Known::of(path, row, owner, limb.strand.rigidity));
        }
    }
    for anchor in &construct.anchors {
        let path = |key: &str| format!("anchor.{}.{key}", anchor.name);
        let class = format!("anchor-class.{}.stiffness", anchor.class);
        let class_row = super::super::parameter(&class);
        if let (Some(stiffness), Some(row)) = (anchor.stiffness, class_row) {
            join(list, Known::of(path("stiffness"), row, owner, stiffness));
            // An anchor with a stiffness of its own does not listen to its class.
            let own = file.anchors.iter().any(|a| a.name == anchor.name && a.stiffness.is_some());
            if !own && !list.iter().any(|k| k.path == class && k.places.iter().any(|p| p.0 == owner)) {
                join(list, Known::of(class, row, owner, stiffness));
            }
        }
        if let Some(holding) = anchor.holding {
            join(list, Known::of(path("holding"), row("anchor-class.*.holding"), owner, holding));
        }
        placing(case, &anchor.place, &path, owner, list);
    }
    for screw in &construct.screws {
        for (key, value) in [
            ("preload", screw.preload),
            ("foundation", screw.foundation),
            ("working_length", screw.working_length),
            ("modulus", screw.modulus),
        ] {
            let row = row(&format!("screw.*.{key}"));
            let path = format!("screw.{}.{key}", screw.name);
            join(list, Known::of(path, row, owner, value));
        }
    }
    for key in OF_SETTINGS {
        join(list, Known::of(key.into(), row(key), owner, reach.quiet(key)));
    }
    join(list, Known::of("tying.retained".into(), row("tying.retained"), owner, construct.retained));
}

/// Where a limb crosses rim or margin, for each crossing whose place is given: one that is taut finds
/// its place by itself. They are numbered along the limb, the free end first.
fn crossings(case: &Case, limb: &LimbSpec, owner: Owner, list: &mut Vec<Known>) {
    let given = limb.path.iter().filter_map(|stop| match stop {
        Stop::Crossing { edge: Edge::Rim | Edge::Margin, point: Some(point), .. } => Some(point),
        _ => None,
    });
    for (k, point) in given.enumerate() {
        let path = format!("limb.{}.crossing.{}.along", limb.name, k + 1);
        let along = (point - case.fragment.bed_origin()).dot(&case.fragment.along);
        let mut known = Known::of(path, row("along"), owner, along);
        known.percent = Some(row("along[percent]").allowed);
        join(list, known);
    }
}

/// Where an anchor sits, and how far it may land from there.
fn placing(case: &Case, place: &Place, path: &dyn Fn(&str) -> String, owner: Owner, list: &mut Vec<Known>) {
    let (along, second) = match *place {
        Place::Face { along, inset } => (Some(along), Some(("inset", inset))),
        Place::Wall { along, below } => (Some(along), Some(("below", below))),
        Place::Neck { along, beyond } => (Some(along), Some(("beyond", beyond))),
        Place::Crater { along, deep } => (Some(along), Some(("deep", deep))),
        Place::Rim { along } | Place::Margin { along } => (Some(along), None),
        Place::Clock { hours, inset } => {
            join(list, Known::of(path("hours"), row("hours"), owner, hours));
            join(list, Known::of(path("inset"), row("inset[rim]"), owner, inset));
            (None, None)
        }
        Place::Point(_) => (None, None),
    };
    if let Some(along) = along {
        let value = along.on(&case.fragment);
        let mut known = Known::of(path("along"), row("along"), owner, value);
        known.percent = Some(row("along[percent]").allowed);
        join(list, known);
    }
    if let Some((key, value)) = second {
        join(list, Known::of(path(key), row(key), owner, value));
    }
    let has_across = !matches!(place, Place::Rim { .. } | Place::Margin { .. });
    for (key, meaning, widest, offered) in [
        ("along_error", "how far an anchor lands from its place along the fracture line, positive superior", 2.0, true),
        (
            "across_error",
            "how far an anchor lands from its place across the fracture line, positive away from it",
            1.0,
            has_across,
        ),
    ] {
        if offered {
            join(
                list,
                Known {
                    path: path(key),
                    meaning: meaning.into(),
                    unit: "mm",
                    allowed: (-10.0, 10.0),
                    spread: [-widest, 0.0, widest],
                    tag: Tag::Assumed,
                    source: "placeholder: an anchor lands a millimetre off",
                    percent: None,
                    places: vec![(owner, 0.0)],
                },
            );
        }
    }
}
