//! What acts on the fragment beside limbs and bed: tethers and loads.

use super::case_file::MOST;
use super::document::Value;
use super::parameters::row;
use super::places::{At, Bone, locate, place, triple};
use super::problems::Span;
use super::reader::{Log, Section, number, word};
use super::{LoadSpec, Tag, TetherSpec};
use crate::anatomy::{Fragment, Place};
use crate::math::Vec3;

/// Since when a load acts, in words: whether already during tying.
pub(super) const SINCE: [(&str, bool); 2] = [("after tying", false), ("throughout", true)];
/// Directions in words, in the socket frame.
pub(super) const DIRECTIONS: [(&str, [f64; 3]); 7] = [
    ("anterior", [1.0, 0.0, 0.0]),
    ("posterior", [-1.0, 0.0, 0.0]),
    ("superior", [0.0, 1.0, 0.0]),
    ("inferior", [0.0, -1.0, 0.0]),
    ("medial", [0.0, 0.0, -1.0]),
    ("lateral", [0.0, 0.0, 1.0]),
    ("anteromedial", [1.0, 0.0, -1.0]),
];

/// A tether as it was written.
#[derive(Debug, Clone)]
pub(super) struct RawTether {
    pub name: String,
    pub span: Span,
    /// Its ends; none where the file does not say one that can be read.
    pub fragment: Option<At<Place>>,
    pub scapula: Option<At<Place>>,
    pub stiffness: f64,
    pub slack: f64,
}

/// A load as it was written.
#[derive(Debug, Clone)]
pub(super) struct RawLoad {
    pub name: String,
    at: At<Place>,
    /// Its magnitude, where it has one, along a unit vector; otherwise the force itself.
    pub magnitude: Option<f64>,
    force: Vec3,
    during_tying: bool,
}

impl RawTether {
    pub fn build(&self, on: &Fragment, log: &mut Log) -> Option<TetherSpec> {
        let name = &self.name;
        let mut end = |place: &Option<At<Place>>, key: &str, bone: Bone| {
            locate(on, place.as_ref()?, &format!("tether.{name}.{key}"), bone, log)
        };
        let fragment = end(&self.fragment, "fragment", Bone::Fragment);
        let scapula = end(&self.scapula, "scapula", Bone::Scapula);
        let (fragment, scapula) = (fragment?, scapula?);
        let length = (fragment - scapula).norm();
        // Shorter than this it has no direction to pull in.
        if length < 0.1 {
            log.wrong(
                self.span.clone(),
                format!("the ends of the tether `{name}` coincide"),
                format!("{length:.3} mm apart"),
                "put the scapula end a few millimetres away from the fragment end",
            );
        }
        Some(TetherSpec { name: name.clone(), fragment, scapula, stiffness: self.stiffness, slack: self.slack })
    }
}

impl RawLoad {
    /// Path of its magnitude.
    pub fn path(&self) -> String {
        format!("load.{}.force", self.name)
    }

    pub fn build(&self, on: &Fragment, log: &mut Log) -> Option<LoadSpec> {
        let at = locate(on, &self.at, &format!("load.{}.at", self.name), Bone::Fragment, log)?;
        let force = self.force * self.magnitude.unwrap_or(1.0);
        Some(LoadSpec { name: self.name.clone(), at, force, during_tying: self.during_tying })
    }
}

const END: &str = "a place like { margin = { along = \"-95 %\" } }";

pub(super) fn read_tethers(root: &mut Section<'_>, log: &mut Log) -> Vec<RawTether> {
    let mut tethers = Vec::new();
    for (name, span, mut s) in root.named("tether", MOST, log) {
        let (fragment, scapula) = (s.required("fragment", END, log, place), s.required("scapula", END, log, place));
        let stiffness = s.number_as("stiffness", row("tether.*.stiffness"), log);
        let slack = s.number_as("slack", row("tether.*.slack"), log);
        s.done(log);
        tethers.push(RawTether { name, span, fragment, scapula, stiffness, slack });
    }
    tethers
}

pub(super) fn read_loads(root: &mut Section<'_>, log: &mut Log) -> Vec<RawLoad> {
    let mut loads = Vec::new();
    for (name, _, mut s) in root.named("load", MOST, log) {
        let at = s.required("at", END, log, place);
        let force = read_force(&mut s, log);
        let path = s.at("when");
        if s.get("when").is_none() {
            log.note(&path, "after tying", "", Tag::Assumed, "the patient is relaxed meanwhile");
        }
        let during_tying = s.word("when", &SINCE, log).unwrap_or(false);
        s.done(log);
        let Some(at) = at else {
            continue;
        };
        // A force that cannot be read is told; where it acts is looked at all the same.
        let (magnitude, force) = force.unwrap_or((None, Vec3::zeros()));
        loads.push(RawLoad { name, at, magnitude, force, during_tying });
    }
    loads
}

/// A force by its components, or a magnitude and a unit vector.
fn read_force(s: &mut Section<'_>, log: &mut Log) -> Option<(Option<f64>, Vec3)> {
    let (path, direction_path) = (s.at("force"), s.at("direction"));
    let direction = s.get("direction");
    let Some(force) = s.get("force") else {
        s.missing("force", &row("load.*.force").about(), log);
        return None;
    };
    if let Value::List(_) = force.node.value {
        if let Some(d) = direction {
            log.wrong(
                d.key_span.clone(),
                format!("`{direction_path}` has nothing to turn"),
                "the force already has a direction",
                "leave out `direction`, or give `force` as one number",
            );
        }
        return triple(&force.node, &path, row("load.*.force"), log).map(|force| (None, force.into()));
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
    let Some(unit) = Vec3::from(vector).try_normalize(1e-9) else {
        let what = format!("`{direction_path}` has no length");
        return log.refuse(direction.node.span.clone(), what, "no direction", "x anterior, y superior, z lateral");
    };
    Some((Some(size?), unit))
}
