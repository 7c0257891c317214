//! The fragment in any pose: what of it is seen en face, and its fracture line against the intact
//! edge.

use super::window::{half, hull};
use crate::anatomy::Fragment;
use crate::math::Vec3;
use crate::mechanics::Pose;
use crate::model::Case;

/// Points along the fracture line.
const LINE: usize = 31;

/// The fragment's edges, material points in mm.
#[derive(Debug, Clone)]
pub(super) struct Body<'a> {
    fragment: &'a Fragment,
    /// Fracture line on the face, from the inferior to the superior end.
    line: Vec<Vec3>,
    /// Rim, from the superior to the inferior end.
    rim: Vec<Vec3>,
    /// Medial margin.
    margin: Vec<Vec3>,
}

/// A fragment seen en face, (anterior, superior) in mm.
#[derive(Debug, Clone)]
pub(super) struct Seen {
    /// Outline of its face: fracture line, then rim.
    pub face: Vec<[f64; 2]>,
    /// Outline of all of it outward of the intact edge.
    pub whole: Vec<[f64; 2]>,
    /// How many points of `face` are fracture line.
    pub line: usize,
}

/// A point of the fracture line against the intact edge.
#[derive(Debug, Clone, Copy)]
pub(super) struct Against {
    /// Where along the chord, mm.
    pub along: f64,
    /// How far lateral of the intact edge there, mm.
    pub step: f64,
}

impl<'a> Body<'a> {
    pub fn new(case: &'a Case) -> Self {
        let fragment = &case.fragment;
        let c = fragment.half_chord;
        let radius = fragment.socket.radius;
        let height = Vec3::z() * fragment.socket.rim_height();
        let turn = libm::asin((c / radius).clamp(-1.0, 1.0));
        let share = |k: usize, n: usize| 2.0 * k as f64 / (n - 1) as f64 - 1.0;
        let bed = |k: usize, edge: fn((f64, f64)) -> f64| {
            let t = c * share(k, LINE);
            fragment.bed_point(t, edge(fragment.bed_column(t)))
        };
        Self {
            fragment,
            line: (0..LINE).map(|k| bed(k, |column| column.0)).collect(),
            margin: (0..LINE).map(|k| bed(k, |column| column.1)).collect(),
            rim: (0..61)
                .map(|k| {
                    let a = -turn * share(k, 61);
                    (fragment.outward * libm::cos(a) + fragment.along * libm::sin(a)) * radius + height
                })
                .collect(),
        }
    }

    fn place(&self, pose: &Pose, p: &Vec3) -> Vec3 {
        pose.place(&self.fragment.centroid, p)
    }

    /// Seen en face.
    pub fn seen(&self, pose: &Pose) -> Seen {
        let flat = |p: &Vec3| {
            let q = self.place(pose, p);
            [q.x, q.y]
        };
        let face: Vec<[f64; 2]> = self.line.iter().chain(&self.rim).map(flat).collect();
        let all: Vec<[f64; 2]> = face.iter().copied().chain(self.margin.iter().map(flat)).collect();
        let (out, edge) = (self.fragment.outward, self.fragment.chord_distance);
        Seen { whole: half(&hull(&all), |p| p[0] * out.x + p[1] * out.y - edge), face, line: LINE }
    }

    /// Its fracture line against the intact edge, from the inferior to the superior end.
    pub fn against(&self, pose: &Pose) -> Vec<Against> {
        let f = self.fragment;
        self.line
            .iter()
            .map(|p| {
                let q = self.place(pose, p);
                let along = (q - f.bed_origin()).dot(&f.along);
                let intact = f.bed_point(along, f.bed_column(along).0);
                Against { along, step: q.z - intact.z }
            })
            .collect()
    }

    /// The inferior tip of the fragment in a pose, (anterior, superior) in mm.
    pub fn tip(&self, pose: &Pose) -> [f64; 2] {
        let p = self.place(pose, &self.rim[self.rim.len() - 1]);
        [p.x, p.y]
    }

    /// Whether a point is hidden en face, by the fragment in its pose or deep in intact bone. A
    /// straight limb to a sunken fragment dips below the intact edge, which it would lie on.
    pub fn hides(&self, pose: &Pose, p: [f64; 3]) -> bool {
        use crate::show::figures::construct::bone::is_hidden;
        const DIP: f64 = 4.0;
        let p = Vec3::from(p);
        let f = self.fragment;
        let outward = |q: &Vec3| q.dot(&f.outward) - f.chord_distance;
        // The same place on the reduced fragment.
        let own = pose.turn.inverse() * (p - f.centroid - pose.shift) + f.centroid;
        let by_fragment = outward(&own) >= 0.0 && own.dot(&f.along).abs() < f.half_chord;
        let by_socket = outward(&p) < 0.0;
        (by_fragment && is_hidden(f, own.into())) || (by_socket && is_hidden(f, (p + Vec3::z() * DIP).into()))
    }
}
