//! One panel: faint orders, and those that stand out with their names.

use super::super::stage::Sequence;
use super::{FAINT, LABEL, Line, Measure};
use crate::show::chart::*;

/// Draws the lines of a panel.
pub(super) fn draw(
    canvas: &mut Canvas,
    theme: &Theme,
    plot: &Plot,
    of: Measure,
    lines: &[Line<'_>],
    faint: &[Sequence<'_>],
) {
    let curve = |s: &Sequence<'_>| plot.all(s.stages.iter().map(|s| [s.number as f64, of(s)]));
    for sequence in faint {
        let curve = curve(sequence);
        canvas.path(&curve, Stroke::solid(FAINT, 0.6));
        if let (Some(_), Some(end)) = (&sequence.lost, curve.last()) {
            cross(canvas, *end, 1.15, Stroke::solid(FAINT.shade(0.25), 0.8));
        }
    }
    let curves: Vec<Vec<Point>> = lines.iter().map(|(s, ..)| curve(s)).collect();
    let stroke = |k: usize| Stroke { width: 1.3 * theme.curve, ..theme.line(k) };
    // Paper round all of them first: where two run together, both are seen.
    lines.iter().zip(&curves).for_each(|((.., k), curve)| canvas.path(curve, stroke(*k).casing()));
    lines.iter().zip(&curves).for_each(|((.., k), curve)| canvas.path(curve, stroke(*k)));
    let set = theme.words();
    let mut ends = Vec::new();
    for ((sequence, name, k), curve) in lines.iter().zip(&curves) {
        let (colour, _) = theme.series(*k);
        for (stage, at) in sequence.stages.iter().zip(curve) {
            state(canvas, theme, *k, *at, !stage.worse.is_empty());
        }
        if let (Some(_), Some(end)) = (&sequence.lost, curve.last()) {
            cross(canvas, *end, 1.15, Stroke::solid(colour, 1.6));
        }
        let set = set.in_colour(colour);
        let mut words: Vec<_> = wrap_at_spaces(name, set.bold(), LABEL).into_iter().map(|l| (l, set.bold())).collect();
        words.push((format!("{:.2} mm", sequence.stages.last().map_or(0.0, of)), set));
        ends.push(End { at: curve.last().copied(), colour, lines: words, sign: None, crossed: false });
    }
    plot.ends(canvas, theme, &ends);
}

/// The marker of a state; hollow where the tie left the fragment worse than before.
pub(super) fn state(canvas: &mut Canvas, theme: &Theme, series: usize, at: Point, hollow: bool) {
    let (colour, _) = theme.series(series);
    marker(canvas, series, at, 0.95, if hollow { WHITE } else { colour }, Stroke::solid(WHITE, 1.5));
    marker(canvas, series, at, 0.85, if hollow { WHITE } else { colour }, Stroke::solid(colour, 0.7));
}
