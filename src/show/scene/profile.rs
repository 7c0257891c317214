//! The step along the fracture line: fragment edge against intact edge, lateral upward.

use super::*;

/// How far the intact edge is drawn beyond the ends of the bed, mm.
const EDGE: f64 = 0.8;

/// How far the fracture line reaches in several states, mm.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Reach {
    /// The lowest step (zero or less) and the highest (zero or more).
    step: [f64; 2],
    /// The most inferior and the most superior place along the chord, the intact edge included.
    along: [f64; 2],
}

impl Reach {
    pub fn of(case: &Case, body: &Body<'_>, poses: impl Iterator<Item = Pose>) -> Self {
        let c = case.fragment.half_chord + EDGE;
        let points: Vec<[f64; 2]> = poses.flat_map(|pose| body.against(&pose)).chain([[-c, 0.0], [c, 0.0]]).collect();
        let of = |k: usize| extremes(points.iter().map(|p| p[k]));
        Self { step: of(1), along: of(0) }
    }

    /// Length along the chord, mm.
    pub fn length(&self) -> f64 {
        self.along[1] - self.along[0]
    }

    /// Distance between highest and lowest step, mm.
    pub fn height(&self) -> f64 {
        self.step[1] - self.step[0]
    }
}

/// A profile on the page.
pub(crate) struct Profile<'a> {
    case: &'a Case,
    theme: &'a Theme,
    /// Middle of the intact edge on the page.
    origin: Point,
    /// Page mm per mm of bone, both ways.
    scale: f64,
    /// Where along the page superior lies: 1 right, −1 left.
    superior: f64,
    reach: Reach,
}

impl<'a> Profile<'a> {
    /// One that stands in a box with its upper left corner at `at`, as high and wide as `reach`.
    pub fn in_box(case: &'a Case, theme: &'a Theme, reach: &Reach, scale: f64, at: Point) -> Self {
        let superior = if mirror(case) * case.fragment.along.x < -1e-9 { -1.0 } else { 1.0 };
        let left = if superior > 0.0 { -reach.along[0] } else { reach.along[1] };
        let origin = [at[0] + scale * left, at[1] + scale * reach.step[1]];
        Self { case, theme, origin, scale, superior, reach: *reach }
    }

    /// Writes which end is which, above the highest step, so that no state covers the words.
    pub fn ends(&self, canvas: &mut Canvas) {
        let set = self.theme.note().italic();
        let c = self.scale * (self.case.fragment.half_chord + EDGE);
        let base = self.origin[1] - self.scale * self.reach.step[1] - 1.2;
        for (word, side) in [("inferior", -self.superior), ("superior", self.superior)] {
            canvas.text(word, [self.origin[0] + side * c, base], set.away(-side));
        }
    }

    /// Draws the intact edge as a level line, the fragment's edge, and the step between them.
    pub fn draw(&self, canvas: &mut Canvas, body: &Body<'_>, pose: &Pose) {
        let [x, level] = self.origin;
        let page = |[along, step]: [f64; 2]| [x + self.superior * along * self.scale, level - step * self.scale];
        let edge: Vec<Point> = body.against(pose).into_iter().map(page).collect();
        let foot = edge.iter().rev().map(|p| [p[0], level]);
        let area: Vec<Point> = edge.iter().copied().chain(foot).collect();
        proud(canvas, self.theme, &half(&area, |p| level - p[1]));
        recessed(canvas, self.theme, &half(&area, |p| p[1] - level));
        let c = self.case.fragment.half_chord + EDGE;
        canvas.line(page([-c, 0.0]), page([c, 0.0]), self.theme.axis());
        canvas.path(&edge, Stroke::solid(self.theme.ink, 1.3));
    }
}

/// What stands proud: hatched.
pub(crate) fn proud(canvas: &mut Canvas, theme: &Theme, area: &[Point]) {
    canvas.area(area, theme.series[1].tint(0.6));
    canvas.textured(area, Texture::Rising, 0.8, Stroke::solid(theme.series[1], 0.4));
}

/// What is recessed: plain.
pub(crate) fn recessed(canvas: &mut Canvas, theme: &Theme, area: &[Point]) {
    canvas.area(area, theme.muted.tint(0.6));
}
