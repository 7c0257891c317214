//! Figures of a study of scatter: how far the answers move, and with which inputs.

mod bars;
mod difference;
mod fan;
mod intervals;
mod ranking;
pub(super) mod words;

use crate::show::chart::{Figure, Style, name_apart};
use crate::study::result::Scatter;

pub use difference::scatter_differences;
pub use fan::scatter_fan;
pub use intervals::scatter_intervals;
pub use ranking::{scatter_indices, scatter_ranking};

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
