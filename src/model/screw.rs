//! Reads a screw and puts it on a case.

use super::document::{Node, Value};
use super::parameters::{Parameter, row};
use super::places::{At, Bone, locate, place, triple};
use super::problems::{Problem, Span};
use super::reader::{Log, Section, mistyped};
use super::{Case, Construct, ScrewSpec, Warning};
use crate::anatomy::Place;
use crate::math::Vec3;

/// Share of the diameter that the core has when it is not given (memory, ISO 5835).
const CORE: f64 = 0.7;
/// Least length of a screw in the fragment, mm: less holds no bone worth the name (assumed).
const LEAST_GRIP: f64 = 1.0;
/// Largest angle between a screw and the normal of the fracture plane, degrees: beyond, it runs along
/// the fracture rather than across it (assumed).
const STEEPEST: f64 = 70.0;
/// Bone that should be left between a screw and the joint, and between a screw and an anchor, mm
/// (common practice, no source).
const COVER: f64 = 1.0;

/// A screw as it was written.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct RawScrew {
    pub name: String,
    span: Span,
    place: At<Place>,
    aim: Aim,
    group: Option<String>,
    pub diameter: f64,
    core: f64,
    pub head: f64,
    pub modulus: f64,
    pub working_length: f64,
    pub foundation: f64,
    pub preload: f64,
}

/// Where a screw is aimed.
#[derive(Debug, Clone, PartialEq)]
enum Aim {
    /// Square to the fracture plane.
    Square,
    /// Along a direction (any length).
    Along(At<Vec3>),
    /// At a place in the scapula.
    At(At<Place>),
}

/// Reads `[screw.NAME]`; `None` when it cannot be placed.
pub(super) fn read_screw(name: String, span: Span, mut s: Section<'_>, log: &mut Log) -> Option<RawScrew> {
    let seat = "the seat of its head, a place like { wall = { along = \"-30 %\", below = 5 } }";
    let place_of = s.required("at", seat, log, place);
    let aim = read_aim(&mut s, log);
    let group = s.text("group", 40, log);
    let mut number = |key: &'static str, log: &mut Log| {
        let row = row(&format!("screw.*.{key}"));
        match s.get(key) {
            Some(_) => s.number_if(key, row, log).unwrap_or(f64::NAN),
            None => log.take(row.path, row.default.unwrap_or(f64::NAN), row),
        }
    };
    let diameter = number("diameter", log);
    let head = number("head", log);
    let modulus = number("modulus", log);
    let working_length = number("working_length", log);
    let foundation = number("foundation", log);
    let preload = number("preload", log);
    let core_row = row("screw.*.core");
    let core = match s.get("core") {
        Some(_) => s.number_if("core", core_row, log).unwrap_or(f64::NAN),
        None => {
            let value = format!("{CORE} × diameter");
            log.note(core_row.path, &value, "", core_row.tag, core_row.source);
            CORE * diameter
        }
    };
    for (key, value, wrong) in [("core", core, core >= diameter), ("head", head, head <= diameter)] {
        if let Some(e) = s.get(key).filter(|_| wrong) {
            log.wrong(
                e.node.span.clone(),
                format!("`{}` is {value} beside a diameter of {diameter} mm", s.at(key)),
                format!("allowed: {} the diameter", if key == "core" { "below" } else { "above" }),
                "a core is thinner than the thread about it, a head is wider",
            );
        }
    }
    s.done(log);
    Some(RawScrew {
        name,
        span,
        place: place_of?,
        aim: aim?,
        group,
        diameter,
        core,
        head,
        modulus,
        working_length,
        foundation,
        preload,
    })
}

fn read_aim(s: &mut Section<'_>, log: &mut Log) -> Option<Aim> {
    let (along, toward) = (s.get("direction"), s.get("toward"));
    let path = s.at("direction");
    match (along, toward) {
        (Some(e), Some(_)) => log.refuse(
            e.node.span.clone(),
            format!("`{path}` and `toward` both aim the screw"),
            "one of the two",
            "keep `toward`, a place in the scapula, or `direction`, [x, y, z]",
        ),
        (Some(e), None) => direction(&e.node, &path, row("screw.*.direction"), log).map(Aim::Along),
        (None, Some(e)) => place(&e.node, &s.at("toward"), log).map(Aim::At),
        (None, None) => {
            log.practice("screw.*.direction", "square to the fracture plane");
            Some(Aim::Square)
        }
    }
}

/// A direction of any length but none, its components in the range of a row.
pub(super) fn direction(node: &Node, path: &str, row: &Parameter, log: &mut Log) -> Option<At<Vec3>> {
    if !matches!(node.value, Value::List(_)) {
        return mistyped(node, path, "three numbers [x, y, z]", log);
    }
    let value = Vec3::from(triple(node, path, row, log)?);
    if value.norm() < 1e-9 {
        return log.refuse(
            node.span.clone(),
            format!("`{path}` has no length"),
            "no direction",
            "x anterior, y superior, z lateral",
        );
    }
    Some(At { span: node.span.clone(), value })
}

impl RawScrew {
    /// The screw on a case; its head has to sit on the fragment, and it has to cross the fracture bed.
    pub(super) fn fit(&self, case: &Case, log: &mut Log) -> Option<ScrewSpec> {
        let fragment = &case.fragment;
        let path = |key: &str| format!("screw.{}.{key}", self.name);
        let head = locate(fragment, &self.place, &path("at"), Bone::Fragment, log);
        let (axis, span) = match &self.aim {
            Aim::Square => (-fragment.normal, self.place.span.clone()),
            Aim::Along(to) => (to.value.normalize(), to.span.clone()),
            Aim::At(to) => {
                let target = locate(fragment, to, &path("toward"), Bone::Scapula, log)?;
                let line = target - head?;
                // On one point no line is defined; a tenth of a millimetre defines none worth aiming.
                (line.try_normalize(0.1).unwrap_or(fragment.normal), to.span.clone())
            }
        };
        let head = head?;
        let square = -axis.dot(&fragment.normal);
        let angle = libm::acos(square.clamp(-1.0, 1.0)).to_degrees();
        if angle > STEEPEST {
            return log.refuse(
                span,
                format!("the screw `{}` runs {angle:.0}° off square to the fracture plane", self.name),
                format!("allowed: up to {STEEPEST}°"),
                "aim it from the fragment across the fracture into the scapula",
            );
        }
        let grip = (head - fragment.bed_origin()).dot(&fragment.normal) / square;
        let crossing = head + axis * grip - fragment.bed_origin();
        let (t, m) = (crossing.dot(&fragment.along), crossing.dot(&fragment.down));
        if grip < LEAST_GRIP {
            log.push(Problem::at(
                self.place.span.clone(),
                format!(
                    "the head of the screw `{}` seats {:.2} mm before the fracture plane",
                    self.name,
                    // Places on the margin meet the plane up to rounding.
                    if grip.abs() < 5e-3 { 0.0 } else { grip }
                ),
                format!("allowed: {LEAST_GRIP} mm or more of fragment"),
                "move it away from the medial margin and the fracture line",
            ));
            return None;
        }
        if !fragment.is_inside_outline(t, m) {
            return log.refuse(
                span,
                format!("the screw `{}` misses the fracture bed", self.name),
                format!("it meets the plane at along {t:.2} mm, {m:.2} mm down"),
                "move its head or turn its direction",
            );
        }
        Some(ScrewSpec {
            name: self.name.clone(),
            group: self.group.clone().unwrap_or_else(|| "screws".into()),
            place: self.place.value,
            head,
            axis,
            diameter: self.diameter,
            core: self.core,
            head_diameter: self.head,
            modulus: self.modulus,
            foundation: self.foundation,
            grip,
            working_length: self.working_length,
            preload: self.preload,
        })
    }

    /// Where it is named in its file.
    pub(super) fn span(&self) -> Span {
        self.span.clone()
    }
}

/// What of the screws is allowed but wants a look.
pub(super) fn warnings(construct: &Construct, case: &Case, warnings: &mut Vec<Warning>) {
    for (k, screw) in construct.screws.iter().enumerate() {
        near_joint(screw, case, warnings);
        near_edge(screw, case, warnings);
        for other in &construct.screws[k + 1..] {
            let gap = between(screw, other.head, other.tip()) - 0.5 * (screw.diameter + other.diameter);
            if gap < COVER {
                crowd(screw, "screw", &other.name, gap, warnings);
            }
        }
        for anchor in &construct.anchors {
            let gap = between(screw, anchor.point, anchor.point) - 0.5 * screw.diameter;
            if gap < COVER {
                crowd(screw, "anchor", &anchor.name, gap, warnings);
            }
        }
    }
}

fn crowd(screw: &ScrewSpec, what: &str, other: &str, gap: f64, warnings: &mut Vec<Warning>) {
    warnings.push(Warning {
        message: format!("screw {} leaves {:.1} mm of bone to {what} {other}", screw.name, gap.max(0.0)),
        advice: "move or turn one of the two: they would meet in the bone".into(),
    });
}

/// Points looked at along a screw.
const SAMPLES: usize = 60;

/// Points of its axis, from head to tip, mm.
fn along(screw: &ScrewSpec) -> impl Iterator<Item = Vec3> + '_ {
    let (from, to) = (screw.head, screw.tip());
    (0..=SAMPLES).map(move |k| from.lerp(&to, k as f64 / SAMPLES as f64))
}

/// Least distance between a screw's axis and a stretch, mm.
fn between(screw: &ScrewSpec, from: Vec3, to: Vec3) -> f64 {
    let line = to - from;
    let square = line.norm_squared();
    along(screw)
        .map(|p| {
            let s = if square > 0.0 { ((p - from).dot(&line) / square).clamp(0.0, 1.0) } else { 0.0 };
            (from + line * s - p).norm()
        })
        .fold(f64::INFINITY, f64::min)
}

fn near_joint(screw: &ScrewSpec, case: &Case, warnings: &mut Vec<Warning>) {
    let socket = &case.fragment.socket;
    let radius = |p: &Vec3| libm::hypot(p.x, p.y);
    let cover = along(screw)
        .filter(|p| radius(p) < socket.radius)
        .map(|p| socket.face_height(radius(&p)) - p.z - 0.5 * screw.diameter)
        .fold(f64::INFINITY, f64::min);
    if cover < COVER {
        warnings.push(Warning {
            message: format!("screw {} leaves {:.1} mm of bone under the joint's face", screw.name, cover.max(0.0)),
            advice: "enter farther below the rim, or aim more medially: it may run into the joint".into(),
        });
    }
    if radius(&screw.tip()) > socket.radius {
        warnings.push(Warning {
            message: format!("the tip of screw {} stands beyond the circle of the socket", screw.name),
            advice: "shorten it: it may leave the far cortex".into(),
        });
    }
}

/// A hole nearer to the fragment's edge than its own diameter may split it (common practice, no source).
fn near_edge(screw: &ScrewSpec, case: &Case, warnings: &mut Vec<Warning>) {
    let fragment = &case.fragment;
    let off = screw.crossing() - fragment.bed_origin();
    let (margin, _) = fragment.outline(off.dot(&fragment.along), off.dot(&fragment.down));
    let bone = margin - 0.5 * screw.diameter;
    if bone < screw.diameter {
        warnings.push(Warning {
            message: format!(
                "the hole of screw {} ({} mm) leaves {:.1} mm of bone to the fragment's edge at the fracture plane",
                screw.name,
                screw.diameter,
                bone.max(0.0)
            ),
            advice: "take a thinner screw, or move it to where the fragment is deeper: it may split".into(),
        });
    }
}
