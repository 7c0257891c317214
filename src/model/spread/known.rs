//! Every input of a case and its constructs that can be varied, with its present value.

use super::super::parameters::{Parameter, row};
use super::super::{Case, Construct, ConstructFile, Tag};
use super::construct_inputs::of_construct;

/// Name of the tether that is a hinge.
pub const HINGE: &str = "tether.hinge";
/// States of the hinge, weakest first; a draw is the index here.
pub const HINGE_STATES: [&str; 3] = ["none", "weak", "intact"];

/// Keys of a case that can be varied.
const OF_CASE: [&str; 21] = [
    "socket.diameter",
    "socket.face_radius",
    "fragment.width",
    "fragment.middle",
    "fragment.depth",
    "fragment.tilt",
    "fragment.length",
    "bed.friction",
    "bed.normal_stiffness",
    "bed.shear_stiffness",
    "bed.crush_strength",
    "bed.edge_width",
    "envelope.shift_stiffness",
    "envelope.turn_stiffness",
    "displaced.inferior",
    "displaced.medial",
    "displaced.out_of_bed",
    "displaced.tilt",
    "displaced.spin",
    "displaced.yaw",
    "seat.length",
];
/// Whose input it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Owner {
    /// The case's.
    Case,
    /// That of the construct with this index.
    Construct(usize),
}

/// An input that can be varied.
#[derive(Debug, Clone, PartialEq)]
pub struct Known {
    /// Dotted path.
    pub path: String,
    /// In plain words.
    pub meaning: String,
    /// Unit.
    pub unit: &'static str,
    /// Physical range.
    pub allowed: (f64, f64),
    /// Plausible spread: low, most probable, high.
    pub spread: [f64; 3],
    /// How that is backed.
    pub tag: Tag,
    /// Where it comes from.
    pub source: &'static str,
    /// Range in percent, where percent are understood.
    pub percent: Option<(f64, f64)>,
    /// Whose it is, with its present value; NaN where it has none.
    pub places: Vec<(Owner, f64)>,
}

impl Known {
    pub(super) fn of(path: String, row: &'static Parameter, owner: Owner, value: f64) -> Self {
        Self {
            path,
            meaning: row.meaning.to_owned(),
            unit: row.unit,
            allowed: row.allowed,
            spread: [row.low, row.default.unwrap_or(0.5 * (row.low + row.high)), row.high],
            tag: row.tag,
            source: row.source,
            percent: None,
            places: vec![(owner, value)],
        }
    }

    /// Whether a pattern stands for it: part by part, `*` for any name.
    pub fn matches(&self, pattern: &str) -> bool {
        let (mut a, mut b) = (self.path.split('.'), pattern.split('.'));
        loop {
            match (a.next(), b.next()) {
                (None, None) => return true,
                (Some(x), Some(y)) if y == "*" || x == y => {}
                _ => return false,
            }
        }
    }
}

/// All inputs, those of the case first.
pub(super) fn all(
    case: &Case,
    constructs: &[(ConstructFile, Construct)],
    load_magnitudes: &[(String, f64)],
) -> Vec<Known> {
    let mut list = Vec::new();
    for path in OF_CASE {
        let mut known = Known::of(path.into(), row(path), Owner::Case, of_case(case, path));
        if path == "fragment.width" {
            known.percent = Some(row("fragment.width[percent]").allowed);
        }
        // A length that is not given is the whole chord; to vary it, say it first.
        if !(path == "fragment.length" && case.fragment.shape.length.is_none()) {
            list.push(known);
        }
    }
    list.push(Known::of("seat.stiffness".into(), row("seat.stiffness"), Owner::Case, case.seat_stiffness));
    for (name, force) in load_magnitudes {
        let path = format!("load.{name}.force");
        list.push(Known::of(path, row("load.*.force[magnitude]"), Owner::Case, *force));
    }
    tethers(case, &mut list);
    for (k, (file, construct)) in constructs.iter().enumerate() {
        of_construct(case, file, construct, Owner::Construct(k), &mut list);
    }
    list
}

fn tethers(case: &Case, list: &mut Vec<Known>) {
    let mut tether = |name: &str, stiffness: f64, slack: f64| {
        let path = |key: &str| format!("tether.{name}.{key}");
        list.push(Known::of(path("stiffness"), row("tether.*.stiffness"), Owner::Case, stiffness));
        list.push(Known::of(path("slack"), row("tether.*.slack"), Owner::Case, slack));
    };
    let (mut hinge, default) = (false, |key: &str| row(key).default.unwrap_or(f64::NAN));
    for t in &case.tethers {
        tether(&t.name, t.stiffness, t.slack);
        hinge |= t.name == "hinge";
    }
    if !hinge {
        // Added with its built-in ends as soon as one of its numbers is varied.
        tether("hinge", default("tether.*.stiffness"), default("tether.*.slack"));
    }
    list.push(Known {
        path: HINGE.into(),
        meaning: "inferior hinge: none, weak or intact".into(),
        unit: "",
        allowed: (0.0, 2.0),
        spread: [0.0, 1.0, 2.0],
        tag: Tag::Assumed,
        source: "placeholder: intact 20 N/mm with 0.5 mm slack, weak 5 N/mm with 2 mm",
        percent: None,
        places: vec![(Owner::Case, f64::NAN)],
    });
}

/// The present value of a key of the case, in the unit of its file.
fn of_case(case: &Case, path: &str) -> f64 {
    let (shape, d) = (&case.fragment.shape, &case.displaced);
    let envelope = |f: fn(&super::super::EnvelopeSpec) -> f64| case.envelope.as_ref().map_or(0.0, f);
    match path {
        "socket.diameter" => 2.0 * case.fragment.socket.radius,
        "socket.face_radius" => case.fragment.socket.face_radius.unwrap_or(f64::NAN),
        "fragment.width" => shape.width,
        "fragment.middle" => (90.0 - shape.direction.to_degrees()) / 30.0,
        "fragment.depth" => shape.depth,
        "fragment.tilt" => shape.tilt.to_degrees(),
        "fragment.length" => shape.length.unwrap_or(f64::NAN),
        "bed.friction" => case.bed.friction,
        "bed.normal_stiffness" => case.bed.normal_stiffness,
        "bed.shear_stiffness" => case.bed.shear_stiffness,
        "bed.crush_strength" => case.bed.crush_strength,
        "bed.edge_width" => case.bed.edge_width,
        "envelope.shift_stiffness" => envelope(|e| e.shift_stiffness),
        "envelope.turn_stiffness" => envelope(|e| e.turn_stiffness),
        "displaced.inferior" => d.inferior,
        "displaced.medial" => d.medial,
        "displaced.out_of_bed" => d.out_of_bed,
        "displaced.tilt" => d.tilt.to_degrees(),
        "displaced.spin" => d.spin.to_degrees(),
        "displaced.yaw" => d.yaw.to_degrees(),
        "seat.length" => case.seat_length,
        _ => f64::NAN,
    }
}
