//! Arrows that stand for vectors.

use super::canvas::{Canvas, Stroke, casing};
use super::rect::Point;

/// Draws an arrow with a filled head, cased in white; one too short for a head is a stroke.
pub(super) fn arrow(canvas: &mut Canvas, from: Point, to: Point, stroke: Stroke) {
    let (dx, dy) = (to[0] - from[0], to[1] - from[1]);
    let l = libm::hypot(dx, dy);
    if l < 1e-9 {
        return;
    }
    let (ux, uy) = (dx / l, dy / l);
    let head = (1.2 + 0.7 * stroke.width).min(0.8 * l);
    let half = 0.38 * head;
    let neck = [to[0] - head * ux, to[1] - head * uy];
    let wings = [to, [neck[0] - half * uy, neck[1] + half * ux], [neck[0] + half * uy, neck[1] - half * ux]];
    let shaft = [from, [to[0] - 0.8 * head * ux, to[1] - 0.8 * head * uy]];
    canvas.path(&shaft, casing(stroke));
    canvas.outline(&wings, casing(Stroke::solid(stroke.colour, 0.0)));
    canvas.path(&shaft, stroke);
    canvas.area(&wings, stroke.colour);
}
