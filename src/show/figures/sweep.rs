//! Figures of a sweep: lines over one input, maps over two.

mod cell;
mod isoline;
mod lines;
mod map;
pub(super) mod mark;
mod panel;
mod sheet;
mod strip;
mod words;

use super::figure::{Figure, name_apart};
use super::style::Style;
use super::theme::Theme;
use crate::study::result::{Sweep, SweepAxis};

/// Every figure of a sweep: one map for each quantity asked for when two inputs with a scale are
/// varied, otherwise one figure of lines with a panel for each.
pub fn sweep_figures(found: &Sweep, style: Style) -> Vec<Figure> {
    let mut figures = sweep_drawn(found, style);
    name_apart(figures.iter_mut());
    figures.into_iter().map(|f| style.finish(f)).collect()
}

/// The same before the sheet of the style is put round them.
pub(crate) fn sweep_drawn(found: &Sweep, style: Style) -> Vec<Figure> {
    // One panel needs one column alone.
    let panels = found.constructs.len() * if is_map(found) { 1 } else { found.shown };
    let theme = if panels > 1 { style.double() } else { style.single() };
    if is_map(found) {
        (0..found.shown).map(|q| sweep_map(found, q, &theme)).collect()
    } else {
        vec![sweep_lines(found, &theme)]
    }
}

/// Lines of each quantity asked for over the input that has a scale: one line a construct, or, when
/// the hinge as a whole is the other input, one panel a construct and one line a state of the hinge.
pub fn sweep_lines(found: &Sweep, theme: &Theme) -> Figure {
    lines::lines(found, theme)
}

/// Maps of one quantity (its place in [`Sweep::quantities`]) over two inputs, one panel a construct,
/// with labelled contours.
pub fn sweep_map(found: &Sweep, quantity: usize, theme: &Theme) -> Figure {
    map::map(found, quantity, theme)
}

/// Whether a sweep is drawn as maps.
fn is_map(found: &Sweep) -> bool {
    found.axes.len() == 2 && !found.axes.iter().any(SweepAxis::has_states)
}
