//! The figures of a run.

use super::failure::Failure;
use crate::model::{Case, Construct};
use crate::show::figures::{
    Figure, Format, Style, Theme, construct, load_sharing, name_apart, place_figures, resistance, scatter_figures,
    sweep_figures,
};
use crate::study::result::{Compared, Place, Push, Scatter, Sweep};
use rayon::prelude::*;
use std::path::{Path, PathBuf};

/// Draws the figures of what was found and writes them into a folder; returns what was written.
pub(super) fn write(
    folder: &Path,
    case: &Case,
    constructs: &[Construct],
    results: &[Compared],
) -> Result<Vec<PathBuf>, Failure> {
    let mut figures = draw(case, constructs, results);
    name_apart(figures.iter_mut());
    Ok(Figure::write_all(&figures, folder, &Format::ALL)?)
}

/// Draws the figures of a study of scatter and writes them into a folder; returns what was written.
pub(super) fn write_scatter(folder: &Path, found: &Scatter) -> Result<Vec<PathBuf>, Failure> {
    let figures = scatter_figures(found, Style::Print);
    Ok(Figure::write_all(&figures, folder, &Format::ALL)?)
}

/// Draws the figures of a search for better places and writes them into a folder; returns what was
/// written.
pub(super) fn write_place(
    folder: &Path,
    case: &Case,
    construct: &Construct,
    found: &Place,
) -> Result<Vec<PathBuf>, Failure> {
    let figures = place_figures(case, construct, found, Style::Print);
    Ok(Figure::write_all(&figures, folder, &Format::ALL)?)
}

/// Draws the figures of a sweep and writes them into a folder; returns what was written.
pub(super) fn write_sweep(folder: &Path, found: &Sweep) -> Result<Vec<PathBuf>, Failure> {
    let figures = sweep_figures(found, Style::Print);
    Ok(Figure::write_all(&figures, folder, &Format::ALL)?)
}

fn draw(case: &Case, constructs: &[Construct], results: &[Compared]) -> Vec<Figure> {
    let pushes: Vec<&Push> = results.iter().filter_map(|r| r.push.as_ref()).filter(|p| p.curve.len() > 1).collect();
    let mut jobs: Vec<Box<dyn Fn() -> Figure + Sync + Send + '_>> = Vec::new();
    let pushes = &pushes;
    if !pushes.is_empty() {
        jobs.push(Box::new(move || resistance(pushes, &Theme::single())));
        let theme = if pushes.len() > 1 { Theme::double } else { Theme::single };
        jobs.push(Box::new(move || load_sharing(pushes, &theme())));
    }
    for (spec, result) in constructs.iter().zip(results) {
        if let Some(tied) = &result.hold.tied {
            jobs.push(Box::new(move || construct(case, spec, tied, &Theme::double())));
        }
    }
    jobs.par_iter().map(|job| job()).collect()
}
