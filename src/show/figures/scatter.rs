//! Figures of a study of scatter: how far the answers move, and with which inputs.

mod difference;
mod fan;
mod glyph;
mod intervals;
mod ranking;
mod tornado;
pub(super) mod words;

use super::figure::{Figure, name_apart};
use super::style::Style;
use super::theme::Theme;
use crate::study::result::Scatter;

/// Every figure of a study, in the order in which a reader meets them: the fan of curves, intervals,
/// the differences of each pair, then what moves the answers, construct by construct.
pub fn scatter_figures(found: &Scatter, style: Style) -> Vec<Figure> {
    let (single, double) = (style.single(), style.double());
    let fan = if found.constructs.len() > 1 { &double } else { &single };
    let mut figures = vec![scatter_fan(found, fan), scatter_intervals(found, &double)];
    figures.extend(scatter_differences(found, &double));
    figures.extend(scatter_ranking(found, &double));
    figures.extend(scatter_indices(found, &double));
    name_apart(figures.iter_mut());
    figures.into_iter().map(|f| style.finish(f)).collect()
}

/// Load–displacement curves of each construct: median and the bands of 25–75 and 5–95 % of the
/// samples that get there, on one scale, with how many those are.
pub fn scatter_fan(found: &Scatter, theme: &Theme) -> Figure {
    fan::fan(found, theme)
}

/// Medians with their intervals of 25–75 and 5–95 %, construct under construct: load at 1 and 2 mm,
/// compression, step.
pub fn scatter_intervals(found: &Scatter, theme: &Theme) -> Figure {
    intervals::intervals(found, theme)
}

/// The distribution of the difference between two constructs on the same draws, one figure for each
/// pair (of many pairs those with the first construct), one panel for each quantity compared, with
/// the probability of superiority.
pub fn scatter_differences(found: &Scatter, theme: &Theme) -> Vec<Figure> {
    difference::differences(found, theme)
}

/// Partial rank correlation of the inputs with compression, step and loads, strongest first: one
/// figure a construct.
pub fn scatter_ranking(found: &Scatter, theme: &Theme) -> Vec<Figure> {
    ranking::ranking(found, theme)
}

/// Sobol' indices of the inputs, largest total first: one figure for each construct that has some.
pub fn scatter_indices(found: &Scatter, theme: &Theme) -> Vec<Figure> {
    ranking::indices(found, theme)
}
