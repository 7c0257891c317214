//! Figures of the study of tying orders: what each tie does to the fragment, and to the limbs
//! and screws tied before it.

mod animation;
mod residuals;
mod slide;
mod stage;
mod strip;
mod study;
mod tensions;

use super::*;
use stage::*;
use study::*;

pub use animation::{TieAnimation, TieSlides, tie_animation, tie_slides};
pub use residuals::tie_residuals;
#[cfg(feature = "cli")]
pub(crate) use stage::{shift as shifted, step as stepped, title as order_title};

/// Resolution of the pictures of single states: 1920 by 1080 pixels on 180 mm.
const STILL_DPI: u32 = 271;
/// Most states for which the tensions fit into one column.
const NARROW: usize = 5;

/// Draws every figure of the study and writes it into `folder`, as [`Figure::write_all`] does. Returns the
/// paths written.
///
/// # Errors
/// A foreign file of the same name, or a refusal of the file system.
#[cfg(feature = "cli")]
pub fn write_tie(
    folder: &std::path::Path,
    case: &Case,
    construct: &Construct,
    orders: &Orders,
) -> Result<Vec<std::path::PathBuf>, WriteError> {
    crate::show::chart::put(folder, tie_files(case, construct, orders)?)
}

/// Draws every figure of the study, by name: the strip, residuals, tensions and poster as SVG, PNG, CSV and
/// caption, the animation as GIF, and its solved states as a numbered series of PNG pictures.
///
/// # Errors
/// A picture that cannot be made.
pub fn tie_files(case: &Case, construct: &Construct, orders: &Orders) -> Result<Vec<(String, Vec<u8>)>, WriteError> {
    let wide = Theme::double();
    let tensions = if construct.ties.len() <= NARROW { Theme::single() } else { Theme::double() };
    let mut figures = vec![tie_strip(case, construct, orders, &wide), tie_residuals(case, construct, orders, &wide)];
    figures.extend(tie_tensions(case, construct, orders, &tensions));
    let mut files = Vec::new();
    if let Some(animation) = tie_animation(case, construct, orders)? {
        files.push((format!("{}.gif", animation::NAME), animation.gif));
    }
    if let Some(slides) = tie_slides(case, construct, orders) {
        figures.push(slides.poster);
        files.extend(Figure::files(&slides.stills, &[Format::Png { dpi: STILL_DPI }])?);
    }
    let mut all = Figure::files(&figures, &Format::ALL)?;
    all.extend(files);
    Ok(all)
}

/// Draws the states of the best order, of the construct's own and of the worst, one view a tie, on one scale.
pub fn tie_strip(case: &Case, construct: &Construct, orders: &Orders, theme: &Theme) -> Figure {
    let mut rows = rows(case, construct, orders);
    if let Some(own) = orders.own().filter(|own| rows.iter().all(|(s, _)| s.run.order != own.order)) {
        let own = Sequence::new(case, construct, orders, own);
        rows.insert(1, (own, "As in practice: the construct's own order".to_owned()));
    }
    strip::strip(&Study::new(case, construct, theme), orders, &rows)
}

/// Draws the same for a slide, which is wider than high: best and worst order each on a sheet of its
/// own. Empty without any order.
pub fn tie_strips(case: &Case, construct: &Construct, orders: &Orders, theme: &Theme) -> Vec<Figure> {
    let study = Study::new(case, construct, theme);
    let rows = rows(case, construct, orders);
    rows.chunks(1).zip(["best", "worst"]).map(|(row, name)| strip::strip(&study, orders, row).of(name)).collect()
}

/// Draws the tensions of all limbs and the pulls of all screws after each tie of the construct's own order, or of the best when
/// that was not run. `None` without any order.
pub fn tie_tensions(case: &Case, construct: &Construct, orders: &Orders, theme: &Theme) -> Option<Figure> {
    let own = orders.runs.iter().find(|r| r.own);
    let run = own.or(best_and_worst(orders).0)?;
    let sequence = Sequence::new(case, construct, orders, run);
    Some(tensions::tensions(&Study::new(case, construct, theme), orders, &sequence))
}

/// An order in words: the names of its ties.
pub(super) fn order_words(construct: &Construct, run: &OrderRun) -> String {
    run.order.iter().map(|k| title(construct, &construct.ties[*k])).collect::<Vec<_>>().join(" → ")
}

/// Best and worst order with their headings.
fn rows<'a>(case: &Case, construct: &Construct, orders: &'a Orders) -> Vec<(Sequence<'a>, String)> {
    let (Some(best), worst) = best_and_worst(orders) else {
        return Vec::new();
    };
    let both = std::iter::once(best).chain(worst).zip(headings(orders, best, worst));
    both.map(|(run, heading)| (Sequence::new(case, construct, orders, run), heading)).collect()
}
