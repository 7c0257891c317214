//! Figures of a sweep: lines over one input, maps over two.

mod lines;
mod map;
mod words;

use crate::show::chart::{Figure, Style, name_apart};
use crate::study::result::{Sweep, SweepAxis};

pub use lines::sweep_lines;
pub use map::sweep_map;

/// Every figure of a sweep: one map for each quantity asked for when two inputs with a scale are
/// varied, otherwise one figure of lines with a panel for each.
pub fn sweep_figures(found: &Sweep, style: Style) -> Vec<Figure> {
    let mut figures = sweep_drawn(found, style);
    name_apart(figures.iter_mut());
    figures.into_iter().map(|f| style.finish(f)).collect()
}

/// The same before the sheet of the style is put round them.
pub(crate) fn sweep_drawn(found: &Sweep, style: Style) -> Vec<Figure> {
    let map = found.axes.len() == 2 && !found.axes.iter().any(SweepAxis::has_states);
    // One panel needs one column alone.
    let panels = found.constructs.len() * if map { 1 } else { found.shown };
    let theme = if panels > 1 { style.double() } else { style.single() };
    if map { (0..found.shown).map(|q| sweep_map(found, q, &theme)).collect() } else { vec![sweep_lines(found, &theme)] }
}
