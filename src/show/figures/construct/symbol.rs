//! Signs of the drawing language.

use crate::show::figures::canvas::{Canvas, Stroke};
use crate::show::figures::colour::{Colour, WHITE};
use crate::show::figures::rect::Point;

/// An anchor on the face: an eye.
pub(in crate::show::figures) fn eye(canvas: &mut Canvas, at: Point, colour: Colour) {
    canvas.disc(at, 1.3, WHITE);
    canvas.disc(at, 1.1, colour);
    canvas.disc(at, 0.42, WHITE);
}

/// An anchor behind the bone: a broken ring of four arcs.
pub(in crate::show::figures) fn broken_ring(canvas: &mut Canvas, at: Point, colour: Colour) {
    canvas.disc(at, 1.3, WHITE);
    for quarter in 0..4 {
        let arc: Vec<Point> = (0..=8)
            .map(|k| {
                let a = (90.0 * f64::from(quarter) + 14.0 + 62.0 * f64::from(k) / 8.0).to_radians();
                [at[0] + libm::cos(a), at[1] + libm::sin(a)]
            })
            .collect();
        canvas.path(&arc, Stroke::solid(colour, 1.2));
    }
}

/// A bite: a diamond.
pub(in crate::show::figures) fn diamond(canvas: &mut Canvas, at: Point, colour: Colour) {
    let r = 1.05;
    let [x, y] = at;
    let corners = [[x - r, y], [x, y - r], [x + r, y], [x, y + r]];
    canvas.area(&corners, WHITE);
    canvas.outline(&corners, Stroke::solid(colour, 0.9));
}

/// A crossing: a bar square to the limb, whose direction there is `along`.
pub(in crate::show::figures) fn bar(canvas: &mut Canvas, at: Point, along: Point, colour: Colour) {
    let l = libm::hypot(along[0], along[1]);
    let (dx, dy) = if l > 1e-9 { (-along[1] / l, along[0] / l) } else { (0.0, 1.0) };
    let ends = [[at[0] - 1.25 * dx, at[1] - 1.25 * dy], [at[0] + 1.25 * dx, at[1] + 1.25 * dy]];
    canvas.path(&ends, Stroke::solid(WHITE, 2.4));
    canvas.path(&ends, Stroke::solid(colour, 1.3));
}
