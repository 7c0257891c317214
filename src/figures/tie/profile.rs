//! The step along the fracture line: fragment edge against intact edge, lateral upward.

use super::body::Against;
use super::scene::Scene;
use super::window::half;
use crate::figures::canvas::{Canvas, Stroke};
use crate::figures::colour::Colour;
use crate::figures::hatch::Hatch;
use crate::figures::rect::Point;
use crate::mechanics::Pose;

/// How far steps of several states reach, mm: the highest above (zero or more) and the lowest below.
pub(super) fn reach(scene: &Scene<'_>, poses: impl Iterator<Item = Pose>) -> [f64; 2] {
    poses
        .flat_map(|pose| scene.body.against(&pose))
        .fold([0.0, 0.0], |[hi, lo]: [f64; 2], p| {
            [hi.max(p.step), lo.min(p.step)]
        })
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

/// Colours of what stands proud and of what is sunk; proud is hatched too.
pub(super) fn colours(scene: &Scene<'_>) -> [Colour; 2] {
    [scene.theme.series[1], scene.theme.series[0]]
}

impl Profile {
    /// Draws the intact edge as a level line, the fragment's edge, and the step between them.
    pub fn draw(&self, canvas: &mut Canvas, scene: &Scene<'_>, pose: &Pose) {
        let theme = scene.theme;
        let s = superior(scene);
        let page = |along: f64, step: f64| {
            [
                self.origin[0] + s * along * self.scale,
                self.origin[1] - step * self.scale,
            ]
        };
        let against = scene.body.against(pose);
        let edge: Vec<Point> = against
            .iter()
            .map(|p: &Against| page(p.along, p.step))
            .collect();
        let c = scene.case.fragment.half_chord;
        let level = self.origin[1];
        let mut area = edge.clone();
        area.extend(against.iter().rev().map(|p| page(p.along, 0.0)));
        let [proud, sunk] = colours(scene);
        let above = half(&area, |p| level - p[1]);
        canvas.area(&above, proud.tint(0.6));
        Hatch::Rising.draw(canvas, &above, 0.8, Stroke::solid(proud, 0.4));
        canvas.area(&half(&area, |p| p[1] - level), sunk.tint(0.6));
        canvas.line(
            page(-c - 0.8, 0.0),
            page(c + 0.8, 0.0),
            Stroke::solid(theme.ink, theme.hair),
        );
        canvas.path(&edge, Stroke::solid(theme.ink, 1.3));
    }
}
