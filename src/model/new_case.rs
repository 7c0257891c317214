//! Writes a commented case from what was measured on CT.

use super::parameters::{Parameter, row};
use super::problems::{Problem, Problems, SourceText};
use super::words::said;
use super::{Case, Side};
use crate::CAUTION;
use std::fmt::Write;

/// A fragment's width as it was measured.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Width {
    /// Millimetres from rim to fracture line.
    Mm(f64),
    /// Percent of the circle's diameter.
    Percent(f64),
}

/// What was measured on CT. Lengths in mm, angles in degrees, as in a file. What was not measured
/// stays `None` and is written as a comment with the default that will be taken and recorded.
#[derive(Debug, Clone, PartialEq)]
pub struct NewCase {
    /// Name of the case, if it has one.
    pub name: Option<String>,
    /// Which shoulder.
    pub side: Side,
    /// Diameter of the best-fit circle of the inferior socket, mm.
    pub diameter: f64,
    /// Width of the fragment.
    pub width: Width,
    /// Clock position of its middle, hours; 3 is anterior on either side.
    pub middle: f64,
    /// Medial depth at mid-chord, mm.
    pub depth: Option<f64>,
    /// Tilt of the fracture plane, degrees.
    pub tilt: Option<f64>,
    /// Superoinferior length, mm, if the ends are cut off short.
    pub length: Option<f64>,
    /// The displaced pose; its components that are `None` beside a given one are zero.
    pub displaced: NewPose,
}

/// A displaced pose as it was measured, in bed axes.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct NewPose {
    /// Inferior displacement along the chord, mm.
    pub inferior: Option<f64>,
    /// Medial displacement down the fracture plane, mm.
    pub medial: Option<f64>,
    /// Displacement out of the bed, mm.
    pub out_of_bed: Option<f64>,
    /// Turn about the chord, degrees, positive sitting up.
    pub tilt: Option<f64>,
    /// Turn about the bed's normal, degrees.
    pub spin: Option<f64>,
    /// Turn about the direction down the plane, degrees.
    pub yaw: Option<f64>,
}

impl NewPose {
    fn components(&self) -> [(&'static str, Option<f64>, &'static str); 6] {
        [
            ("inferior", self.inferior, "along the fracture line"),
            ("medial", self.medial, "down the fracture plane"),
            ("out_of_bed", self.out_of_bed, "away from the bed"),
            ("tilt", self.tilt, "about the fracture line, positive: sits up"),
            ("spin", self.spin, "about the bed's normal"),
            ("yaw", self.yaw, "about the direction down the plane"),
        ]
    }
}

impl NewCase {
    /// The four measurements that every case needs.
    pub fn new(side: Side, diameter: f64, width: Width, middle: f64) -> Self {
        Self {
            name: None,
            side,
            diameter,
            width,
            middle,
            depth: None,
            tilt: None,
            length: None,
            displaced: NewPose::default(),
        }
    }
}

/// The text of a case file with these measurements; it reads back with [`Case::parse`].
///
/// # Errors
/// Every measurement that is out of its range, or measurements that do not belong together; the
/// problems point into no text.
pub fn new_case(given: &NewCase) -> Result<String, Problems> {
    let source = SourceText::new("the measurements given", "");
    let width = match given.width {
        Width::Mm(w) => ("fragment.width", w),
        Width::Percent(p) => ("fragment.width[percent]", p),
    };
    let mut values = vec![
        ("socket.diameter".to_owned(), given.diameter),
        (width.0.to_owned(), width.1),
        ("fragment.middle".to_owned(), given.middle),
    ];
    for (key, value) in [("depth", given.depth), ("tilt", given.tilt), ("length", given.length)] {
        values.extend(value.map(|v| (format!("fragment.{key}"), v)));
    }
    for (key, value, _) in given.displaced.components() {
        values.extend(value.map(|v| (format!("displaced.{key}"), v)));
    }
    let wrong: Vec<Problem> = values.iter().filter_map(|(path, value)| outside(row(path), *value)).collect();
    if !wrong.is_empty() {
        return Err(Problems::new(source, wrong));
    }
    let text = write(given);
    match Case::parse("new.toml", &text) {
        Ok(_) => Ok(text),
        Err(problems) => Err(Problems::new(
            source,
            problems
                .problems
                .into_iter()
                .map(|p| Problem {
                    message: if p.label.is_empty() { p.message } else { format!("{} ({})", p.message, p.label) },
                    span: None,
                    label: String::new(),
                    hint: p.hint,
                })
                .collect(),
        )),
    }
}

fn outside(row: &Parameter, value: f64) -> Option<Problem> {
    (!row.accepts(value)).then(|| {
        let path = row.path.replace("[percent]", "");
        Problem::whole(format!("`{path}` is {}; allowed: {}", said(value), row.range()), row.about())
    })
}

/// A text as TOML writes it.
fn toml_text(text: &str) -> String {
    toml::Value::String(text.to_owned()).to_string()
}

fn write(given: &NewCase) -> String {
    let mut out = String::new();
    let default = |path: &str| row(path).default.unwrap_or(0.0);
    // Writing to a String cannot fail.
    let mut line = |text: String| {
        let _ = writeln!(out, "{text}");
    };
    line("# A case measured on CT: the socket, the fragment, and where it lay.".into());
    line("# Lengths in mm, angles in degrees, forces in N. Lines that start with # are comments;".into());
    line("# the commented values are what is taken when nothing is said.".into());
    line("#".into());
    line("# An editor that knows schemas of TOML completes and checks this file: put".into());
    line("# `rimhold schema case > case.json` beside it, and above all other lines".into());
    line("# `#:schema ./case.json`.".into());
    line("#".into());
    // One sentence on two lines.
    for part in CAUTION.split_inclusive("patient; ") {
        line(format!("# {}", part.trim_end()));
    }
    line(String::new());
    if let Some(name) = &given.name {
        line(format!("name = {}", toml_text(name)));
    }
    let side = match given.side {
        Side::Right => "right",
        Side::Left => "left",
    };
    line(format!("side = \"{side}\"    # \"right\" or \"left\""));
    line("\n[socket]".into());
    line(format!("diameter = {:?}    # best-fit circle of the inferior socket, en face", given.diameter));
    line(format!(
        "# face_radius = {:?}    # radius of curvature of the face, or \"flat\"",
        default("socket.face_radius")
    ));
    line("\n[fragment]".into());
    line(match given.width {
        Width::Mm(w) => format!("width = {w:?}    # from the rim to the fracture line"),
        Width::Percent(p) => {
            format!("width = \"{p} %\"    # of the circle's diameter; a bare number is mm")
        }
    });
    line(format!(
        "middle = {}    # clock position of its middle; 3 is anterior on either side, 6 inferior",
        clock(given.middle)
    ));
    for (key, value, what) in [
        ("depth", given.depth, "how far medially the fracture leaves the neck, at the middle"),
        ("tilt", given.tilt, "of the fracture plane; positive: runs outward as it goes medially"),
    ] {
        line(match value {
            Some(v) => format!("{key} = {v:?}    # {what}"),
            None => format!("# {key} = {:?}    # not measured; {what}", default(&format!("fragment.{key}"))),
        });
    }
    if let Some(length) = given.length {
        line(format!("length = {length:?}    # superoinferior, ends cut off short"));
    }
    line("\n# Where the fragment lay before it was reduced, in axes of the fracture bed.".into());
    let measured = given.displaced.components().iter().any(|c| c.1.is_some());
    if !measured {
        line("# Not measured: these are invented. Remove the # of the table and of what you know.".into());
    }
    line(if measured { "[displaced]" } else { "# [displaced]" }.into());
    for (key, value, what) in given.displaced.components() {
        line(if measured {
            format!("{key} = {:?}    # {what}", value.unwrap_or(0.0))
        } else {
            format!("# {key} = {:?}    # {what}", default(&format!("displaced.{key}")))
        });
    }
    line("\n# The bed. These are taken when nothing is said; sweep them.".into());
    line("[bed]".into());
    for key in ["friction", "normal_stiffness", "shear_stiffness", "crush_strength"] {
        let row = row(&format!("bed.{key}"));
        line(format!("# {key} = {:?}    # {}", row.default.unwrap_or(0.0), row.spread()));
    }
    line("\n# Soft tissue still attached; set both to 0 for a bare fragment.".into());
    line("[envelope]".into());
    line(format!("# shift_stiffness = {:?}    # N/mm", default("envelope.shift_stiffness")));
    line(format!("# turn_stiffness = {:?}    # N·mm/rad", default("envelope.turn_stiffness")));
    line("\n# An intact hinge at the inferior end: remove the # to add it.".into());
    line("# [tether.hinge]".into());
    line("# fragment = { rim = { along = \"-92 %\" } }".into());
    line("# scapula = { rim = { along = \"-108 %\" } }".into());
    line("# stiffness = 20.0    # N/mm".into());
    line("# slack = 0.5    # mm".into());
    out
}

/// Hours as `"4:30"` when they fall on a minute, otherwise as a number.
fn clock(hours: f64) -> String {
    let minutes = (hours * 60.0).round();
    if (minutes / 60.0 - hours).abs() < 1e-12 {
        format!("\"{}:{:02}\"", minutes as i64 / 60, minutes as i64 % 60)
    } else {
        format!("{hours:?}")
    }
}
