//! Figures of the study of tying orders: what each tie does to the fragment, and to the limbs tied
//! before it.

mod body;
mod key;
mod profile;
mod scene;
mod stage;
mod strip;
mod table;
mod window;
mod words;

use super::figure::Figure;
use super::theme::Theme;
use crate::case::{Case, Construct};
use crate::study::result::Orders;
use scene::Scene;
use stage::{Sequence, extremes};

/// Draws the states of the best and of the worst order, one view a tie, on one scale.
pub fn tie_strip(case: &Case, construct: &Construct, orders: &Orders, theme: &Theme) -> Figure {
    let scene = Scene::new(case, construct, theme);
    let rows = rows(construct, orders);
    strip::strip(&scene, orders, &rows, table::csv(construct, orders))
}

/// Best and worst order with their headings.
fn rows<'a>(construct: &Construct, orders: &'a Orders) -> Vec<(Sequence<'a>, String)> {
    let (Some(best), worst) = extremes(orders) else {
        return Vec::new();
    };
    let headings = words::headings(orders, best, worst);
    std::iter::once(best)
        .chain(worst)
        .zip(headings)
        .map(|(run, heading)| (Sequence::new(construct, orders, run), heading))
        .collect()
}
