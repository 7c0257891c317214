//! The inputs of a construct that can be varied.

use super::super::parameters::{Access, parameters, row, rows_of};
use super::super::places::{along_of, numbers_of};
use super::super::settings::Reach;
use super::super::{Case, Construct, ConstructFile, Edge, Fixing, LimbSpec, Stop};
use super::known::{Known, Owner};
use crate::anatomy::Place;

/// Numbers of a screw that move the answer and are no choice of size.
const OF_A_SCREW: [&str; 4] = ["preload", "foundation", "working_length", "modulus"];

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
    for screw in &file.screws {
        for row in rows_of("screw.*").filter(|row| OF_A_SCREW.contains(&row.key())) {
            if let Access::Screw(at) = row.access {
                join(list, Known::of(format!("screw.{}.{}", screw.name, row.key()), row, owner, (at.get)(screw)));
            }
        }
    }
    for row in parameters() {
        match row.access {
            Access::Setting => join(list, Known::of(row.path.into(), row, owner, reach.quiet(row.path))),
            Access::Tying(at) => {
                join(list, Known::of(row.path.into(), row, owner, (at.get)(&construct.tying)));
            }
            _ => {}
        }
    }
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
    let mut place = *place;
    if let Some(along) = along_of(&mut place) {
        let mut known = Known::of(path("along"), row("along"), owner, along.on(&case.fragment));
        known.percent = Some(row("along[percent]").allowed);
        join(list, known);
    }
    for (key, of, value) in numbers_of(&mut place) {
        join(list, Known::of(path(key), row(of), owner, *value));
    }
    let has_across = !matches!(place, Place::Rim { .. } | Place::Margin { .. });
    for key in ["along_error", "across_error"].into_iter().take(1 + usize::from(has_across)) {
        join(list, Known::of(path(key), row(&format!("anchor.*.{key}")), owner, 0.0));
    }
}
