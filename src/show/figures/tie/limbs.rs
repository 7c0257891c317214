//! Limbs, screws and anchors in a view.

use super::scene::{Frame, Scene, Shown};
use crate::model::Stop;
use crate::show::figures::canvas::{Canvas, Stroke};
use crate::show::figures::construct::{bone, limb, screw, symbol};
use crate::show::figures::lettering::PT;
use crate::show::figures::rect::Point;

/// Width of the band that emphasises a limb or screw, pt.
const HALO: f64 = 7.5;

/// Draws what holds the fragment: limbs just tied thick on a pale band, limbs tied before thin and
/// pale, dashed where they run behind bone; screws likewise, undashed; anchors, pale where no limb is
/// on them yet.
pub(super) fn draw(scene: &Scene<'_>, canvas: &mut Canvas, frame: &Frame, shown: &Shown) {
    scene.limbs(canvas, frame, shown);
    scene.anchors(canvas, frame, shown);
}

impl Scene<'_> {
    fn is_loop(&self, k: usize) -> bool {
        self.construct.limbs.get(k).is_some_and(|l| l.group == "loop")
    }

    /// How a limb looks, just tied or earlier.
    pub fn look(&self, k: usize, now: bool) -> limb::Look {
        let colour = self.colour(k);
        limb::Look {
            colour: if now { colour } else { colour.tint(0.35) },
            width: if now { 2.1 } else { 0.9 },
            hollow: self.is_loop(k),
        }
    }

    fn limbs(&self, canvas: &mut Canvas, frame: &Frame, shown: &Shown) {
        // Limbs just tied above the others, stretches behind bone below all.
        for (hidden, now) in [(true, false), (true, true), (false, false), (false, true)] {
            for (k, path) in shown.paths.iter().enumerate() {
                if shown.now.contains(&k) != now || path.is_empty() {
                    continue;
                }
                let look = self.look(k, now);
                if k >= self.construct.limbs.len() {
                    // A screw runs inside bone all along, and is drawn with the stretches there.
                    if let (true, &[head, plane, tip]) = (hidden, path.as_slice()) {
                        let places = [head, plane, tip].map(|p| frame.view.page(p[0], p[1]));
                        self.screw(canvas, places, now);
                    }
                    continue;
                }
                if now && hidden {
                    self.halo(canvas, frame, k, path);
                }
                for (points, behind) in self.stretches(frame, shown, k, path) {
                    if behind == hidden {
                        look.draw(canvas, &points, hidden);
                    }
                }
                if !hidden {
                    self.signs(canvas, frame, k, path, look);
                }
            }
        }
    }

    /// A pale band below a limb just tied; a loop, which is short, gets a ringed disc.
    fn halo(&self, canvas: &mut Canvas, frame: &Frame, k: usize, path: &[[f64; 3]]) {
        let colour = self.colour(k).tint(0.7);
        let pages: Vec<Point> = path.iter().map(|p| frame.view.page(p[0], p[1])).collect();
        if self.is_loop(k) {
            let (lo, hi) = pages.iter().fold(([f64::INFINITY; 2], [f64::NEG_INFINITY; 2]), |(l, h), p| {
                ([l[0].min(p[0]), l[1].min(p[1])], [h[0].max(p[0]), h[1].max(p[1])])
            });
            let centre = [0.5 * (lo[0] + hi[0]), 0.5 * (lo[1] + hi[1])];
            let radius = 0.5 * libm::hypot(hi[0] - lo[0], hi[1] - lo[1]) + 1.9;
            canvas.disc(centre, radius, colour);
            canvas.circle(centre, radius, Stroke::solid(self.colour(k), 0.75));
            return;
        }
        for (a, b) in limb::segments(&self.whole(k, path)) {
            let ends = [a, b].map(|p| frame.view.page(p[0], p[1]));
            canvas.path(&ends, Stroke::solid(colour, HALO));
            for p in ends {
                canvas.disc(p, 0.5 * HALO * PT, colour);
            }
        }
    }

    /// A screw on the page, from its head over the fracture plane to its tip: dark on a pale band where
    /// it was just tightened, pale where it was before.
    pub fn screw(&self, canvas: &mut Canvas, [head, plane, tip]: [Point; 3], now: bool) {
        let ink = self.theme.ink;
        let colour = if now { ink } else { ink.tint(0.35) };
        if now {
            let band = Stroke::solid(self.theme.muted.tint(0.6), HALO);
            canvas.path(&[head, tip], band);
        }
        screw::draw(canvas, [head, plane, tip], colour);
    }

    /// A path with its way back where the strand is closed.
    fn whole(&self, k: usize, path: &[[f64; 3]]) -> Vec<[f64; 3]> {
        let mut path = path.to_vec();
        if self.construct.limbs.get(k).is_some_and(|l| l.closed) {
            path.extend(path.first().copied());
        }
        path
    }

    fn signs(&self, canvas: &mut Canvas, frame: &Frame, k: usize, path: &[[f64; 3]], look: limb::Look) {
        for (j, (p, stop)) in path.iter().zip(&self.construct.limbs[k].path).enumerate() {
            let at = frame.view.page(p[0], p[1]);
            match stop {
                Stop::Anchor { .. } => {}
                Stop::Bite { .. } => symbol::diamond(canvas, at, look.colour),
                Stop::Crossing { .. } => {
                    let q = path[j.saturating_sub(1)];
                    let from = frame.view.page(q[0], q[1]);
                    symbol::bar(canvas, at, [at[0] - from[0], at[1] - from[1]], look.colour);
                }
            }
        }
    }

    /// A limb cut where it passes behind bone.
    fn stretches(&self, frame: &Frame, shown: &Shown, k: usize, path: &[[f64; 3]]) -> Vec<(Vec<Point>, bool)> {
        const PARTS: usize = 30;
        let looped = self.is_loop(k);
        let mut out: Vec<(Vec<Point>, bool)> = Vec::new();
        for (a, b) in limb::segments(&self.whole(k, path)) {
            let at = |s: f64| [0, 1, 2].map(|i| a[i] + s * (b[i] - a[i]));
            let page = |p: [f64; 3]| frame.view.page(p[0], p[1]);
            let mut run: Option<(Vec<Point>, bool)> = None;
            for j in 0..PARTS {
                let (from, to) = (j as f64 / PARTS as f64, (j + 1) as f64 / PARTS as f64);
                // A loop is drawn as straight legs where it runs round the rim: seen throughout.
                let hidden = !looped && self.body.hides(&shown.pose, at(0.5 * (from + to)));
                match &mut run {
                    Some((points, same)) if *same == hidden => points.push(page(at(to))),
                    _ => {
                        out.extend(run.take());
                        run = Some((vec![page(at(from)), page(at(to))], hidden));
                    }
                }
            }
            out.extend(run);
        }
        out
    }

    /// Where the limbs on an anchor have drawn it to: seats give. `None` while nothing pulls on it.
    pub fn anchor_place(&self, paths: &[Vec<[f64; 3]>], index: usize) -> Option<[f64; 3]> {
        paths.iter().zip(&self.construct.limbs).find_map(|(path, limb)| {
            let stops = &limb.path;
            let here = |s: &Stop| matches!(s, Stop::Anchor { index: i, .. } if *i == index);
            path.get(stops.iter().position(here)?).copied()
        })
    }

    fn anchors(&self, canvas: &mut Canvas, frame: &Frame, shown: &Shown) {
        for (index, anchor) in self.construct.anchors.iter().enumerate() {
            let place = self.anchor_place(&shown.paths, index);
            let ink = self.theme.ink;
            let colour = if place.is_some() { ink } else { ink.tint(0.55) };
            let p = place.unwrap_or(anchor.point.into());
            let at = frame.view.page(p[0], p[1]);
            if bone::is_hidden(&self.case.fragment, anchor.point.into()) {
                symbol::broken_ring(canvas, at, colour);
            } else {
                symbol::eye(canvas, at, colour);
            }
        }
    }
}
