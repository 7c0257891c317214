//! The work of `rimhold scatter`.

use super::arguments::Scatter as Arguments;
use super::found::found;
use super::head::Head;
use super::held::StoreError;
use super::indices::{index_base, index_design, indices, put_indices};
use super::job::{Job, job, solved};
use super::present::present;
use super::question::asked;
use super::replay::{list_inputs, replay};
use super::store::Store;
use crate::cli::arguments::Common;
use crate::cli::failure::Failure;
use crate::cli::figures::write_scatter;
use crate::cli::output::note;
use crate::cli::progress::Progress;
use crate::cli::run::tell;
use crate::cli::stop;
use crate::model::spread::{Design, SpreadTable, Subject, default_spread};
use crate::show::report::{Envelope, ScatterBody, scatter_csv, scatter_methods, scatter_reading, scatter_table};
use crate::study::result::{Start, counted};
use crate::study::scatter::Rows;
use std::path::Path;

/// Constructs that are compared when none are given.
const COMPARED: [&str; 2] = ["one-by-one", "two-by-two-crossed"];
/// Samples of a chunk: about half a second of work, lost when the program is killed.
const CHUNK: u64 = 128;
/// Base samples below which indices are warned of.
const FEWEST_BASE: u64 = 64;
/// Runs `rimhold scatter`.
pub(in super::super) fn scatter(typed: &Arguments, common: &Common) -> Result<(), Failure> {
    let case = typed.case.as_deref().unwrap_or("quarter");
    let constructs =
        if typed.constructs.is_empty() { COMPARED.map(str::to_owned).to_vec() } else { typed.constructs.clone() };
    let mut subject = Subject::open(case, &constructs).map_err(Failure::Files)?;
    subject.set_cells(typed.cells);
    if typed.inputs {
        return list_inputs(&subject, common);
    }
    let (table, lenient) = match &typed.spread {
        Some(path) => (SpreadTable::read(path).map_err(|p| Failure::Files(vec![p]))?, false),
        None => spread_of(&subject),
    };
    let design = Design::new(&table, &subject, lenient).map_err(|p| Failure::Files(vec![p]))?;
    if typed.from.start() == Start::Displaced {
        let checked = subject.case().check_displaced(case);
        checked.map_err(|p| Failure::Files(vec![p]))?;
    }
    let job = job(typed, subject, design)?;
    if let Some(number) = typed.sample {
        return replay(&job, number, typed, common);
    }
    let head = Head::new(asked(typed, &job));
    let path = typed.store.as_deref().unwrap_or(Path::new("scatter.samples"));
    let opened =
        if typed.resume { Store::resume(path, &head, &job.layouts) } else { Store::create(path, &head, &job.layouts) };
    let mut store = opened.map_err(|e| refused(e, path))?;
    stop::listen();
    let broken = |e: std::io::Error| Failure::Other(format!("`{}`: {e}", path.display()));
    samples(&job, typed.samples, &mut store, common.quiet).map_err(broken)?;
    let index = index_design(typed, &job);
    if let Some(index) = &index {
        if index_base(typed) < FEWEST_BASE && !common.quiet {
            note(&format!(
                "warning: {} for the indices: their intervals will span most of the axis; from {FEWEST_BASE} on they begin to say something",
                counted(index_base(typed), "base sample")
            ));
        }
        indices(&job, index, typed, &mut store, common.quiet).map_err(broken)?;
    }
    let mut found = found(typed, &job, &mut store).map_err(broken)?;
    let mut intervals = true;
    if let Some(index) = &index {
        let whole = put_indices(index, typed.seed, &mut store, &mut found, common.quiet);
        intervals = whole.map_err(broken)?;
    }
    found.reading = scatter_reading(&found);
    let index_done = store.index_done() == index_base(typed);
    let complete = found.done == typed.samples && index_done && intervals;
    if !common.quiet {
        for warning in &job.design.warnings {
            note(&format!("warning: {}; {}", warning.message, warning.advice));
        }
    }
    present(
        &job,
        common,
        |page| scatter_table(page, &found),
        || scatter_csv(&found),
        |case, constructs| {
            Envelope::new(ScatterBody { case, constructs, methods: scatter_methods(&found), scatter: found.clone() })
        },
    )?;
    // Before the samples are removed: after a refusal --resume draws without solving again.
    if let Some(folder) = common.figures.as_deref() {
        tell(&write_scatter(folder, &found)?, folder, common.quiet);
    }
    if !complete {
        return Err(Failure::Interrupted(interrupted(
            [found.done, typed.samples],
            [store.index_done(), index_base(typed)],
            path,
        )));
    }
    // A file that was asked for by name is the user's to keep.
    if typed.store.is_none() {
        store.remove();
    }
    if found.constructs.iter().any(|c| c.ends.uncertified > 0) && !common.quiet {
        note("some samples could not be certified; they are listed and count for nothing");
    }
    Ok(())
}

/// How far an interrupted run came: samples and base samples, done and asked for.
fn interrupted(samples: [u64; 2], base: [u64; 2], path: &Path) -> String {
    let indices = match base {
        [_, 0] => String::new(),
        [done, of] if done == of => {
            format!(" and all {of} base samples of the indices, their intervals not")
        }
        [done, of] => format!(" and {done} of {of} base samples of the indices"),
    };
    format!(
        "interrupted: {} of {} samples{indices} are done, and what they say stands above; `{}` holds them, and the same command with --resume goes on",
        samples[0],
        samples[1],
        path.display()
    )
}

/// The spread of a case, or the built-in one, of which lines that stand for nothing are left out.
pub(super) fn spread_of(subject: &Subject) -> (SpreadTable, bool) {
    match subject.spread() {
        Some(table) => (table, false),
        None => (default_spread(), true),
    }
}

pub(super) fn refused(e: StoreError, path: &Path) -> Failure {
    match e {
        StoreError::Refused(message) => Failure::Input(message),
        StoreError::Io(e) => Failure::Other(format!(
            "`{}` cannot be written: {e}\n  samples are kept there until the run is finished; name another file by --store",
            path.display()
        )),
    }
}

fn samples(job: &Job, total: u64, store: &mut Store, quiet: bool) -> std::io::Result<()> {
    let mut done = store.done();
    let progress = Progress::long(total, done, "samples", quiet);
    while done < total && !stop::asked() {
        let next = (done + CHUNK).min(total);
        store.add_rows(&solved(job, done..next, &progress))?;
        done = next;
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_interruption_tells_samples_and_base_samples() {
        let at = Path::new("s");
        let said = interrupted([20, 2000], [0, 0], at);
        assert!(said.contains("20 of 2000 samples are done"), "{said}");
        let said = interrupted([2000, 2000], [8, 256], at);
        assert!(said.contains("2000 of 2000 samples and 8 of 256 base samples of the indices are done"), "{said}");
        let said = interrupted([2000, 2000], [256, 256], at);
        assert!(said.contains("all 256 base samples"), "{said}");
        assert!(said.contains("their intervals not"), "{said}");
    }
}
