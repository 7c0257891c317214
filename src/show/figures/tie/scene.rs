//! A state of tying seen en face: the empty bed, the fragment in its pose, limbs, screws and anchors.

use super::body::Body;
use super::stage::Stage;
use super::{limbs, window};
use crate::mechanics::Pose;
use crate::model::{Case, Construct};
use crate::show::figures::canvas::{Canvas, Stroke};
use crate::show::figures::colour::Colour;
use crate::show::figures::construct::bone;
use crate::show::figures::construct::view::View;
use crate::show::figures::rect::{Point, Rect};
use crate::show::figures::subject::{groups, limbs_or_screws, mirror};
use crate::show::figures::theme::Theme;

/// Dashes of the reduced outline and dots of the one before tying, mm on and off.
pub(super) const REDUCED: &[f64] = &[1.5, 0.8];
pub(super) const START: &[f64] = &[0.35, 0.75];
/// Room round everything that is drawn, mm of bone.
const MARGIN: f64 = 1.8;
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
    /// Points of every limb's path, then those of every screw, mm; none where it is not there.
    pub paths: Vec<Vec<[f64; 3]>>,
    /// Limbs and screws that are emphasised.
    pub now: Vec<usize>,
}

impl Shown {
    /// A solved state.
    pub fn stage(stage: &Stage) -> Self {
        Self { pose: super::stage::pose(&stage.measures), paths: stage.paths.clone(), now: stage.now.clone() }
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
        Self {
            case,
            construct,
            theme,
            body: Body::new(case),
            groups: groups(construct.limbs.iter().map(|l| l.group.as_str())),
            socket: bone::socket(&case.fragment, case.socket_height),
        }
    }

    /// 1 for a right shoulder, −1 for a left one, which is drawn mirrored.
    pub fn mirror(&self) -> f64 {
        mirror(self.case)
    }

    /// How many limbs and screws there are: limbs come first wherever both are counted.
    pub fn count(&self) -> usize {
        self.construct.limbs.len() + self.construct.screws.len()
    }

    /// What all of them are, in words.
    pub fn members(&self) -> &'static str {
        limbs_or_screws(self.construct.limbs.len(), self.construct.screws.len())
    }

    /// Name of a limb or screw.
    pub fn name(&self, k: usize) -> &str {
        match self.construct.limbs.get(k) {
            Some(limb) => &limb.name,
            None => &self.construct.screws[k - self.construct.limbs.len()].name,
        }
    }

    /// Colour of a limb or screw: a screw has threads instead of one.
    pub fn colour(&self, k: usize) -> Colour {
        match self.construct.limbs.get(k) {
            Some(limb) => self.theme.group(&limb.group, &self.groups),
            None => self.theme.muted,
        }
    }

    /// What holds all these states, the reduced fragment, anchors, screws and some intact face.
    pub fn extent<'s>(&self, states: impl Iterator<Item = &'s Stage>) -> Extent {
        let f = &self.case.fragment;
        let mut extent = Extent { x: [f64::INFINITY, f64::NEG_INFINITY], y: [f64::INFINITY, f64::NEG_INFINITY] };
        for t in [-0.6, 0.6] {
            let p = f.outward * (f.chord_distance - FACE) + f.along * (t * f.half_chord);
            extent.add([p.x, p.y]);
        }
        let reduced = self.body.seen(&Pose::default());
        reduced.whole.iter().for_each(|p| extent.add(*p));
        for anchor in &self.construct.anchors {
            extent.add([anchor.point.x, anchor.point.y]);
        }
        for screw in &self.construct.screws {
            extent.add([screw.tip().x, screw.tip().y]);
        }
        for stage in states {
            let seen = self.body.seen(&super::stage::pose(&stage.measures));
            seen.whole.iter().chain(&seen.face).for_each(|p| extent.add(*p));
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
    /// tying (dotted), fragment, outlines of other `poses` (thin), limbs, screws and anchors.
    pub fn draw(&self, canvas: &mut Canvas, frame: &Frame, shown: &Shown, start: &Pose, poses: &[Pose]) {
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
        self.outline_of(canvas, frame, start, Stroke::dashed(theme.muted, 0.75, START));
        self.outline_of(canvas, frame, &Pose::default(), Stroke::dashed(theme.ink, 0.6, REDUCED));
        limbs::draw(self, canvas, frame, shown);
    }

    /// The outline of the fragment's face in a pose.
    fn outline_of(&self, canvas: &mut Canvas, frame: &Frame, pose: &Pose, stroke: Stroke) {
        let face = frame.page(&self.body.seen(pose).face);
        frame.outline(canvas, &face, stroke);
    }
}
