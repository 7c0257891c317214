//! Figures of a search for better places: before and after, how far anchors may stand from them, fronts, and
//! how the search went.

mod before_after;
mod convergence;
mod front;
mod tolerance;
mod words;

use crate::model::{Case, Construct};
use crate::show::chart::{Figure, Style, name_apart};
use crate::study::result::Place;

pub use before_after::place_before_after;
pub use convergence::place_convergence;
pub use front::place_front;
pub use tolerance::place_tolerance;

/// Every figure of a search, in the order in which a reader meets them: before and after, the placement
/// tolerance (when it was mapped), the front (when two objectives were asked for), and how the
/// search went.
pub fn place_figures(case: &Case, construct: &Construct, found: &Place, style: Style) -> Vec<Figure> {
    let (single, double) = (style.single(), style.double());
    let mut figures = vec![place_before_after(case, construct, found, &style.drawing())];
    figures.extend(place_tolerance(case, found, &double));
    figures.extend(place_front(case, found, &double));
    figures.push(place_convergence(found, &single));
    name_apart(figures.iter_mut());
    figures.into_iter().map(|f| style.finish(f)).collect()
}
