//! A state of tying seen en face: the empty bed, the fragment in its pose, limbs and anchors.

use super::body::Body;
use super::stage::Stage;
use super::window;
use crate::case::{Case, Construct, Side, Stop};
use crate::figures::canvas::{Canvas, Stroke};
use crate::figures::colour::Colour;
use crate::figures::construct::view::View;
use crate::figures::construct::{bone, limb, symbol};
use crate::figures::lettering::PT;
use crate::figures::rect::{Point, Rect};
use crate::figures::theme::Theme;
use crate::mechanics::Pose;

/// Dashes of the reduced outline and dots of the one before tying, mm on and off.
pub(super) const REDUCED: &[f64] = &[1.5, 0.8];
pub(super) const START: &[f64] = &[0.35, 0.75];
/// Room round everything that is drawn, mm of bone.
const MARGIN: f64 = 1.8;
/// Width of the band that emphasises a limb, pt.
const HALO: f64 = 7.5;
/// How much of the intact face is drawn beside the fracture line, mm.
const FACE: f64 = 5.5;

/// What every view of a study shares.
#[derive(Debug, Clone)]
pub(super) struct Scene<'a> {
    pub case: &'a Case,
    pub construct: &'a Construct,
    pub theme: &'a Theme,
    pub body: Body<'a>,
    groups: Vec<String>,
    socket: Vec<[f64; 2]>,
}

/// Something seen en face at one moment.
#[derive(Debug, Clone)]
pub(super) struct Shown {
    /// Where the fragment is.
    pub pose: Pose,
    /// Points of every limb's path, mm; none where it is not there.
    pub paths: Vec<Vec<[f64; 3]>>,
    /// Limbs that are emphasised.
    pub now: Vec<usize>,
}

impl Shown {
    /// A solved state.
    pub fn stage(stage: &Stage) -> Self {
        Self {
            pose: super::stage::pose(&stage.measures),
            paths: stage.paths.clone(),
            now: stage.limbs.clone(),
        }
    }
}

/// What a view must hold, mm of bone: least and greatest anterior and superior.
#[derive(Debug, Clone, Copy)]
pub(super) struct Extent {
    x: [f64; 2],
    y: [f64; 2],
}

impl Extent {
    fn add(&mut self, p: [f64; 2]) {
        self.x = [self.x[0].min(p[0]), self.x[1].max(p[0])];
        self.y = [self.y[0].min(p[1]), self.y[1].max(p[1])];
    }

    /// Width and height, mm.
    pub fn size(&self) -> [f64; 2] {
        [self.x[1] - self.x[0], self.y[1] - self.y[0]]
    }
}

/// A view on the page, cut at its window.
#[derive(Debug, Clone, Copy)]
pub(super) struct Frame {
    pub view: View,
    pub window: Rect,
}

impl Frame {
    /// Points on the page.
    pub fn page(&self, points: &[[f64; 2]]) -> Vec<Point> {
        points.iter().map(|p| self.view.page(p[0], p[1])).collect()
    }

    fn path(&self, canvas: &mut Canvas, points: &[Point], stroke: Stroke) {
        for piece in window::lines(points, self.window) {
            canvas.path(&piece, stroke);
        }
    }

    fn outline(&self, canvas: &mut Canvas, points: &[Point], stroke: Stroke) {
        let inside = |p: &Point| self.window.contains(&Rect::new(p[0], p[1], 0.0, 0.0));
        if stroke.dash.is_empty() && points.iter().all(inside) {
            canvas.outline(points, stroke);
        } else {
            let mut closed = points.to_vec();
            closed.extend(points.first());
            self.path(canvas, &closed, stroke);
        }
    }
}

impl<'a> Scene<'a> {
    pub fn new(case: &'a Case, construct: &'a Construct, theme: &'a Theme) -> Self {
        let mut groups: Vec<String> = Vec::new();
        for limb in &construct.limbs {
            if !groups.contains(&limb.group) {
                groups.push(limb.group.clone());
            }
        }
        Self {
            case,
            construct,
            theme,
            body: Body::new(case),
            groups,
            socket: bone::socket(&case.fragment, case.socket_height),
        }
    }

    /// 1 for a right shoulder, −1 for a left one, which is drawn mirrored.
    pub fn mirror(&self) -> f64 {
        match self.case.side {
            Side::Right => 1.0,
            Side::Left => -1.0,
        }
    }

    /// Colour of a limb.
    pub fn colour(&self, limb: usize) -> Colour {
        let group = &self.construct.limbs[limb].group;
        self.theme.group(group, &self.groups)
    }

    /// What holds all these states, the reduced fragment, the anchors and some intact face.
    pub fn extent<'s>(&self, states: impl Iterator<Item = &'s Stage>) -> Extent {
        let f = &self.case.fragment;
        let mut extent = Extent {
            x: [f64::INFINITY, f64::NEG_INFINITY],
            y: [f64::INFINITY, f64::NEG_INFINITY],
        };
        for t in [-0.6, 0.6] {
            let p = f.outward * (f.chord_distance - FACE) + f.along * (t * f.half_chord);
            extent.add([p.x, p.y]);
        }
        let reduced = self.body.seen(&Pose::default());
        reduced.whole.iter().for_each(|p| extent.add(*p));
        for anchor in &self.construct.anchors {
            extent.add([anchor.point.x, anchor.point.y]);
        }
        for stage in states {
            let seen = self.body.seen(&super::stage::pose(&stage.measures));
            seen.whole
                .iter()
                .chain(&seen.face)
                .for_each(|p| extent.add(*p));
            for p in stage.paths.iter().flatten() {
                extent.add([p[0], p[1]]);
            }
        }
        extent.x = [extent.x[0] - MARGIN, extent.x[1] + MARGIN];
        extent.y = [extent.y[0] - MARGIN, extent.y[1] + MARGIN];
        extent
    }

    /// A view of the extent at `scale` page mm per mm of bone, the upper left corner of its
    /// window at `at`.
    pub fn frame(&self, extent: &Extent, scale: f64, at: Point) -> Frame {
        let [w, h] = extent.size();
        let mirror = self.mirror();
        Frame {
            view: View {
                origin: [
                    at[0] + 0.5 * scale * w - mirror * scale * 0.5 * (extent.x[0] + extent.x[1]),
                    at[1] + scale * extent.y[1],
                ],
                scale,
                mirror,
            },
            window: Rect::new(at[0], at[1], scale * w, scale * h),
        }
    }

    /// Colour of the bed where the fragment does not cover it.
    pub fn empty_bed(&self) -> Colour {
        self.theme.bone.mix(self.theme.ink, 0.16)
    }

    /// Draws a moment: intact face, empty bed with the reduced outline (dashed), the outline before
    /// tying (dotted), fragment, outlines of other `poses` (thin), limbs and anchors.
    pub fn draw(
        &self,
        canvas: &mut Canvas,
        frame: &Frame,
        shown: &Shown,
        start: &Pose,
        poses: &[Pose],
    ) {
        let theme = self.theme;
        let outline = Stroke::solid(theme.ink, theme.outline);
        let socket = frame.page(&self.socket);
        canvas.area(&window::polygon(&socket, frame.window), theme.bone);
        frame.outline(canvas, &socket, Stroke::solid(theme.muted, theme.hair));
        let reduced = frame.page(&self.body.seen(&Pose::default()).face);
        canvas.area(&reduced, self.empty_bed());
        let seen = self.body.seen(&shown.pose);
        let whole = frame.page(&seen.whole);
        canvas.area(&whole, theme.fragment.mix(theme.ink, 0.25));
        canvas.outline(&whole, outline);
        let face = frame.page(&seen.face);
        canvas.area(&face, theme.fragment);
        canvas.outline(&face, outline);
        canvas.path(&face[..seen.line], Stroke::solid(theme.ink, 1.3));
        for pose in poses {
            let thin = Stroke::solid(theme.muted.tint(0.2), 0.5);
            self.outline_of(canvas, frame, pose, thin);
        }
        self.outline_of(
            canvas,
            frame,
            start,
            Stroke::dashed(theme.muted, 0.75, START),
        );
        self.outline_of(
            canvas,
            frame,
            &Pose::default(),
            Stroke::dashed(theme.ink, 0.6, REDUCED),
        );
        self.limbs(canvas, frame, shown);
        self.anchors(canvas, frame, shown);
    }

    /// The outline of the fragment's face in a pose.
    fn outline_of(&self, canvas: &mut Canvas, frame: &Frame, pose: &Pose, stroke: Stroke) {
        let face = frame.page(&self.body.seen(pose).face);
        frame.outline(canvas, &face, stroke);
    }

    fn is_loop(&self, k: usize) -> bool {
        self.construct.limbs[k].group == "loop"
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
            let (lo, hi) =
                pages
                    .iter()
                    .fold(([f64::INFINITY; 2], [f64::NEG_INFINITY; 2]), |(l, h), p| {
                        (
                            [l[0].min(p[0]), l[1].min(p[1])],
                            [h[0].max(p[0]), h[1].max(p[1])],
                        )
                    });
            let centre = [0.5 * (lo[0] + hi[0]), 0.5 * (lo[1] + hi[1])];
            let radius = 0.5 * (hi[0] - lo[0]).hypot(hi[1] - lo[1]) + 1.9;
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

    /// A path with its way back where the strand is closed.
    fn whole(&self, k: usize, path: &[[f64; 3]]) -> Vec<[f64; 3]> {
        let mut path = path.to_vec();
        if self.construct.limbs[k].closed {
            path.extend(path.first().copied());
        }
        path
    }

    fn signs(
        &self,
        canvas: &mut Canvas,
        frame: &Frame,
        k: usize,
        path: &[[f64; 3]],
        look: limb::Look,
    ) {
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
    fn stretches(
        &self,
        frame: &Frame,
        shown: &Shown,
        k: usize,
        path: &[[f64; 3]],
    ) -> Vec<(Vec<Point>, bool)> {
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
        paths.iter().enumerate().find_map(|(k, path)| {
            let stops = &self.construct.limbs[k].path;
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
