//! Reads what acts on the fragment beside limbs and bed: tethers and loads.

use super::case_file::{DIRECTIONS, MOST, SINCE};
use super::document::Value;
use super::parameters::row;
use super::places::{At, Bone, locate, place, triple};
use super::problems::Problem;
use super::reader::{Log, Section};
use super::value::{number, word};
use super::{LoadSpec, Tag, TetherSpec};
use crate::anatomy::{Fragment, Place};
use crate::math::Vec3;

/// The place under `key`, put on its bone once there is a fragment to put it on.
fn located(
    s: &mut Section<'_>,
    key: &'static str,
    bone: Bone,
    fragment: Option<&Fragment>,
    log: &mut Log,
) -> Option<Vec3> {
    let path = s.at(key);
    let Some(entry) = s.get(key) else {
        s.missing(key, "a place like { margin = { along = \"-95 %\" } }", log);
        return None;
    };
    let place: At<Place> = place(&entry.node, &path, log)?;
    locate(fragment?, &place, &path, bone, log)
}

pub(super) fn read_tethers(root: &mut Section<'_>, on: Option<&Fragment>, log: &mut Log) -> Vec<TetherSpec> {
    let mut tethers = Vec::new();
    for (name, span, mut s) in root.named("tether", MOST, log) {
        let fragment = located(&mut s, "fragment", Bone::Fragment, on, log);
        let scapula = located(&mut s, "scapula", Bone::Scapula, on, log);
        let stiffness = s.number_as("stiffness", row("tether.*.stiffness"), log);
        let slack = s.number_as("slack", row("tether.*.slack"), log);
        s.done(log);
        let (Some(fragment), Some(scapula)) = (fragment, scapula) else {
            continue;
        };
        // Shorter than this it has no direction to pull in.
        if (fragment - scapula).norm() < 0.1 {
            log.push(
                Problem::at(
                    span,
                    format!("the ends of the tether `{name}` coincide"),
                    format!("{:.3} mm apart", (fragment - scapula).norm()),
                )
                .hint("put the scapula end a few millimetres away from the fragment end"),
            );
        }
        tethers.push(TetherSpec { name, fragment, scapula, stiffness, slack });
    }
    tethers
}

pub(super) fn read_loads(root: &mut Section<'_>, on: Option<&Fragment>, log: &mut Log) -> Vec<LoadSpec> {
    let mut loads = Vec::new();
    for (name, _, mut s) in root.named("load", MOST, log) {
        let at = located(&mut s, "at", Bone::Fragment, on, log);
        let force = read_force(&mut s, log);
        let path = s.at("when");
        if s.get("when").is_none() {
            log.note(&path, "after tying", "", Tag::Assumed, "the patient is relaxed meanwhile");
        }
        let during_tying = s.word("when", &SINCE, log).unwrap_or(false);
        s.done(log);
        if let (Some(at), Some(force)) = (at, force) {
            loads.push(LoadSpec { name, at, force, during_tying });
        }
    }
    loads
}

fn read_force(s: &mut Section<'_>, log: &mut Log) -> Option<Vec3> {
    let (path, direction_path) = (s.at("force"), s.at("direction"));
    let direction = s.get("direction");
    let Some(force) = s.get("force") else {
        s.missing("force", &row("load.*.force").about(), log);
        return None;
    };
    if let Value::List(_) = force.node.value {
        if let Some(d) = direction {
            log.push(
                Problem::at(
                    d.key_span.clone(),
                    format!("`{direction_path}` has nothing to turn"),
                    "the force already has a direction",
                )
                .hint("leave out `direction`, or give `force` as one number"),
            );
        }
        return triple(&force.node, &path, row("load.*.force"), log).map(Vec3::from);
    }
    let size = number(&force.node, &path, row("load.*.force[magnitude]"), log);
    let Some(direction) = direction else {
        s.missing("direction", "a word like \"anterior\" or three numbers [x, y, z]", log);
        return None;
    };
    let vector = match direction.node.value {
        Value::List(_) => triple(&direction.node, &direction_path, row("point"), log)?,
        _ => word(&direction.node, &direction_path, &DIRECTIONS, log)?,
    };
    let vector = Vec3::from(vector);
    match vector.try_normalize(1e-9) {
        Some(unit) => Some(unit * size?),
        None => {
            log.push(
                Problem::at(direction.node.span.clone(), format!("`{direction_path}` has no length"), "no direction")
                    .hint("x anterior, y superior, z lateral"),
            );
            None
        }
    }
}
