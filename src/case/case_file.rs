//! Reads a case: socket, fragment, bed, soft tissue, loads and the displaced pose.

use super::document::{self, Node, Value};
use super::parameters::row;
use super::places::{At, Bone, clock, length_or_percent, locate, place, triple};
use super::problems::{Problem, Problems, SourceText, Span};
use super::reader::{Log, Section, number, word, wrong_type};
use super::settings::Settings;
use super::spread::read_spread;
use super::{
    BedSpec, Case, Displacement, EnvelopeSpec, LoadSpec, Rest, Side, Tag, TetherSpec, builtin,
};
use crate::anatomy::{Along, Fragment, FragmentShape, Place, Socket, clock_angle};
use crate::math::Vec3;
use std::path::Path;

/// Most tethers, and most loads.
pub(super) const MOST: usize = 12;
/// Sides in words.
pub(super) const SIDES: [(&str, Side); 2] = [("right", Side::Right), ("left", Side::Left)];
/// Where the envelope is at rest, in words.
pub(super) const RESTS: [(&str, Rest); 3] = [
    ("start", Rest::Start),
    ("reduced", Rest::Reduced),
    ("displaced", Rest::Displaced),
];
/// Since when a load acts, in words: whether already during tying.
pub(super) const SINCE: [(&str, bool); 2] = [("after tying", false), ("throughout", true)];
/// The face without curvature.
pub(super) const FLAT: &str = "flat";
/// Root keys that only a construct has.
const OF_A_CONSTRUCT: [&str; 3] = ["anchor", "limb", "tying"];
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

impl Case {
    /// Reads and checks a case file.
    ///
    /// # Errors
    /// Every mistake of the file, or why it could not be read.
    pub fn read(path: &Path) -> Result<Self, Problems> {
        Self::from_source(document::read(path)?, &builtin::stem(path))
    }

    /// Checks the text of a case; `name` stands for the file in messages and, without a directory
    /// and an ending, for the case when the text gives no `name`.
    ///
    /// # Errors
    /// Every mistake of the text.
    pub fn parse(name: &str, text: &str) -> Result<Self, Problems> {
        Self::from_source(SourceText::new(name, text), &builtin::stem(Path::new(name)))
    }

    /// A case by its argument: a path first, otherwise the name of a built-in case.
    ///
    /// # Errors
    /// As [`Case::read`]; a name that is neither is a missing file, with the built-in names.
    pub fn open(argument: &str) -> Result<Self, Problems> {
        let (source, stem) = builtin::resolve(argument, builtin::CASES)?;
        Self::from_source(source, &stem)
    }

    fn from_source(source: SourceText, stem: &str) -> Result<Self, Problems> {
        let (root, doubled) = document::parse(&source)?;
        let mut log = Log {
            problems: doubled,
            ..Log::default()
        };
        let case = read_case(&root, stem, &mut log);
        match case {
            Some(mut case) if log.problems.is_empty() => {
                case.defaults = log.taken;
                Ok(case)
            }
            _ => Err(Problems::new(source, log.problems)),
        }
    }
}

pub(super) fn read_case(root: &Node, stem: &str, log: &mut Log) -> Option<Case> {
    let mut root = Section::of(root, "", log)?;
    let name = root.name(log).unwrap_or_else(|| stem.into());
    let description = root.description(log);
    let side = root.word("side", &SIDES, log);
    if root.get("side").is_none() {
        root.missing("side", "write side = \"right\" or side = \"left\"", log);
    }
    let (fragment, socket_height) = read_fragment(&mut root, log);
    let bed = read_bed(&mut root, log);
    let envelope = read_envelope(&mut root, log);
    let tethers = read_tethers(&mut root, fragment.as_ref(), log);
    let loads = read_loads(&mut root, fragment.as_ref(), log);
    let displaced = read_displaced(&mut root, log);
    let mut seat = root.table("seat", log);
    let (seat_length, seat_stiffness) = (seat.number("length", log), seat.number("stiffness", log));
    seat.done(log);
    let mut anchors = root.table("anchors", log);
    let least_spacing = anchors.number("least_spacing", log);
    let least_rim_distance = anchors.number("least_rim_distance", log);
    anchors.done(log);
    let settings = Settings::read(&mut root, log);
    // Checked here with the rest of the file; studies of scatter read it again.
    read_spread(&mut root, &SourceText::new("", ""), log);
    root.finish((&OF_A_CONSTRUCT, "construct"), log);
    Some(Case {
        name,
        description,
        side: side?,
        fragment: fragment?,
        socket_height,
        bed,
        envelope,
        tethers,
        loads,
        displaced,
        seat_length,
        seat_stiffness,
        least_spacing,
        least_rim_distance,
        settings,
        defaults: Vec::new(),
        warnings: Vec::new(),
    })
}

/// Socket and fragment; `None` after any mistake in their numbers.
fn read_fragment(root: &mut Section<'_>, log: &mut Log) -> (Option<Fragment>, f64) {
    let before = log.problems.len();
    let mut spans: Vec<(&str, Span)> = Vec::new();
    let mut socket = root.table("socket", log);
    let here = socket.span.clone();
    let diameter = socket.number("diameter", log);
    let face_radius = match socket.get("face_radius") {
        Some(e) if matches!(&e.node.value, Value::Text(t) if t.trim() == FLAT) => None,
        Some(e) if matches!(e.node.value, Value::Text(_)) => {
            wrong_type(&e.node, "socket.face_radius", "a number or \"flat\"", log);
            None
        }
        _ => Some(socket.number("face_radius", log)),
    };
    let height = socket.number("height", log);
    for key in ["diameter", "face_radius"] {
        spans.push((
            key,
            socket
                .get(key)
                .map_or(here.clone(), |e| e.node.span.clone()),
        ));
    }
    socket.done(log);

    let mut section = root.table("fragment", log);
    let here = section.span.clone();
    let rows = (row("fragment.width"), row("fragment.width[percent]"));
    let width = match section.get("width") {
        Some(e) => length_or_percent(&e.node, "fragment.width", rows, log),
        None => {
            section.missing("width", &rows.0.about(), log);
            None
        }
    };
    let middle = match section.get("middle") {
        Some(e) => clock(&e.node, "fragment.middle", row("fragment.middle"), log),
        None => {
            section.missing(
                "middle",
                "the clock position of the fragment's middle, e.g. \"4:00\"; 3 is anterior on either side",
                log,
            );
            None
        }
    };
    let depth = section.number("depth", log);
    let tilt = section.number("tilt", log);
    let length = section.number_if("length", row("fragment.length"), log);
    for key in ["width", "depth", "tilt", "length"] {
        spans.push((
            key,
            section
                .get(key)
                .map_or(here.clone(), |e| e.node.span.clone()),
        ));
    }
    section.done(log);
    let (Some(width), Some(middle)) = (width, middle) else {
        return (None, height);
    };
    if log.problems.len() > before {
        return (None, height);
    }
    let shape = FragmentShape {
        width: match width {
            Along::Mm(mm) => mm,
            Along::Percent(p) => 0.01 * p * diameter,
        },
        direction: clock_angle(middle),
        depth,
        tilt: tilt.to_radians(),
        length,
    };
    let socket = Socket {
        radius: 0.5 * diameter,
        face_radius,
    };
    match Fragment::new(socket, shape) {
        Ok(fragment) => (Some(fragment), height),
        Err(e) => {
            let span = spans
                .iter()
                .find(|s| s.0 == e.look_at)
                .map_or(here, |s| s.1.clone());
            log.push(
                Problem::at(
                    span,
                    e.message.clone(),
                    format!("look at `{}` first", e.look_at),
                )
                .hint("measure again on CT: these numbers cannot belong to one socket"),
            );
            (None, height)
        }
    }
}

fn read_bed(root: &mut Section<'_>, log: &mut Log) -> BedSpec {
    let mut s = root.table("bed", log);
    let bed = BedSpec {
        friction: s.number("friction", log),
        normal_stiffness: s.number("normal_stiffness", log),
        shear_stiffness: s.number("shear_stiffness", log),
        crush_strength: s.number("crush_strength", log),
        edge_width: s.number("edge_width", log),
        cells: s.number("cells", log) as usize,
    };
    s.done(log);
    bed
}

fn read_envelope(root: &mut Section<'_>, log: &mut Log) -> Option<EnvelopeSpec> {
    let mut s = root.table("envelope", log);
    let shift_stiffness = s.number("shift_stiffness", log);
    let turn_stiffness = s.number("turn_stiffness", log);
    let none = shift_stiffness == 0.0 && turn_stiffness == 0.0;
    if s.get("rest").is_none() && !none {
        log.note(
            "envelope.rest",
            "start",
            "",
            Tag::Assumed,
            "tissue at rest where tying starts, so that an untied fragment stays where it lies",
        );
    }
    let rest = s.word("rest", &RESTS, log);
    s.done(log);
    (!none).then_some(EnvelopeSpec {
        shift_stiffness,
        turn_stiffness,
        rest: rest.unwrap_or(Rest::Start),
    })
}

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

fn read_tethers(root: &mut Section<'_>, on: Option<&Fragment>, log: &mut Log) -> Vec<TetherSpec> {
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
        tethers.push(TetherSpec {
            name,
            fragment,
            scapula,
            stiffness,
            slack,
        });
    }
    tethers
}

fn read_loads(root: &mut Section<'_>, on: Option<&Fragment>, log: &mut Log) -> Vec<LoadSpec> {
    let mut loads = Vec::new();
    for (name, _, mut s) in root.named("load", MOST, log) {
        let at = located(&mut s, "at", Bone::Fragment, on, log);
        let force = read_force(&mut s, log);
        let path = s.at("when");
        if s.get("when").is_none() {
            log.note(
                &path,
                "after tying",
                "",
                Tag::Assumed,
                "the patient is relaxed meanwhile",
            );
        }
        let during_tying = s.word("when", &SINCE, log).unwrap_or(false);
        s.done(log);
        if let (Some(at), Some(force)) = (at, force) {
            loads.push(LoadSpec {
                name,
                at,
                force,
                during_tying,
            });
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
        s.missing(
            "direction",
            "a word like \"anterior\" or three numbers [x, y, z]",
            log,
        );
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
                Problem::at(
                    direction.node.span.clone(),
                    format!("`{direction_path}` has no length"),
                    "no direction",
                )
                .hint("x anterior, y superior, z lateral"),
            );
            None
        }
    }
}

fn read_displaced(root: &mut Section<'_>, log: &mut Log) -> Displacement {
    let given = root.get("displaced").is_some();
    let mut s = root.table("displaced", log);
    // A pose that is given is given whole: what it does not name is zero. No pose at all is a
    // default like any other, and recorded.
    let mut component = |key: &'static str| {
        if given {
            let row = row(&format!("displaced.{key}"));
            s.number_if(key, row, log).unwrap_or(0.0)
        } else {
            s.number(key, log)
        }
    };
    let displaced = Displacement {
        inferior: component("inferior"),
        medial: component("medial"),
        out_of_bed: component("out_of_bed"),
        tilt: component("tilt").to_radians(),
        spin: component("spin").to_radians(),
        yaw: component("yaw").to_radians(),
    };
    s.done(log);
    displaced
}
