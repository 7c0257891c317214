//! The figures of a run.

use super::failure::Failure;
use crate::case::{Case, Construct};
use crate::figures::{Figure, Format, Theme, WriteError, construct, resistance, who_resists};
use crate::study::result::{Compared, Push};
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
    name_apart(&mut figures);
    Figure::write_all(&figures, folder, &Format::ALL).map_err(|e| match e {
        WriteError::Foreign { .. } | WriteError::Io { .. } | WriteError::Png(_) => {
            Failure::Other(format!("no figures were written: {e}"))
        }
    })
}

fn draw(case: &Case, constructs: &[Construct], results: &[Compared]) -> Vec<Figure> {
    let pushes: Vec<&Push> = results
        .iter()
        .filter_map(|r| r.push.as_ref())
        .filter(|p| p.curve.len() > 1)
        .collect();
    let mut jobs: Vec<Box<dyn Fn() -> Figure + Sync + Send + '_>> = Vec::new();
    let pushes = &pushes;
    if !pushes.is_empty() {
        jobs.push(Box::new(move || resistance(pushes, &Theme::single())));
        let theme = if pushes.len() > 1 {
            Theme::double
        } else {
            Theme::single
        };
        jobs.push(Box::new(move || who_resists(pushes, &theme())));
    }
    for (spec, result) in constructs.iter().zip(results) {
        if let Some(tied) = &result.hold.tied {
            jobs.push(Box::new(move || {
                construct(case, spec, tied, &Theme::double())
            }));
        }
    }
    jobs.par_iter().map(|job| job()).collect()
}

/// Numbers figures whose names fall together once they are fit for a file.
fn name_apart(figures: &mut [Figure]) {
    for k in 1..figures.len() {
        let base = figures[k].name.clone();
        let mut number = 2;
        while figures[..k].iter().any(|f| f.name == figures[k].name) {
            figures[k].name = format!("{base}-{number}");
            number += 1;
        }
    }
}
