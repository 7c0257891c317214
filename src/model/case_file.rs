//! Reads a case: socket, fragment, bed, soft tissue, loads and the displaced pose.

use super::document::{self, Node, Value};
use super::forces::{read_loads, read_tethers};
use super::parameters::row;
use super::places::{clock, length_or_percent};
use super::problems::{Problem, Problems, SourceText, Span};
use super::reader::{Log, Section};
use super::settings::Settings;
use super::spread::read_spread;
use super::value::wrong_type;
use super::{BedSpec, Case, Displacement, EnvelopeSpec, Rest, Side, Tag, builtin};
use crate::anatomy::{Along, Fragment, FragmentShape, Socket, clock_angle};
use std::path::Path;

/// Most tethers, and most loads.
pub(super) const MOST: usize = 12;
/// Sides in words.
pub(super) const SIDES: [(&str, Side); 2] = [("right", Side::Right), ("left", Side::Left)];
/// Where the envelope is at rest, in words.
pub(super) const RESTS: [(&str, Rest); 3] =
    [("start", Rest::Start), ("reduced", Rest::Reduced), ("displaced", Rest::Displaced)];
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
        let mut log = Log { problems: doubled, ..Log::default() };
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
        spans.push((key, socket.get(key).map_or(here.clone(), |e| e.node.span.clone())));
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
        spans.push((key, section.get(key).map_or(here.clone(), |e| e.node.span.clone())));
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
    let socket = Socket { radius: 0.5 * diameter, face_radius };
    match Fragment::new(socket, shape) {
        Ok(fragment) => (Some(fragment), height),
        Err(e) => {
            let span = spans.iter().find(|s| s.0 == e.look_at).map_or(here, |s| s.1.clone());
            log.push(
                Problem::at(span, e.message.clone(), format!("look at `{}` first", e.look_at))
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
    (!none).then_some(EnvelopeSpec { shift_stiffness, turn_stiffness, rest: rest.unwrap_or(Rest::Start) })
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
