//! From millimetres of bone to millimetres of page.

use crate::show::figures::canvas::{Align, Canvas, Stroke, Type};
use crate::show::figures::rect::Point;
use crate::show::figures::theme::Theme;

/// A flat view: u to the right (to the left when mirrored), v upward.
#[derive(Debug, Clone, Copy)]
pub(in crate::show::figures) struct View {
    /// Where (0, 0) stands on the page.
    pub origin: Point,
    /// Page mm per bone mm.
    pub scale: f64,
    /// 1, or −1 for a left shoulder.
    pub mirror: f64,
}

impl View {
    /// A point of the view on the page.
    pub fn page(&self, u: f64, v: f64) -> Point {
        [self.origin[0] + self.mirror * u * self.scale, self.origin[1] - v * self.scale]
    }

    /// A bar of 5 mm of bone, its left end at `at`.
    pub fn scale_bar(&self, canvas: &mut Canvas, theme: &Theme, at: Point) {
        let set = Type::new(theme.small, theme.ink);
        let end = at[0] + 5.0 * self.scale;
        canvas.line(at, [end, at[1]], Stroke::solid(theme.ink, 1.5));
        canvas.text("5 mm", [0.5 * (at[0] + end), at[1] - 0.9], set.align(Align::Centre));
    }
}

/// An arrow with an open head, for directions.
pub(in crate::show::figures) fn arrow(canvas: &mut Canvas, theme: &Theme, from: Point, to: Point) {
    let stroke = Stroke::solid(theme.muted, theme.hair);
    let (dx, dy) = (to[0] - from[0], to[1] - from[1]);
    let l = libm::hypot(dx, dy).max(1e-9);
    let (dx, dy) = (0.9 * dx / l, 0.9 * dy / l);
    canvas.line(from, to, stroke);
    canvas.path(
        &[[to[0] - dx - 0.5 * dy, to[1] - dy + 0.5 * dx], to, [to[0] - dx + 0.5 * dy, to[1] - dy - 0.5 * dx]],
        stroke,
    );
}
