//! The figures of a run, into the folder that was asked for.

use super::Common;
use super::say::{Failure, note};
use crate::model::{Case, Construct};
use crate::par;
use crate::show::figures::{
    Figure, Format, Subject, Theme, WriteError, construct, load_sharing, name_apart, resistance, rose,
};
use crate::study::result::{Compared, Push};
use std::path::{Path, PathBuf};

/// Writes figures as a reader expects them.
pub(super) fn write(figures: &[Figure], folder: &Path) -> Result<Vec<PathBuf>, WriteError> {
    Figure::write_all(figures, folder, &Format::ALL)
}

/// The figures of a comparison.
pub(super) fn compared(case: &Case, constructs: &[Construct], results: &[Compared]) -> Vec<Figure> {
    let pushes: Vec<&Push> = results.iter().filter_map(|r| r.push.as_ref()).filter(|p| p.curve.len() > 1).collect();
    let subjects: Vec<Subject<'_>> = constructs.iter().zip(results).filter_map(|(c, r)| Subject::of(c, r)).collect();
    let subjects = &subjects;
    let mut jobs: Vec<Box<dyn Fn() -> Figure + Sync + Send + '_>> = Vec::new();
    let pushes = &pushes;
    if !pushes.is_empty() {
        jobs.push(Box::new(move || resistance(pushes, &Theme::single())));
        let theme = if pushes.len() > 1 { Theme::double } else { Theme::single };
        jobs.push(Box::new(move || load_sharing(pushes, &theme())));
    }
    if subjects.iter().any(|s| !s.petals.is_empty()) {
        let theme = if subjects.len() > 1 { Theme::double } else { Theme::single };
        jobs.push(Box::new(move || rose(case, subjects, &theme())));
    }
    for subject in subjects {
        jobs.push(Box::new(move || construct(case, subject.construct, subject.tied, &Theme::double())));
    }
    let mut figures: Vec<Figure> = par::map(&jobs, |job| job());
    name_apart(figures.iter_mut());
    figures
}

/// Draws, writes and tells figures where a folder was given for them; none where there is nothing to draw.
pub(super) fn asked(common: &Common, draw: impl FnOnce() -> Vec<Figure>) -> Result<(), Failure> {
    let Some(folder) = &common.figures else {
        return Ok(());
    };
    let figures = draw();
    if figures.is_empty() { Ok(()) } else { tell(write(&figures, folder), folder, common.quiet) }
}

/// Says what was written, a line a figure: its files differ in their endings only.
pub(super) fn tell(written: Result<Vec<PathBuf>, WriteError>, folder: &Path, quiet: bool) -> Result<(), Failure> {
    let written = written?;
    if quiet {
        return Ok(());
    }
    if written.is_empty() {
        note("no figures: nothing was held that could be drawn");
        return Ok(());
    }
    note(&format!("figures in {}:", folder.display()));
    let word = |part: Option<&std::ffi::OsStr>| part.map_or_else(String::new, |s| s.to_string_lossy().into_owned());
    for files in written.chunk_by(|a, b| a.file_stem() == b.file_stem()) {
        let endings: Vec<String> = files.iter().map(|file| word(file.extension())).collect();
        note(&format!("  {} ({})", word(files[0].file_stem()), endings.join(", ")));
    }
    Ok(())
}
