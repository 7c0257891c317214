//! The step along the fracture line: fragment edge against intact edge, lateral upward.

use super::body::Against;
use super::scene::Scene;
use super::window::half;
use crate::mechanics::Pose;
use crate::show::figures::canvas::{Align, Canvas, Stroke, Type};
use crate::show::figures::colour::Colour;
use crate::show::figures::font::Face;
use crate::show::figures::hatch::Hatch;
use crate::show::figures::rect::Point;

/// How far the fracture line reaches in several states, mm.
#[derive(Debug, Clone, Copy)]
pub(super) struct Reach {
    /// The highest step (zero or more) and the lowest (zero or less).
    pub step: [f64; 2],
    /// The most inferior and the most superior place along the chord, the intact edge included.
    pub along: [f64; 2],
}

impl Reach {
    pub fn of(scene: &Scene<'_>, poses: impl Iterator<Item = Pose>) -> Self {
        let c = scene.case.fragment.half_chord + EDGE;
        let mut reach = Self { step: [0.0, 0.0], along: [-c, c] };
        for p in poses.flat_map(|pose| scene.body.against(&pose)) {
            reach.step = [reach.step[0].max(p.step), reach.step[1].min(p.step)];
            reach.along = [reach.along[0].min(p.along), reach.along[1].max(p.along)];
        }
        reach
    }

    /// Length along the chord, mm.
    pub fn length(&self) -> f64 {
        self.along[1] - self.along[0]
    }

    /// Distance between highest and lowest step, mm.
    pub fn height(&self) -> f64 {
        self.step[0] - self.step[1]
    }
}

/// Where along the page superior lies: 1 right, −1 left.
pub(super) fn superior(scene: &Scene<'_>) -> f64 {
    let x = scene.mirror() * scene.case.fragment.along.x;
    if x < -1e-9 { -1.0 } else { 1.0 }
}

/// Where a profile stands on the page.
#[derive(Debug, Clone, Copy)]
pub(super) struct Profile {
    /// Middle of the intact edge on the page.
    pub origin: Point,
    /// Page mm per mm of bone, both ways.
    pub scale: f64,
}

/// How far the intact edge is drawn beyond the ends of the bed, mm.
const EDGE: f64 = 0.8;

/// Colours of what stands proud and of what is sunk; proud is hatched too.
pub(super) fn colours(scene: &Scene<'_>) -> [Colour; 2] {
    [scene.theme.series[1], scene.theme.series[0]]
}

impl Profile {
    /// One that stands in a box with its upper left corner at `at`, as high and wide as `reach`.
    pub fn in_box(scene: &Scene<'_>, reach: &Reach, scale: f64, at: Point) -> Self {
        let left = if superior(scene) > 0.0 { -reach.along[0] } else { reach.along[1] };
        Self { origin: [at[0] + scale * left, at[1] + scale * reach.step[0]], scale }
    }

    /// Writes which end is which, above the highest step, so that no state covers the words.
    pub fn ends(&self, canvas: &mut Canvas, scene: &Scene<'_>, reach: &Reach) {
        let set = Type::new(scene.theme.small, scene.theme.muted).face(Face::Italic);
        let c = self.scale * (scene.case.fragment.half_chord + EDGE);
        let base = self.origin[1] - self.scale * reach.step[0].max(0.0) - 1.2;
        for (word, side) in [("inferior", -superior(scene)), ("superior", superior(scene))] {
            let align = if side > 0.0 { Align::Right } else { Align::Left };
            canvas.text(word, [self.origin[0] + side * c, base], set.align(align));
        }
    }

    /// Draws the intact edge as a level line, the fragment's edge, and the step between them.
    pub fn draw(&self, canvas: &mut Canvas, scene: &Scene<'_>, pose: &Pose) {
        let theme = scene.theme;
        let s = superior(scene);
        let page =
            |along: f64, step: f64| [self.origin[0] + s * along * self.scale, self.origin[1] - step * self.scale];
        let against = scene.body.against(pose);
        let edge: Vec<Point> = against.iter().map(|p: &Against| page(p.along, p.step)).collect();
        let c = scene.case.fragment.half_chord;
        let level = self.origin[1];
        let mut area = edge.clone();
        area.extend(against.iter().rev().map(|p| page(p.along, 0.0)));
        let [proud, sunk] = colours(scene);
        let above = half(&area, |p| level - p[1]);
        canvas.area(&above, proud.tint(0.6));
        Hatch::Rising.draw(canvas, &above, 0.8, Stroke::solid(proud, 0.4));
        canvas.area(&half(&area, |p| p[1] - level), sunk.tint(0.6));
        canvas.line(page(-c - EDGE, 0.0), page(c + EDGE, 0.0), Stroke::solid(theme.ink, theme.hair));
        canvas.path(&edge, Stroke::solid(theme.ink, 1.3));
    }
}
