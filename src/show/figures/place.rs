//! Figures of a search for better places: before and after, how far anchors may wander, fronts, and
//! how the search went.

mod before_after;
mod convergence;
mod front;
mod ground;
mod small;
mod wander;
mod words;

use super::figure::{Figure, name_apart};
use super::style::Style;
use super::theme::Theme;
use crate::model::{Case, Construct};
use crate::study::result::Place;

/// Every figure of a search, in the order in which a reader meets them: before and after, how far the
/// anchors may wander (when it was mapped), the front (when two objectives were asked for), and how the
/// search went.
pub fn place_figures(case: &Case, construct: &Construct, found: &Place, style: Style) -> Vec<Figure> {
    let (single, double) = (style.single(), style.double());
    let mut figures = vec![place_before_after(case, construct, found, &style.drawing())];
    figures.extend(place_wander(case, found, &double));
    figures.extend(place_front(case, found, &double));
    figures.push(place_convergence(found, &single));
    name_apart(figures.iter_mut());
    figures.into_iter().map(|f| style.finish(f)).collect()
}

/// The construct as given and as found, en face beside each other on one scale, with the objective
/// written at each and the way of each anchor.
pub fn place_before_after(case: &Case, construct: &Construct, found: &Place, theme: &Theme) -> Figure {
    before_after::before_after(case, construct, found, theme)
}

/// How far each anchor may wander from the answer, the others held: one panel an anchor, on the bone to
/// scale, in the anchor's own plane. `None` when it was not mapped.
pub fn place_wander(case: &Case, found: &Place, theme: &Theme) -> Option<Figure> {
    (!found.wander.is_empty()).then(|| wander::wander(case, found, theme))
}

/// What can be had of two objectives at once, with the given construct, and three designs drawn. `None`
/// without a second objective.
pub fn place_front(case: &Case, found: &Place, theme: &Theme) -> Option<Figure> {
    let front = found.front.as_ref()?;
    (!front.points.is_empty() && found.aims.len() > 1).then(|| front::front(case, found, front, theme))
}

/// The best design so far against evaluations, one curve a start.
pub fn place_convergence(found: &Place, theme: &Theme) -> Figure {
    convergence::convergence(found, theme)
}
