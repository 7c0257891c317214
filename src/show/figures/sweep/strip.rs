//! The lines of a panel, and the strip above it that shows which points are not held to the end.

use super::mark::symbol;
use crate::show::figures::axis::Plot;
use crate::show::figures::canvas::{Canvas, Stroke};
use crate::show::figures::marker::marker;
use crate::show::figures::theme::Theme;
use crate::study::result::End;

/// Height of a row, mm.
const ROW: f64 = 2.7;

/// A line: its place among the series, its name, and its points by value of the input.
pub(super) struct Series {
    pub k: usize,
    pub name: String,
    pub points: Vec<(f64, Option<f64>, End)>,
}

impl Series {
    /// From points in any order.
    pub fn new(k: usize, name: String, points: impl Iterator<Item = (f64, Option<f64>, End)>) -> Self {
        let mut points: Vec<(f64, Option<f64>, End)> = points.collect();
        points.sort_by(|a, b| a.0.total_cmp(&b.0));
        Self { k, name, points }
    }

    /// Pieces without a gap.
    pub fn runs(&self) -> Vec<Vec<[f64; 2]>> {
        let pieces = self.points.split(|p| p.1.is_none());
        pieces.map(|piece| piece.iter().filter_map(|p| Some([p.0, p.1?])).collect()).collect()
    }

    fn is_astray(&self) -> bool {
        self.points.iter().any(|p| p.2 != End::Held)
    }
}

/// Height of the strip above a plot, mm.
pub(super) fn height(all: &[Series]) -> f64 {
    ROW * all.iter().filter(|s| s.is_astray()).count() as f64 + 1.6
}

/// Draws the strip so that it ends above the plot: a row for each line with points astray, its marker
/// before it.
pub(super) fn draw(canvas: &mut Canvas, theme: &Theme, plot: &Plot, all: &[Series]) {
    let astray: Vec<&Series> = all.iter().filter(|s| s.is_astray()).collect();
    for (row, series) in astray.iter().enumerate() {
        let y = plot.area.y - 1.4 - ROW * (astray.len() as f64 - row as f64 - 0.5);
        let (colour, _) = theme.series(series.k);
        let edge = Stroke::solid(colour, 0.7);
        marker(canvas, series.k, [plot.area.x - 2.6, y], 0.75, colour, edge);
        let ends = [[plot.area.x, y], [plot.area.right(), y]];
        canvas.line(ends[0], ends[1], Stroke::solid(theme.faint.tint(0.5), theme.hair));
        for (x, _, end) in &series.points {
            if *end != End::Held {
                let at = [plot.at(*x, 0.0)[0], y];
                canvas.disc(at, 0.85, theme.paper);
                symbol(canvas, *end, at, Stroke::solid(colour, 0.8));
            }
        }
    }
}
