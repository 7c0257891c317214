//! Textures: the second code beside a filled area's colour.

use super::canvas::{Canvas, Stroke};
use super::rect::Point;

/// A texture.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Hatch {
    /// Plain.
    Plain,
    /// Lines rising to the right.
    Rising,
    /// Lines falling to the right.
    Falling,
    /// Both.
    Crossed,
    /// Level lines.
    Level,
    /// Upright lines.
    Upright,
    /// Dots.
    Dots,
}

impl Hatch {
    /// Draws the texture inside a polygon (even-odd), lines `spacing` mm apart. Lines are tied to
    /// the page, not to the polygon, so that neighbours with one texture join.
    pub fn draw(self, canvas: &mut Canvas, polygon: &[Point], spacing: f64, stroke: Stroke) {
        match self {
            Self::Plain => {}
            Self::Rising => lines(canvas, polygon, -45.0, spacing, stroke),
            Self::Falling => lines(canvas, polygon, 45.0, spacing, stroke),
            Self::Crossed => {
                lines(canvas, polygon, -45.0, 1.4 * spacing, stroke);
                lines(canvas, polygon, 45.0, 1.4 * spacing, stroke);
            }
            Self::Level => lines(canvas, polygon, 0.0, spacing, stroke),
            Self::Upright => lines(canvas, polygon, 90.0, spacing, stroke),
            Self::Dots => dots(canvas, polygon, spacing, stroke),
        }
    }
}

fn crossings(polygon: &[Point], across: impl Fn(Point) -> [f64; 2], level: f64) -> Vec<f64> {
    let mut hits = Vec::new();
    for k in 0..polygon.len() {
        let (a, b) = (across(polygon[k]), across(polygon[(k + 1) % polygon.len()]));
        if (a[1] <= level) != (b[1] <= level) {
            hits.push(a[0] + (level - a[1]) / (b[1] - a[1]) * (b[0] - a[0]));
        }
    }
    hits.sort_by(f64::total_cmp);
    hits
}

fn levels(polygon: &[Point], across: impl Fn(Point) -> [f64; 2], spacing: f64) -> (i64, i64) {
    let (lo, hi) = polygon
        .iter()
        .map(|p| across(*p)[1])
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), v| (l.min(v), h.max(v)));
    ((lo / spacing).floor() as i64, (hi / spacing).ceil() as i64)
}

fn lines(canvas: &mut Canvas, polygon: &[Point], degrees: f64, spacing: f64, stroke: Stroke) {
    let (sin, cos) = libm::sincos(degrees.to_radians());
    let across = |p: Point| [p[0] * cos + p[1] * sin, p[1] * cos - p[0] * sin];
    let back = |s: f64, h: f64| [s * cos - h * sin, s * sin + h * cos];
    let (first, last) = levels(polygon, across, spacing);
    for k in first..=last {
        let level = (k as f64 + 0.5) * spacing;
        for pair in crossings(polygon, across, level).chunks_exact(2) {
            if pair[1] - pair[0] > 0.05 {
                canvas.line(back(pair[0], level), back(pair[1], level), stroke);
            }
        }
    }
}

fn dots(canvas: &mut Canvas, polygon: &[Point], spacing: f64, stroke: Stroke) {
    let radius = 0.2;
    let (first, last) = levels(polygon, |p| p, 0.75 * spacing);
    for k in first..=last {
        let level = (k as f64 + 0.5) * 0.75 * spacing;
        let offset = if k % 2 == 0 { 0.0 } else { 0.5 };
        for pair in crossings(polygon, |p| p, level).chunks_exact(2) {
            let from = ((pair[0] + radius) / spacing - offset).ceil() as i64;
            let to = ((pair[1] - radius) / spacing - offset).floor() as i64;
            for i in from..=to {
                canvas.disc([(i as f64 + offset) * spacing, level], radius, stroke.colour);
            }
        }
    }
}
