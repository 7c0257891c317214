//! A displaced pose that starts inside the bed, deeper than the bed gives.

use super::document::{self, Entry, Node, Value};
use super::problems::{Problem, Problems};
use super::reader::said;
use super::{Case, Displacement, builtin};
use crate::anatomy::Fragment;
use crate::math::{Rotation, Vec3, rotation};
use std::fmt;

/// Columns and rows of the bed points that are looked at, edges included.
const POINTS: (usize, usize) = (40, 20);

/// How far a displaced pose starts inside the bed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sunk {
    /// Depth of the deepest point of the fracture surface over the crater, mm.
    pub depth: f64,
    /// What the bed gives: the depth at which its pressure reaches its crush strength, mm.
    pub give: f64,
    /// The shift out of the bed that lifts every point clear of it, mm.
    pub clear: f64,
}

impl fmt::Display for Sunk {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "the displaced pose starts {:.2} mm inside the bed, deeper than the {} mm after which its \
             bone is crushed",
            self.depth,
            said(self.give)
        )
    }
}

impl Displacement {
    /// Shift of the fragment's reference point (mm) and turn: shifts in bed axes (inferior along the
    /// chord, medial down the fracture plane, out of the bed along n), and one finite turn whose
    /// rotation vector has the given components (tilt about the chord, positive sitting up).
    pub fn motion(&self, fragment: &Fragment) -> (Vec3, Rotation) {
        (
            -fragment.along * self.inferior + fragment.down * self.medial + fragment.normal * self.out_of_bed,
            rotation(&(-fragment.along * self.tilt + fragment.normal * self.spin + fragment.down * self.yaw)),
        )
    }
}

impl Case {
    /// How far its displaced pose starts inside the bed, where that is deeper than the bed gives.
    pub fn sunk(&self) -> Option<Sunk> {
        let fragment = &self.fragment;
        let (shift, turn) = self.displaced.motion(fragment);
        let origin = fragment.bed_origin();
        let mut depth = 0.0f64;
        for i in 0..=POINTS.0 {
            let t = fragment.half_chord * (2.0 * i as f64 / POINTS.0 as f64 - 1.0);
            let (top, bottom) = fragment.bed_column(t);
            for j in 0..=POINTS.1 {
                let m = top + (bottom - top) * j as f64 / POINTS.1 as f64;
                let arm = fragment.bed_point(t, m) - fragment.centroid;
                let off = fragment.centroid + shift + turn * arm - origin;
                let foot = (off.dot(&fragment.along), off.dot(&fragment.down));
                if fragment.is_inside_outline(foot.0, foot.1) {
                    depth = depth.max(-off.dot(&fragment.normal));
                }
            }
        }
        let give = self.bed.crush_strength / self.bed.normal_stiffness;
        (depth > give).then_some(Sunk { depth, give, clear: self.displaced.out_of_bed + depth })
    }

    /// Checks that a case (by the argument it was opened with) can be tied from its displaced pose.
    ///
    /// # Errors
    /// With the place in the file, by how much the pose starts inside the bed, and what removes it.
    pub fn check_displaced(&self, argument: &str) -> Result<(), Problems> {
        let Some(sunk) = self.sunk() else {
            return Ok(());
        };
        let (source, _) = builtin::resolve(argument, builtin::CASES)?;
        let (root, _) = document::parse(&source)?;
        let table = entry(&root, "displaced");
        let span = match (table.and_then(|t| entry(&t.node, "out_of_bed")), table) {
            (Some(out), _) => out.node.span.clone(),
            (None, Some(table)) => table.key_span.clone(),
            (None, None) => 0..0,
        };
        // Rounded up, so that the value told is enough.
        let clear = (sunk.clear * 100.0).ceil() / 100.0;
        let problem = Problem::at(
            span,
            sunk.to_string(),
            format!("{:.2} mm too deep", sunk.depth - sunk.give),
            format!("out_of_bed = {clear} lifts it clear of the bed; with less it starts pressed into it"),
        );
        Err(Problems::new(source, vec![problem]))
    }
}

fn entry<'a>(node: &'a Node, key: &str) -> Option<&'a Entry> {
    match &node.value {
        Value::Table(entries) => entries.iter().find(|e| e.key == key),
        _ => None,
    }
}
