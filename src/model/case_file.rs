//! Reads a case: socket, fragment, bed, soft tissue, loads and the displaced pose.

use super::document::{self, Node, Value};
use super::forces::{RawLoad, RawTether, read_loads, read_tethers};
use super::parameters::{Access, parameter, row, rows_of};
use super::phases::{read_direction, read_phases};
use super::places::{clock, length_or_percent};
use super::problems::{Problems, SourceText, Span};
use super::reader::{Log, Section, is_word, whole, wrong_type};
use super::settings::Settings;
use super::spread::{SpreadTable, read_spread};
use super::{
    AnchorLimits, BedSpec, Case, Displacement, EnvelopeSpec, JointSpec, PhaseSpec, Rest, SeatSpec, SettlingSpec, Side,
    Tag, builtin,
};
use crate::anatomy::{Along, Fragment, FragmentShape, Socket, clock_angle};
use std::path::Path;

/// Most tethers, and most loads.
pub(super) const MOST: usize = 12;
/// Sides in words.
pub(super) const SIDES: [(&str, Side); 2] = [("right", Side::Right), ("left", Side::Left)];
/// Where the envelope is at rest, in words.
pub(super) const RESTS: [(&str, Rest); 3] =
    [("start", Rest::Start), ("reduced", Rest::Reduced), ("displaced", Rest::Displaced)];
/// The face without curvature.
pub(super) const FLAT: &str = "flat";
/// Root keys that only a construct has.
const OF_A_CONSTRUCT: [&str; 5] = ["anchor", "limb", "screw", "tying", "place"];

/// A case as it was written, in the units of its file. Its numbers can be set and the case built again;
/// what cannot be built is told in the words of a file that was typed.
#[derive(Debug, Clone)]
pub struct CaseFile {
    pub(super) name: String,
    pub(super) description: String,
    pub(super) source: SourceText,
    pub(super) side: Side,
    pub(super) socket: SocketMeasures,
    pub(super) shape: ShapeMeasures,
    pub(super) bed: BedSpec,
    pub(super) envelope: EnvelopeSpec,
    pub(super) tethers: Vec<RawTether>,
    pub(super) loads: Vec<RawLoad>,
    pub(super) displaced: Displacement,
    pub(super) seat: SeatSpec,
    pub(super) anchors: AnchorLimits,
    pub(super) settling: SettlingSpec,
    pub(super) cycled: Option<super::Direction>,
    pub(super) phases: Vec<PhaseSpec>,
    pub(super) joint: JointSpec,
    pub(super) settings: Settings,
    pub(super) spread: Option<SpreadTable>,
}

/// The socket as it was measured, mm.
#[derive(Debug, Clone)]
pub(super) struct SocketMeasures {
    pub diameter: f64,
    /// None of a flat face.
    pub face_radius: Option<f64>,
    pub height: f64,
}

/// The fragment as it was measured: mm, hours, degrees.
#[derive(Debug, Clone)]
pub(super) struct ShapeMeasures {
    pub width: Along,
    pub middle: f64,
    pub depth: f64,
    pub tilt: f64,
    pub length: Option<f64>,
    /// Where each measurement stands, for what is said of an impossible shape.
    pub spans: Vec<(&'static str, Span)>,
}

impl Case {
    /// Reads and checks a case file.
    ///
    /// # Errors
    /// Every mistake of the file, or why it could not be read.
    pub fn read(path: &Path) -> Result<Self, Problems> {
        CaseFile::from_source(document::read(path)?, &builtin::stem(path)).map(|read| read.1)
    }

    /// Checks the text of a case; `name` stands for the file in messages and, without a directory
    /// and an ending, for the case when the text gives no `name`.
    ///
    /// # Errors
    /// Every mistake of the text.
    pub fn parse(name: &str, text: &str) -> Result<Self, Problems> {
        CaseFile::parse(name, text).map(|read| read.1)
    }

    /// A case by its argument: a path first, otherwise the name of a built-in case.
    ///
    /// # Errors
    /// As [`Case::read`]; a name that is neither is a missing file, with the built-in names.
    pub fn open(argument: &str) -> Result<Self, Problems> {
        CaseFile::open(argument).map(|read| read.1)
    }
}

impl CaseFile {
    /// A case by its argument, as it was written and ready.
    pub(super) fn open(argument: &str) -> Result<(Self, Case), Problems> {
        let (source, stem) = builtin::resolve(argument, builtin::CASES)?;
        Self::from_source(source, &stem)
    }

    /// The text of a case, as it was written and ready.
    pub(crate) fn parse(name: &str, text: &str) -> Result<(Self, Case), Problems> {
        Self::from_source(SourceText::new(name, text), &builtin::stem(Path::new(name)))
    }

    /// The number at a path of its own; `None` where it has none.
    #[cfg(feature = "cli")]
    pub(crate) fn number(&self, path: &str) -> Option<f64> {
        match parameter(path)?.access {
            Access::Case(at) | Access::Fixed(at) => Some((at.get)(self)).filter(|value| value.is_finite()),
            _ => None,
        }
    }

    fn from_source(source: SourceText, stem: &str) -> Result<(Self, Case), Problems> {
        let ((file, mut case), log) = whole(source, |root, source, log| {
            let file = read_case(root, source, stem, log)?;
            let case = file.build(log)?;
            Some((file, case))
        })?;
        case.defaults = log.taken;
        Ok((file, case))
    }

    /// Sets the input of a path; without effect where there is none.
    pub(super) fn set(&mut self, path: &str, to: Along) {
        let (Along::Mm(value) | Along::Percent(value)) = to;
        let parts: Vec<&str> = path.split('.').collect();
        match (parts.as_slice(), parameter(path).map(|row| row.access)) {
            (["fragment", "width"], _) => self.shape.width = to,
            (["load", name, "force"], _) => {
                if let Some(load) = self.loads.iter_mut().find(|l| l.name == *name) {
                    load.magnitude = Some(value);
                }
            }
            (["tether", name, _], Some(Access::Tether(at))) => {
                if let Some(tether) = self.tethers.iter_mut().find(|t| t.name == *name) {
                    (at.set)(tether, value);
                }
            }
            (_, Some(Access::Case(at) | Access::Fixed(at))) => (at.set)(self, value),
            _ => self.settings.set(path, value),
        }
    }

    /// Width of the fragment, mm.
    pub(super) fn width(&self) -> f64 {
        match self.shape.width {
            Along::Mm(mm) => mm,
            Along::Percent(p) => 0.01 * p * self.socket.diameter,
        }
    }

    /// The case with these numbers; every place that is off the bone is told, and a shape that cannot be.
    pub(super) fn build(&self, log: &mut Log) -> Option<Case> {
        let before = log.problems.len();
        let fragment = self.fragment(log);
        let fragment = fragment.as_ref();
        let tethers = self.tethers.iter().filter_map(|t| t.build(fragment?, log)).collect();
        let loads = self.loads.iter().filter_map(|l| l.build(fragment?, log)).collect();
        let none = self.envelope.shift_stiffness == 0.0 && self.envelope.turn_stiffness == 0.0;
        let fragment = fragment.filter(|_| log.problems.len() == before)?.clone();
        Some(Case {
            name: self.name.clone(),
            description: self.description.clone(),
            side: self.side,
            fragment,
            socket_height: self.socket.height,
            bed: self.bed,
            envelope: (!none).then_some(self.envelope),
            tethers,
            loads,
            displaced: self.displaced,
            seat: self.seat,
            anchors: self.anchors,
            settling: self.settling,
            cycled: self.cycled.clone(),
            phases: self.phases.clone(),
            joint: self.joint,
            settings: self.settings.clone(),
            defaults: Vec::new(),
            warnings: Vec::new(),
        })
    }

    /// Socket and fragment; `None` where the measurements cannot belong together.
    fn fragment(&self, log: &mut Log) -> Option<Fragment> {
        let (measured, width) = (&self.shape, self.width());
        // A measurement that is missing or out of range is told already.
        let all = [self.socket.diameter, width, measured.middle, measured.depth, measured.tilt];
        if all.iter().chain(&self.socket.face_radius).chain(&measured.length).any(|v| v.is_nan()) {
            return None;
        }
        let span = |key: &str| measured.spans.iter().find(|s| s.0 == key).map_or(0..0, |s| s.1.clone());
        // In either unit the same widths are allowed: those in mm, up to the circle's radius.
        let of_width = row("fragment.width");
        if !of_width.accepts(width) {
            let message = format!("`fragment.width` is {width:.2} mm of this circle, outside its range");
            return log.refuse(span("width"), message, format!("allowed: {}", of_width.range()), of_width.about());
        }
        let shape = FragmentShape {
            width,
            direction: clock_angle(measured.middle),
            depth: measured.depth,
            tilt: measured.tilt.to_radians(),
            length: measured.length,
        };
        let socket = Socket { radius: 0.5 * self.socket.diameter, face_radius: self.socket.face_radius };
        let fragment = Fragment::new(socket, shape);
        fragment
            .map_err(|e| {
                let hint = "measure again on CT: these numbers cannot belong to one socket";
                log.wrong(span(e.look_at), e.message.clone(), format!("look at `{}` first", e.look_at), hint);
            })
            .ok()
    }
}

/// Reads a case as it was written; what is wrong is `NaN` in it and told in the log. `None` without a side.
pub(super) fn read_case(root: &Node, source: &SourceText, stem: &str, log: &mut Log) -> Option<CaseFile> {
    let mut root = Section::of(root, "", log)?;
    let mut file = CaseFile {
        name: root.name(log).unwrap_or_else(|| stem.into()),
        description: root.description(log),
        source: source.clone(),
        side: Side::Right,
        socket: SocketMeasures { diameter: f64::NAN, face_radius: None, height: f64::NAN },
        shape: ShapeMeasures {
            width: Along::Mm(f64::NAN),
            middle: f64::NAN,
            depth: f64::NAN,
            tilt: f64::NAN,
            length: None,
            spans: Vec::new(),
        },
        bed: BedSpec::default(),
        envelope: EnvelopeSpec { shift_stiffness: f64::NAN, turn_stiffness: f64::NAN, rest: Rest::Start },
        tethers: Vec::new(),
        loads: Vec::new(),
        displaced: Displacement::default(),
        seat: SeatSpec::default(),
        anchors: AnchorLimits::default(),
        settling: SettlingSpec::default(),
        cycled: None,
        phases: Vec::new(),
        joint: JointSpec::default(),
        settings: Settings::default(),
        spread: None,
    };
    let side = root.word("side", &SIDES, log);
    if root.get("side").is_none() {
        root.missing("side", "write side = \"right\" or side = \"left\"", log);
    }
    read_socket(&mut root, &mut file, log);
    read_shape(&mut root, &mut file, log);
    read_numbers(&mut root, "bed", &mut file, log).done(log);
    read_envelope(&mut root, &mut file, log);
    file.tethers = read_tethers(&mut root, log);
    file.loads = read_loads(&mut root, log);
    read_displaced(&mut root, &mut file, log);
    for table in ["seat", "anchors", "joint"] {
        read_numbers(&mut root, table, &mut file, log).done(log);
    }
    let mut settling = read_numbers(&mut root, "settling", &mut file, log);
    file.cycled = read_direction(&mut settling, log);
    settling.done(log);
    file.phases = read_phases(&mut root, log);
    file.settings = Settings::read(&mut root, log);
    file.spread = read_spread(&mut root, source, log);
    root.finish((&OF_A_CONSTRUCT, "construct"), log);
    Some(CaseFile { side: side?, ..file })
}

/// Reads the numbers of a table, each where its row says, but those that may be written otherwise.
fn read_numbers<'a>(root: &mut Section<'a>, table: &'static str, file: &mut CaseFile, log: &mut Log) -> Section<'a> {
    let mut s = root.table(table, log);
    for row in rows_of(table) {
        let special = ["fragment.width", "fragment.middle", "fragment.length"].contains(&row.path)
            || (row.path == "socket.face_radius" && s.is_text("face_radius"));
        if let (Access::Case(at) | Access::Fixed(at), false) = (row.access, special) {
            (at.set)(file, s.number_as(row.key(), row, log));
        }
    }
    s
}

fn read_socket(root: &mut Section<'_>, file: &mut CaseFile, log: &mut Log) {
    let mut s = read_numbers(root, "socket", file, log);
    if let Some(e) = s.get("face_radius") {
        match &e.node.value {
            Value::Text(word) if is_word(word, FLAT) => file.socket.face_radius = None,
            Value::Text(_) => {
                wrong_type(&e.node, "socket.face_radius", "a number or \"flat\"", log);
                file.socket.face_radius = Some(f64::NAN);
            }
            _ => {}
        }
    }
    file.shape.spans.extend(["diameter", "face_radius"].map(|key| (key, s.span_of(key))));
    s.done(log);
}

fn read_shape(root: &mut Section<'_>, file: &mut CaseFile, log: &mut Log) {
    let mut s = read_numbers(root, "fragment", file, log);
    let rows = (row("fragment.width"), row("fragment.width[percent]"));
    let width = s.required("width", &rows.0.about(), log, |node, path, log| length_or_percent(node, path, rows, log));
    file.shape.width = width.unwrap_or(Along::Mm(f64::NAN));
    let what = "the clock position of the fragment's middle, e.g. \"4:00\"; 3 is anterior on either side";
    let middle = row("fragment.middle");
    let hours = s.required("middle", what, log, |node, path, log| clock(node, path, middle, log));
    file.shape.middle = hours.unwrap_or(f64::NAN);
    file.shape.length = s.get("length").and(Some(f64::NAN));
    if let Some(length) = s.number_if("length", row("fragment.length"), log) {
        file.shape.length = Some(length);
    }
    file.shape.spans.extend(["width", "depth", "tilt", "length"].map(|key| (key, s.span_of(key))));
    s.done(log);
}

fn read_envelope(root: &mut Section<'_>, file: &mut CaseFile, log: &mut Log) {
    let mut s = read_numbers(root, "envelope", file, log);
    let none = file.envelope.shift_stiffness == 0.0 && file.envelope.turn_stiffness == 0.0;
    if s.get("rest").is_none() && !none {
        let source = "tissue at rest where tying starts, so that an untied fragment stays where it lies";
        log.note("envelope.rest", "start", "", Tag::Assumed, source);
    }
    file.envelope.rest = s.word("rest", &RESTS, log).unwrap_or(Rest::Start);
    s.done(log);
}

/// A pose that is given is given whole: what it does not name is zero. No pose at all is a default
/// like any other, and recorded.
fn read_displaced(root: &mut Section<'_>, file: &mut CaseFile, log: &mut Log) {
    if root.get("displaced").is_none() {
        read_numbers(root, "displaced", file, log);
        return;
    }
    let mut s = root.table("displaced", log);
    for row in rows_of("displaced") {
        if let Access::Case(at) = row.access {
            (at.set)(file, s.number_if(row.key(), row, log).unwrap_or(0.0));
        }
    }
    s.done(log);
}
