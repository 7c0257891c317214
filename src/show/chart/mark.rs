//! Marks: of series, of readings, of vectors and of distributions.

use super::canvas::{Canvas, Stroke};
use super::colour::Colour;
use super::page::{Point, Rect, beside, distance, toward, turned};
use super::theme::Theme;

/// Corners of the shapes and the turn of the first (degrees from the right, clockwise): disc first.
const SHAPES: [(usize, f64); 7] = [(0, 0.0), (4, 45.0), (3, -90.0), (4, 0.0), (3, 90.0), (6, 0.0), (5, -90.0)];

/// Corners of a regular polygon, the first in a direction (degrees from the right, clockwise).
pub(crate) fn polygon(at: Point, radius: f64, corners: usize, turn: f64) -> Vec<Point> {
    let corner = |k: usize| turned(turn + 360.0 * k as f64 / corners as f64);
    (0..corners).map(corner).map(|[x, y]| [at[0] + radius * x, at[1] + radius * y]).collect()
}

/// The marker of a series, the second code beside its colour: of a disc's radius `r` (mm), filled with
/// `fill` and edged with `edge`.
pub(crate) fn marker(canvas: &mut Canvas, series: usize, at: Point, r: f64, fill: Colour, edge: Stroke) {
    let (corners, turn) = SHAPES[series % SHAPES.len()];
    if corners == 0 {
        canvas.disc(at, r, fill);
        canvas.circle(at, r, edge);
    } else {
        let ring = polygon(at, 1.25 * r, corners, turn);
        canvas.area(&ring, fill);
        canvas.outline(&ring, edge);
    }
}

/// A cross of two strokes that reach `d` mm to every side.
pub(crate) fn cross(canvas: &mut Canvas, [x, y]: Point, d: f64, stroke: Stroke) {
    canvas.line([x - d, y - d], [x + d, y + d], stroke);
    canvas.line([x - d, y + d], [x + d, y - d], stroke);
}

/// A ring on paper.
pub(crate) fn ring(canvas: &mut Canvas, at: Point, r: f64, paper: Colour, stroke: Stroke) {
    canvas.disc(at, r, paper);
    canvas.circle(at, r, stroke);
}

/// An arrow that stands for a vector: a filled head, cased in white; one too short for a head is a stroke.
pub(crate) fn vector(canvas: &mut Canvas, from: Point, to: Point, stroke: Stroke) {
    let l = distance(from, to);
    if l < 1e-9 {
        return;
    }
    let along = toward(from, to);
    let head = (1.2 + 0.7 * stroke.width).min(0.8 * l);
    let wings = [to, beside(to, along, -head, 0.38 * head), beside(to, along, -head, -0.38 * head)];
    let shaft = [from, beside(to, along, -0.8 * head, 0.0)];
    canvas.path(&shaft, stroke.casing());
    canvas.outline(&wings, Stroke::solid(stroke.colour, 0.0).casing());
    canvas.path(&shaft, stroke);
    canvas.area(&wings, stroke.colour);
}

/// An arrow with an open head, for directions.
pub(crate) fn pointer(canvas: &mut Canvas, theme: &Theme, from: Point, to: Point) {
    let stroke = Stroke::solid(theme.muted, theme.hair);
    let along = toward(from, to);
    canvas.line(from, to, stroke);
    canvas.path(&[beside(to, along, -0.9, 0.45), to, beside(to, along, -0.9, -0.45)], stroke);
}

/// A distribution of series `k` at height `y`: a line from 5 to 95 %, a bar from 25 to 75 %, a marker at the
/// median, given as places on the page from left to right.
pub(crate) fn interval(
    canvas: &mut Canvas,
    theme: &Theme,
    k: usize,
    y: f64,
    [low, lower, median, upper, high]: [f64; 5],
) {
    let (colour, _) = theme.series(k);
    whisker(canvas, Rect::new(low, y - 0.7, high - low, 1.4), Stroke::solid(colour, theme.outline));
    let bar = Rect::new(lower, y - 0.9, (upper - lower).max(0.05), 1.8);
    canvas.fill(bar, colour.tint(0.55));
    canvas.frame(bar, Stroke::solid(colour, theme.hair));
    marker(canvas, k, [median, y], 0.95, colour, Stroke::solid(theme.paper, 0.4));
}

/// A level line through the middle of a rectangle with a bar at each end.
pub(crate) fn whisker(canvas: &mut Canvas, r: Rect, stroke: Stroke) {
    let y = r.middle()[1];
    canvas.line([r.x, y], [r.right(), y], stroke);
    for x in [r.x, r.right()] {
        canvas.line([x, r.y], [x, r.bottom()], stroke);
    }
}
