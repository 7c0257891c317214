//! The work of `rimhold sweep`.

use super::arguments::Sweep as Arguments;
use super::grid::{Grid, found, points};
use super::head::Head;
use super::held::StoreError;
use super::present::present;
use super::question::texts_asked;
use super::run::refused;
use super::store::Store;
use crate::cli::arguments::Common;
use crate::cli::failure::Failure;
use crate::cli::figures::write_sweep;
use crate::cli::run::tell;
use crate::cli::stop;
use crate::model::spread::Subject;
use crate::model::{CASES, CONSTRUCTS, is_case, near};
use crate::show::report::{Envelope, SweepBody, sweep_csv, sweep_reading, sweep_table};
use crate::study::scatter::{NAMED, Named, Rows};
use std::path::Path;

/// What a file without a name is called.
const UNNAMED: &str = "temporary file";

/// Runs `rimhold sweep`.
pub(in super::super) fn sweep(typed: &Arguments, common: &Common) -> Result<(), Failure> {
    let named = named(typed)?;
    let pick = |given: Option<&str>, built_in: fn(&Named) -> &'static str, other: &str| {
        given.map_or_else(|| named.map_or(other, built_in).to_owned(), str::to_owned)
    };
    let case = match named {
        Some(_) => typed.constructs.first().map(String::as_str),
        None => typed.case.as_deref(),
    };
    let case = pick(case, |n| n.case, "quarter");
    let given = if named.is_some() { typed.constructs.get(1..).unwrap_or_default() } else { &typed.constructs };
    let constructs: Vec<String> = if given.is_empty() {
        let built_in = named.map_or(["one-by-one"].as_slice(), |n| n.constructs);
        built_in.iter().map(|c| (*c).to_owned()).collect()
    } else {
        given.to_vec()
    };
    let subject = Subject::open(&case, &constructs).map_err(Failure::Files)?;
    let Grid { job, axes, total, named } = &Grid::new(typed, named, subject, false)?;
    let total = *total;
    let mut asked = texts_asked(job);
    asked.push(("from".into(), format!("{:?}", job.probe.from)));
    asked
        .push(("direction".into(), format!("{} {:?}", typed.direction.name, <[f64; 3]>::from(typed.direction.vector))));
    asked.push(("to".into(), typed.to.to_string()));
    asked.push(("cells".into(), typed.cells.to_string()));
    asked.push(("steps".into(), typed.steps.to_string()));
    for (k, axis) in axes.iter().enumerate() {
        // Points are numbered by the order of the axes.
        asked.push((
            format!("input {}", k + 1),
            format!("{} ({}) {:?}", axis.varying.path, axis.unit, axis.varying.values),
        ));
    }
    let head = Head::new(asked);
    let (opened, path) = match &typed.store {
        Some(path) if typed.resume => (Store::resume(path, &head, &job.layouts), path.as_path()),
        Some(path) => (Store::create(path, &head, &job.layouts), path.as_path()),
        // Without a file of its own a sweep keeps its points in one that has no name.
        None => (Store::unnamed(&head, &job.layouts).map_err(StoreError::from), Path::new(UNNAMED)),
    };
    let mut store = opened.map_err(|e| refused(e, path))?;
    stop::listen();
    let broken = |e: std::io::Error| Failure::Other(format!("`{}`: {e}", path.display()));
    points(job, axes, total, &mut store, common.quiet).map_err(broken)?;
    let mut found = found(typed, job, axes, *named, &mut store).map_err(broken)?;
    found.complete = store.done() == total;
    found.reading = sweep_reading(&found);
    present(
        job,
        common,
        |page| sweep_table(page, &found),
        || sweep_csv(&found),
        |case, constructs| Envelope::new(SweepBody { case, constructs, sweep: found.clone() }),
    )?;
    if let Some(folder) = common.figures.as_deref() {
        tell(&write_sweep(folder, &found)?, folder, common.quiet);
    }
    if found.complete {
        return Ok(());
    }
    Err(Failure::Interrupted(interrupted(store.done(), total, typed.store.as_deref())))
}

fn interrupted(done: u64, total: u64, store: Option<&Path>) -> String {
    let go_on = match store {
        Some(path) => format!("`{}` holds them, and the same command with --resume goes on", path.display()),
        None => "with --store FILE they would be kept, to go on with --resume".to_owned(),
    };
    format!("interrupted: {done} of {total} points are done and stand above; {go_on}")
}

/// The ready-made sweep that is meant, if one is.
fn named(typed: &Arguments) -> Result<Option<&'static Named>, Failure> {
    let meant = typed.case.as_deref().and_then(|name| NAMED.iter().find(|n| n.name == name));
    match (meant, typed.vary.is_empty()) {
        (Some(named), true) => Ok(Some(named)),
        (_, false) => Ok(None),
        (None, true) => Err(Failure::Input(match typed.case.as_deref() {
            Some(word) if !is_case(word) => unknown(word),
            _ => format!(
                "nothing is varied\n  write --vary PATH=LOW..HIGH:NUMBER, or name a ready-made sweep: {}",
                NAMED.map(|n| n.name).join(", ")
            ),
        })),
    }
}

/// Neither a case nor a ready-made sweep.
fn unknown(word: &str) -> String {
    let sweeps = NAMED.map(|n| n.name);
    let cases = CASES.iter().map(|c| c.0);
    let hint = if CONSTRUCTS.iter().any(|c| c.0 == word) {
        format!("; this is a construct, and the case comes first: CASE {word}")
    } else {
        near(word, sweeps.into_iter().chain(cases.clone()))
            .map_or_else(String::new, |near| format!("; did you mean `{near}`?"))
    };
    format!(
        "no case or sweep `{word}`{hint}\n  ready-made sweeps: {}; cases built in: {}",
        sweeps.join(", "),
        cases.collect::<Vec<_>>().join(", ")
    )
}
