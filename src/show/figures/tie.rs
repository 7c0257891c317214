//! Figures of the study of tying orders: what each tie does to the fragment, and to the limbs
//! and screws tied before it.

mod animation;
mod body;
mod gif;
mod key;
mod limbs;
mod motion;
mod profile;
mod residuals;
mod scene;
mod slide;
mod stage;
mod strip;
mod table;
mod tensions;
pub(super) mod window;
mod words;

use super::figure::Figure;
use super::png::PngError;
use super::theme::Theme;
use super::write::{Format, WriteError, put};
use crate::model::{Case, Construct};
use crate::study::result::Orders;
use scene::Scene;
use stage::{Sequence, extremes};
use std::path::{Path, PathBuf};

pub use animation::TieAnimation;

/// Resolution of the pictures of single states: 1920 by 1080 pixels on 180 mm.
const STILL_DPI: u32 = 271;
/// Most states for which the tensions fit into one column.
const NARROW: usize = 5;

/// Draws every figure of the study and writes it into `folder`: the strip, residuals, tensions and
/// poster as SVG, PNG, CSV and caption, the animation as GIF, and its solved states as a numbered
/// series of PNG pictures. Everything is rendered and every target looked at before the first file
/// is touched, and only earlier output of this program is replaced. Returns the paths written.
///
/// # Errors
/// A foreign file of the same name, or a refusal of the file system.
pub fn write_tie(
    folder: &Path,
    case: &Case,
    construct: &Construct,
    orders: &Orders,
) -> Result<Vec<PathBuf>, WriteError> {
    let wide = Theme::double();
    let tensions_theme = if construct.ties.len() <= NARROW { Theme::single() } else { Theme::double() };
    let animation = tie_animation(case, construct, orders)?;
    let mut figures = vec![tie_strip(case, construct, orders, &wide), tie_residuals(case, construct, orders, &wide)];
    figures.extend(tie_tensions(case, construct, orders, &tensions_theme));
    let mut files = Vec::new();
    if let Some(animation) = animation {
        figures.push(animation.poster);
        files.push((format!("{}.gif", animation::NAME), animation.gif));
        let png = Format::Png { dpi: STILL_DPI };
        files.extend(Figure::files(&animation.stills, &[png])?);
    }
    let mut all = Figure::files(&figures, &Format::ALL)?;
    all.extend(files);
    put(folder, all)
}

/// Draws the animation of the best and the worst order. `None` without any order.
///
/// # Errors
/// When a picture cannot be rendered.
pub fn tie_animation(case: &Case, construct: &Construct, orders: &Orders) -> Result<Option<TieAnimation>, PngError> {
    animation::animation(case, construct, orders)
}

/// Draws the states of the best and of the worst order, one view a tie, on one scale.
pub fn tie_strip(case: &Case, construct: &Construct, orders: &Orders, theme: &Theme) -> Figure {
    let scene = Scene::new(case, construct, theme);
    let rows = rows(case, construct, orders);
    strip::strip(&scene, orders, &rows, table::csv(case, construct, orders))
}

/// Draws the same for a slide, which is wider than high: best and worst order each on a sheet of its
/// own. Empty without any order.
pub fn tie_strips(case: &Case, construct: &Construct, orders: &Orders, theme: &Theme) -> Vec<Figure> {
    let scene = Scene::new(case, construct, theme);
    let rows = rows(case, construct, orders);
    rows.chunks(1)
        .zip(["best", "worst"])
        .map(|(row, name)| {
            let csv = table::csv(case, construct, orders);
            strip::strip(&scene, orders, row, csv).of(name)
        })
        .collect()
}

/// Draws residual step and inferior shift against ties done, one line an order.
pub fn tie_residuals(case: &Case, construct: &Construct, orders: &Orders, theme: &Theme) -> Figure {
    residuals::residuals(case, construct, orders, theme)
}

/// Draws the tensions of all limbs and the pulls of all screws after each tie of the construct's own order, or of the best when
/// that was not run. `None` without any order.
pub fn tie_tensions(case: &Case, construct: &Construct, orders: &Orders, theme: &Theme) -> Option<Figure> {
    let own = orders.runs.iter().find(|r| r.own);
    let run = own.or(extremes(orders).0)?;
    let scene = Scene::new(case, construct, theme);
    let sequence = Sequence::new(case, construct, orders, run);
    Some(tensions::tensions(&scene, orders, &sequence))
}

/// Best and worst order with their headings.
fn rows<'a>(case: &Case, construct: &Construct, orders: &'a Orders) -> Vec<(Sequence<'a>, String)> {
    let (Some(best), worst) = extremes(orders) else {
        return Vec::new();
    };
    let headings = words::headings(orders, best, worst);
    std::iter::once(best)
        .chain(worst)
        .zip(headings)
        .map(|(run, heading)| (Sequence::new(case, construct, orders, run), heading))
        .collect()
}
