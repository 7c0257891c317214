//! A distribution as a mark: a line from 5 to 95 %, a bar from 25 to 75 %, a marker at the median.

use crate::show::figures::canvas::{Canvas, Stroke, corners};
use crate::show::figures::marker::marker;
use crate::show::figures::rect::Rect;
use crate::show::figures::theme::Theme;
use crate::study::result::Quantiles;

/// Half the height of the bar, mm.
const HALF: f64 = 0.9;

/// Draws the mark of series `k` at height `y`; `across` gives the place of a value on the page.
pub(super) fn interval(
    canvas: &mut Canvas,
    theme: &Theme,
    k: usize,
    across: impl Fn(f64) -> f64,
    y: f64,
    q: &Quantiles,
) {
    let (colour, _) = theme.series(k);
    let line = Stroke::solid(colour, theme.outline);
    let (low, high) = (across(q.low.value), across(q.high.value));
    canvas.line([low, y], [high, y], line);
    for x in [low, high] {
        canvas.line([x, y - 0.7], [x, y + 0.7], line);
    }
    let (lower, upper) = (across(q.lower), across(q.upper));
    let bar = Rect::new(lower, y - HALF, (upper - lower).max(0.05), 2.0 * HALF);
    canvas.fill(bar, colour.tint(0.55));
    canvas.outline(&corners(bar), Stroke::solid(colour, theme.hair));
    let edge = Stroke::solid(theme.paper, 0.4);
    marker(canvas, k, [across(q.median.value), y], 0.95, colour, edge);
}
