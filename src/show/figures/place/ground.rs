//! The bone under an anchor's own plane, to scale in a window: the face from lateral, or the neck wall
//! and the bed from in front of the fragment.

use crate::model::Case;
use crate::show::figures::canvas::{Canvas, Stroke, corners};
use crate::show::figures::construct::bone;
use crate::show::figures::construct::limb::segments;
use crate::show::figures::construct::view::View;
use crate::show::figures::rect::{Point, Rect};
use crate::show::figures::subject::{groups, mirror};
use crate::show::figures::theme::Theme;
use crate::show::figures::tie::window;
use crate::study::result::TiedState;

/// From where one looks.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Seen {
    /// From lateral, on the face: (anterior, superior).
    Face,
    /// Square to the fracture line, from in front of the fragment: (medial, along the line). Depths
    /// below the face are true there.
    Front,
}

impl Seen {
    /// A point in the view, mm.
    pub fn flat(self, case: &Case, p: [f64; 3]) -> [f64; 2] {
        let along = case.fragment.along;
        match self {
            Self::Face => [p[0], p[1]],
            Self::Front => [-p[2], p[0] * along.x + p[1] * along.y],
        }
    }

    /// 1 when the view's first axis runs to the right on the page.
    fn mirror(self, case: &Case) -> f64 {
        match self {
            Self::Face => mirror(case),
            // Whoever looks at a posterior fragment from in front of it has medial on the other hand.
            Self::Front if case.fragment.outward.x < 0.0 => -mirror(case),
            Self::Front => mirror(case),
        }
    }

    /// The fragment's outline, mm: the fracture line, or the rim, first.
    pub fn fragment(self, case: &Case) -> Vec<[f64; 2]> {
        let f = &case.fragment;
        match self {
            Self::Face => bone::fragment(f),
            Self::Front => {
                let at = |k: i32| f.half_chord * f64::from(k) / 30.0;
                let rim = -f.socket.rim_height();
                let mut outline = vec![[rim, f.half_chord], [rim, -f.half_chord]];
                outline.extend((-30..=30).map(|k| {
                    let p = f.bed_point(at(k), f.bed_column(at(k)).1);
                    [-p.z, at(k)]
                }));
                outline
            }
        }
    }

    /// The intact bone, mm: the socket, or the neck wall down to `deep` mm medial to the socket's floor.
    fn bone(self, case: &Case, deep: f64) -> Vec<[f64; 2]> {
        let f = &case.fragment;
        match self {
            Self::Face => bone::socket(f, case.socket_height),
            Self::Front => {
                let rim = -f.socket.rim_height();
                let edge = |k: i32| {
                    let u = rim + (deep - rim) * f64::from(k) / 20.0;
                    [u, f.wall_radius(-u).max(0.0)]
                };
                let mut outline: Vec<[f64; 2]> = (0..=20).map(edge).collect();
                outline.extend((0..=20).rev().map(|k| [edge(k)[0], -edge(k)[1]]));
                outline
            }
        }
    }

    /// Where the view's first axis points, in a word.
    pub fn across(self) -> &'static str {
        match self {
            Self::Face => "anterior",
            Self::Front => "medial",
        }
    }
}

/// Least and greatest of both coordinates of what a window must hold, mm of bone.
#[derive(Debug, Clone, Copy)]
pub(super) struct Extent {
    lo: [f64; 2],
    hi: [f64; 2],
}

impl Extent {
    /// About some points, with a margin.
    pub fn about(points: impl Iterator<Item = [f64; 2]>, margin: f64) -> Self {
        let mut extent = Self { lo: [f64::INFINITY; 2], hi: [f64::NEG_INFINITY; 2] };
        for p in points {
            extent.lo = [0, 1].map(|k| extent.lo[k].min(p[k] - margin));
            extent.hi = [0, 1].map(|k| extent.hi[k].max(p[k] + margin));
        }
        extent
    }

    /// Width and height, mm.
    pub fn size(&self) -> [f64; 2] {
        [0, 1].map(|k| self.hi[k] - self.lo[k])
    }

    fn middle(&self) -> [f64; 2] {
        [0, 1].map(|k| 0.5 * (self.hi[k] + self.lo[k]))
    }
}

/// A window on the bone.
pub(super) struct Ground<'a> {
    pub case: &'a Case,
    pub theme: &'a Theme,
    pub seen: Seen,
    pub window: Rect,
    view: View,
}

impl<'a> Ground<'a> {
    /// The middle of `extent` in the middle of `window`, at `scale` mm on the page per mm of bone.
    pub fn new(case: &'a Case, theme: &'a Theme, seen: Seen, extent: &Extent, scale: f64, window: Rect) -> Self {
        let (middle, mirror) = (extent.middle(), seen.mirror(case));
        let origin =
            [window.x + 0.5 * window.w - mirror * scale * middle[0], window.y + 0.5 * window.h + scale * middle[1]];
        Self { case, theme, seen, window, view: View { origin, scale, mirror } }
    }

    /// 1 when the view's first axis runs to the right on the page.
    pub fn mirror(&self) -> f64 {
        self.view.mirror
    }

    /// A point on the page.
    pub fn page(&self, p: [f64; 3]) -> Point {
        let [u, v] = self.seen.flat(self.case, p);
        self.view.page(u, v)
    }

    /// Whether a point of the page lies in the window, so far inside.
    pub fn holds(&self, p: Point, inside: f64) -> bool {
        self.window.grown(-inside).contains(&Rect::new(p[0], p[1], 0.0, 0.0))
    }

    /// A line, cut at the window.
    pub fn path(&self, canvas: &mut Canvas, points: &[Point], stroke: Stroke) {
        for piece in window::lines(points, self.window) {
            canvas.path(&piece, stroke);
        }
    }

    /// An area cut at the window.
    pub fn cut(&self, points: &[Point]) -> Vec<Point> {
        window::polygon(points, self.window)
    }

    /// Draws bone and fragment.
    pub fn draw(&self, canvas: &mut Canvas) {
        let theme = self.theme;
        let page = |points: &[[f64; 2]]| -> Vec<Point> { points.iter().map(|p| self.view.page(p[0], p[1])).collect() };
        let closed = |points: &[Point]| {
            let mut all = points.to_vec();
            all.extend(points.first());
            all
        };
        // Deeper than any window, so that the neck goes on.
        let intact = page(&self.seen.bone(self.case, 60.0));
        canvas.area(&self.cut(&intact), theme.bone);
        let fragment = page(&self.seen.fragment(self.case));
        canvas.area(&self.cut(&fragment), theme.fragment);
        let hair = Stroke::solid(theme.muted, theme.hair);
        self.path(canvas, &closed(&intact), hair);
        self.path(canvas, &closed(&fragment), Stroke::solid(theme.ink, theme.outline));
        if self.seen == Seen::Face {
            self.path(canvas, &fragment[..2], Stroke::solid(theme.ink, 1.3));
        }
    }

    /// Draws a frame about the window.
    pub fn frame(&self, canvas: &mut Canvas) {
        let stroke = Stroke::solid(self.theme.faint, self.theme.hair);
        canvas.outline(&corners(self.window), stroke);
    }

    /// Draws the limbs, thin; `fade` of white in their colours.
    pub fn limbs(&self, canvas: &mut Canvas, tied: &TiedState, fade: f64, width: f64) {
        let names = groups(tied.limbs.iter().map(|l| l.group.as_str()));
        for limb in &tied.limbs {
            let colour = self.theme.group(&limb.group, &names).tint(fade);
            // A loop is dashed, so that it needs no colour.
            let dash: &[f64] = if limb.group == "loop" { &[0.9, 0.5] } else { &[] };
            for (a, b) in segments(&limb.path) {
                let stroke = Stroke::dashed(colour, width, dash);
                self.path(canvas, &[self.page(a), self.page(b)], stroke);
            }
        }
    }

    /// The fragment's outline on the page, closed.
    pub fn fragment(&self) -> Vec<Point> {
        let mut outline: Vec<Point> =
            self.seen.fragment(self.case).iter().map(|p| self.view.page(p[0], p[1])).collect();
        outline.extend(outline.first().copied());
        outline
    }

    /// A bar of so many mm of bone, its left end at `at`, its length above it.
    pub fn scale_bar(&self, canvas: &mut Canvas, at: Point) {
        self.view.scale_bar(canvas, self.theme, at);
    }
}
