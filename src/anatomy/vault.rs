//! The bone in which tunnels are drilled: the vault behind the face, and what of it a tunnel leaves.
//!
//! The vault is the simplest one that the fragment's measurements give: below the face, inside the cone of the neck wall
//! carried on round the whole socket and medially, and behind the fracture bed. Its far cortex is thus the same wall on
//! the other side (assumed: no source gives one for these measurements).

use super::distance::{Segment, nearest_between, nearest_on, nearest_to_line};
use super::{Fragment, Place};
use crate::math::Vec3;
use schemars::JsonSchema;
use serde::Serialize;
use std::f64::consts::PI;

/// A surface where bone ends.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Surface {
    /// The face of the joint.
    Face,
    /// The rim that is intact, beyond the ends of the fracture line.
    Rim,
    /// The fracture bed.
    Bed,
    /// The neck wall, near or far.
    Wall,
}

/// Pieces of an edge of the bed, and of the rim: cut so finely that an arc of 13 mm sags by less than 0.002 mm.
const PIECES: usize = 96;
/// Distance (mm) from a surface within which a bare point counts as an entry through it.
const ON: f64 = 0.5;

/// A straight tunnel, its axis a segment from the bone's surface to its tip.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tunnel {
    /// Where it enters, mm.
    pub entry: Vec3,
    /// Unit direction from there into the bone.
    pub axis: Vec3,
    /// Length, mm.
    pub depth: f64,
    /// Diameter, mm.
    pub diameter: f64,
    /// The surface through which it enters; `None` inside the bone.
    pub through: Option<Surface>,
}

impl Tunnel {
    /// Its tip, mm.
    pub fn tip(&self) -> Vec3 {
        self.entry + self.axis * self.depth
    }

    /// Its axis, from its mouth to its tip.
    pub fn line(&self) -> Segment {
        [self.entry, self.tip()]
    }

    /// Bone between two tunnels with round ends, mm (negative where they run into each other), and where on the axis of
    /// each it is thinnest.
    pub fn bridge(&self, other: &Self) -> (f64, [Vec3; 2]) {
        let [p, q] = nearest_between(&self.line(), &other.line());
        ((q - p).norm() - 0.5 * (self.diameter + other.diameter), [p, q])
    }
}

/// The bone of a socket with its fragment out.
#[derive(Debug, Clone)]
pub struct Vault<'a> {
    fragment: &'a Fragment,
    /// Outline of the fracture bed, closed.
    bed: Vec<Vec3>,
    /// The intact rim, from one end of the fracture line round to the other.
    rim: Vec<Vec3>,
}

impl Surface {
    /// All of them.
    pub const ALL: [Self; 4] = [Self::Face, Self::Rim, Self::Bed, Self::Wall];
}

impl<'a> Vault<'a> {
    /// The bone of a fragment.
    pub fn of(fragment: &'a Fragment) -> Self {
        let c = fragment.half_chord;
        // By the sine, so that the ends, where the outline is steep, are finely cut.
        let at = |k: usize| c * libm::sin(PI * (k as f64 / PIECES as f64 - 0.5));
        let edge = |lower: bool| {
            (0..=PIECES).map(move |k| {
                let (top, bottom) = fragment.bed_column(at(k));
                fragment.bed_point(at(k), if lower { bottom } else { top })
            })
        };
        let mut bed: Vec<Vec3> = edge(false).chain(edge(true).collect::<Vec<_>>().into_iter().rev()).collect();
        bed.push(bed[0]);
        let (r, z) = (fragment.socket.radius, fragment.socket.rim_height());
        let from = libm::asin((c / r).min(1.0));
        let count = 3 * PIECES;
        let rim = (0..=count).map(|k| {
            let (sin, cos) = libm::sincos(from + (2.0 * PI - 2.0 * from) * k as f64 / count as f64);
            fragment.outward * (r * cos) + fragment.along * (r * sin) + Vec3::z() * z
        });
        Self { fragment, bed, rim: rim.collect() }
    }

    /// Depth (mm) of a point below the face, along the face's own normal; negative in the joint.
    pub fn below_face(&self, p: &Vec3) -> f64 {
        match self.fragment.socket.face_radius {
            None => -p.z,
            Some(rho) => (p - Vec3::z() * rho).norm() - rho,
        }
    }

    /// Distance (mm) of a point inside the vault from the neck wall, square to it; negative outside.
    pub fn inside_wall(&self, p: &Vec3) -> f64 {
        let f = self.fragment;
        (f.wall_radius(p.z) - libm::hypot(p.x, p.y)) / libm::hypot(1.0, f.taper)
    }

    /// Distance (mm) of a point from the plane of the fracture, on the side of the intact bone; negative before it.
    pub fn behind_plane(&self, p: &Vec3) -> f64 {
        (self.fragment.bed_origin() - p).dot(&self.fragment.normal)
    }

    /// The surface through which a place is entered.
    pub fn through(&self, place: &Place, point: &Vec3) -> Option<Surface> {
        match place {
            Place::Face { .. } | Place::Clock { .. } => Some(Surface::Face),
            Place::Crater { .. } => Some(Surface::Bed),
            Place::Rim { .. } | Place::Wall { .. } | Place::Margin { .. } | Place::Neck { .. } => Some(Surface::Wall),
            Place::Point(_) => {
                let off_bed = self.distance_to_bed(&[*point, *point]).0;
                let off = [
                    (Surface::Face, self.below_face(point)),
                    (Surface::Wall, self.inside_wall(point)),
                    (Surface::Bed, off_bed),
                ];
                let nearest = off.into_iter().min_by(|a, b| a.1.abs().total_cmp(&b.1.abs()))?;
                (nearest.1.abs() < ON).then_some(nearest.0)
            }
        }
    }

    /// Unit vector into the bone at a point of a surface, square to it.
    pub fn inward(&self, surface: Surface, point: &Vec3) -> Vec3 {
        let f = self.fragment;
        let out = Vec3::new(point.x, point.y, 0.0).try_normalize(1e-9).unwrap_or(f.outward);
        match (surface, f.socket.face_radius) {
            (Surface::Face, Some(rho)) => (point - Vec3::z() * rho).normalize(),
            (Surface::Face, None) => -Vec3::z(),
            (Surface::Bed, _) => -f.normal,
            (Surface::Rim | Surface::Wall, _) => (Vec3::z() * f.taper - out).normalize(),
        }
    }

    /// Bone (mm) that a tunnel leaves to a surface, from its wall, with the point of its axis where that is least;
    /// negative where it breaks through. To the surface that it enters by it is what covers its tip.
    pub fn left(&self, tunnel: &Tunnel, surface: Surface) -> (f64, Vec3) {
        let line = tunnel.line();
        // What a tunnel enters by is cut at its mouth by what it is; what counts there is its tip.
        let part = if tunnel.through == Some(surface) { [line[1]; 2] } else { line };
        let (distance, at) = match surface {
            Surface::Face => match self.fragment.socket.face_radius {
                Some(rho) => {
                    let near = nearest_on(&part, &(Vec3::z() * rho));
                    (self.below_face(&near), near)
                }
                None => self.least_at_ends(&part, Self::below_face),
            },
            // The depth inside a convex body is concave along a line: least at an end.
            Surface::Wall => self.least_at_ends(&part, Self::inside_wall),
            Surface::Bed if tunnel.through == Some(Surface::Bed) => (self.behind_plane(&line[1]), line[1]),
            Surface::Bed => self.distance_to_bed(&part),
            Surface::Rim => match nearest_to_line(&part, &self.rim) {
                Some([p, q]) => ((q - p).norm(), p),
                None => (f64::INFINITY, part[0]),
            },
        };
        (distance - 0.5 * tunnel.diameter, at)
    }

    fn least_at_ends(&self, [a, b]: &Segment, of: fn(&Self, &Vec3) -> f64) -> (f64, Vec3) {
        let (x, y) = (of(self, a), of(self, b));
        if y < x { (y, *b) } else { (x, *a) }
    }

    /// Distance of a segment from the fracture bed, mm, and its own point there; where it runs through the bed, minus
    /// how far it comes out on the other side.
    fn distance_to_bed(&self, line: &Segment) -> (f64, Vec3) {
        let f = self.fragment;
        let inside = |p: &Vec3| {
            let on = p - f.bed_origin();
            f.is_inside_outline(on.dot(&f.along), on.dot(&f.down))
        };
        let off = line.map(|p| self.behind_plane(&p));
        if off[0] * off[1] < 0.0 {
            let through = line[0].lerp(&line[1], off[0] / (off[0] - off[1]));
            if inside(&through) {
                return (off[0].min(off[1]), through);
            }
        }
        // Nearest to a polygon is an end over its inside, or a point of an edge.
        let mut best = match nearest_to_line(line, &self.bed) {
            Some([p, q]) => ((q - p).norm(), p),
            None => (f64::INFINITY, line[0]),
        };
        for (p, off) in line.iter().zip(off) {
            if off.abs() < best.0 && inside(p) {
                best = (off.abs(), *p);
            }
        }
        best
    }
}
