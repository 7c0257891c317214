//! Taut crossings: where a limb lies over the rim when nobody says where.
//!
//! A crossing without a given place sits where the limb is shortest on the reduced fragment: the
//! derivative of its two neighbouring stretches along the rim vanishes there. Found with argmin's
//! Brent root finder on that derivative; when the limb would slide off an end of the fragment, it
//! stays at that end.

use crate::anatomy::Fragment;
use crate::math::Vec3;
use crate::model::{Construct, LimbSpec, Stop};
use argmin::core::{CostFunction, Error, Executor};
use argmin::solver::brent::BrentRoot;

/// Slope of the path's length by the crossing's place along the rim.
struct Slope<'a> {
    fragment: &'a Fragment,
    before: Vec3,
    after: Vec3,
}

impl Slope<'_> {
    fn at(&self, t: f64) -> f64 {
        let point = rim(self.fragment, t);
        let radius = self.fragment.socket.radius;
        let tangent = self.fragment.along - self.fragment.outward * (t / (radius * radius - t * t).sqrt());
        let pull = |other: &Vec3| {
            let line = point - other;
            let length = line.norm();
            if length > 0.0 { line.dot(&tangent) / length } else { 0.0 }
        };
        pull(&self.before) + pull(&self.after)
    }
}

impl CostFunction for Slope<'_> {
    type Param = f64;
    type Output = f64;
    fn cost(&self, t: &f64) -> Result<f64, Error> {
        Ok(self.at(*t))
    }
}

fn rim(fragment: &Fragment, t: f64) -> Vec3 {
    let radius = fragment.socket.radius;
    fragment.outward * (radius * radius - t * t).max(0.0).sqrt()
        + fragment.along * t
        + Vec3::z() * fragment.socket.rim_height()
}

/// Where the shortest path between two points crosses the fragment's rim, mm along the chord.
pub fn crossing(fragment: &Fragment, before: Vec3, after: Vec3) -> f64 {
    let slope = Slope { fragment, before, after };
    // The rim of a full-length fragment ends where it meets the chord; a hair inside of that the
    // tangent is still finite.
    let end = fragment.half_chord * (1.0 - 1e-9);
    if slope.at(-end) >= 0.0 {
        return -end;
    }
    if slope.at(end) <= 0.0 {
        return end;
    }
    let solver = BrentRoot::new(-end, end, 1e-13);
    Executor::new(slope, solver)
        .configure(|state| state.param(0.0).max_iters(200))
        .run()
        .ok()
        .and_then(|result| result.state.best_param)
        .unwrap_or(0.0)
}

/// Places of a limb's stops on the reduced anatomy, with its taut crossings resolved.
pub fn places(fragment: &Fragment, construct: &Construct, spec: &LimbSpec) -> Vec<Vec3> {
    let mut taut = Vec::new();
    let mut places: Vec<Vec3> = spec
        .path
        .iter()
        .enumerate()
        .map(|(i, stop)| match stop {
            Stop::Anchor { index, .. } => construct.anchors[*index].point,
            Stop::Bite { point, .. } | Stop::Crossing { point: Some(point), .. } => *point,
            Stop::Crossing { point: None, .. } => {
                taut.push(i);
                rim(fragment, 0.0)
            }
        })
        .collect();
    let n = places.len();
    // Each crossing depends on its neighbours only; neighbours that are both taut settle in turns.
    for _ in 0..200 {
        let mut moved = 0.0f64;
        for &i in &taut {
            let t = crossing(fragment, places[(i + n - 1) % n], places[(i + 1) % n]);
            let place = rim(fragment, t);
            moved = moved.max((place - places[i]).norm());
            places[i] = place;
        }
        if moved < 1e-12 {
            break;
        }
    }
    places
}
