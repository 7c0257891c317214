//! Markers of readings: the second code beside a series' colour.

use super::canvas::{Canvas, Stroke};
use super::colour::Colour;
use super::rect::Point;

/// Corners of the shapes and the turn of the first (degrees from the right, clockwise): disc first.
const SHAPES: [(usize, f64); 7] = [(0, 0.0), (4, 45.0), (3, -90.0), (4, 0.0), (3, 90.0), (6, 0.0), (5, -90.0)];

/// Draws the marker of a series, of a disc's radius `r` (mm), filled with `fill` and edged with
/// `edge`.
pub(crate) fn marker(canvas: &mut Canvas, series: usize, at: Point, r: f64, fill: Colour, edge: Stroke) {
    let (corners, turn) = SHAPES[series % SHAPES.len()];
    if corners == 0 {
        canvas.disc(at, r, fill);
        canvas.circle(at, r, edge);
        return;
    }
    let ring: Vec<Point> = (0..corners)
        .map(|k| {
            let a = (turn + 360.0 * k as f64 / corners as f64).to_radians();
            [at[0] + 1.25 * r * libm::cos(a), at[1] + 1.25 * r * libm::sin(a)]
        })
        .collect();
    canvas.area(&ring, fill);
    canvas.outline(&ring, edge);
}
