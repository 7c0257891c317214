//! The runs for Sobol' indices, chunk by chunk, and the indices from them.

use super::arguments::Scatter as Arguments;
use super::job::{Job, rows};
use super::store::{IndexRuns, Store};
use crate::cli::progress::Progress;
use crate::cli::stop;
use crate::quantities::place_of;
use crate::stats::{Draws, Method, REDRAWS};
use crate::study::result::Scatter;
use crate::study::scatter::{IndexDesign, RANKED, index_results};
use rayon::prelude::*;

/// Base samples of a chunk of the indices.
const INDEX_CHUNK: u64 = 8;

/// Base samples asked for.
pub(super) fn index_base(typed: &Arguments) -> u64 {
    typed.indices.unwrap_or(0)
}

/// The design of the indices, where they are asked for.
pub(super) fn index_design(typed: &Arguments, job: &Job) -> Option<IndexDesign> {
    typed.indices.map(|_| IndexDesign { groups: job.design.independent_groups() })
}

fn index_draws(typed: &Arguments, job: &Job) -> Draws {
    // A seed of its own: the base samples are none of the samples. Single precision of the Sobol'
    // sequence would do as well, but has too few dimensions for twice the inputs of a large case.
    Draws::new(Method::LatinHypercube, typed.seed.wrapping_add(1), index_base(typed), 2 * job.inputs)
}

/// Runs the base samples that are not done yet.
pub(super) fn indices(
    job: &Job,
    index: &IndexDesign,
    typed: &Arguments,
    store: &mut Store,
    quiet: bool,
) -> std::io::Result<()> {
    let total = index_base(typed);
    let draws = index_draws(typed, job);
    let concerns: Vec<Vec<bool>> = (0..job.layouts.len())
        .map(|k| {
            let of = |d: &usize| job.design.dimensions[*d].concerns(k);
            index.groups.iter().map(|g| g.1.iter().any(of)).collect()
        })
        .collect();
    let mut done = store.index_done();
    let progress = Progress::long(total * index.runs(), done * index.runs(), "runs for the indices", quiet);
    while done < total && !stop::asked() {
        let next = (done + INDEX_CHUNK).min(total);
        let runs: Vec<(u64, u64)> =
            (done..next).flat_map(|base| (0..index.runs()).map(move |run| (base, run))).collect();
        let found: Vec<Vec<Option<[f64; RANKED.len()]>>> = runs
            .par_iter()
            .map_init(
                || job.subject.clone(),
                |subject, &(base, run)| {
                    let mut both = vec![0.0; 2 * job.inputs];
                    draws.point(base, &mut both);
                    let mut point = index.point(&both, run);
                    job.design.draw(&mut point);
                    // An input that does not concern a construct changes nothing there.
                    let wanted = |k: usize| run < 2 || concerns[k][run as usize - 2];
                    let found = rows(job, &point, subject, wanted);
                    progress.step();
                    found.into_iter().map(|row| row.map(|row| RANKED.map(|key| row.values[place_of(key)]))).collect()
                },
            )
            .collect();
        let per = index.runs() as usize;
        let chunk: Vec<IndexRuns> = found
            .chunks(per)
            .map(|runs| {
                let at_a = &runs[0];
                (0..job.layouts.len())
                    .flat_map(|k| runs.iter().map(move |run| run[k].or(at_a[k]).unwrap_or([f64::NAN; RANKED.len()])))
                    .collect()
            })
            .collect();
        store.add_index(&chunk)?;
        done = next;
    }
    Ok(())
}

/// Puts the indices to what was found; whether all of them could be before an end was asked for. Where
/// it was asked for already, those of the base samples that are done are put all the same.
pub(super) fn put_indices(
    index: &IndexDesign,
    seed: u64,
    store: &mut Store,
    found: &mut Scatter,
    quiet: bool,
) -> std::io::Result<bool> {
    let asked_before = stop::asked();
    let go_on = || asked_before || !stop::asked();
    let redraws = found.constructs.len() as u64 * RANKED.len() as u64 * REDRAWS;
    let progress = Progress::of("intervals of the indices: redraw", redraws as usize, quiet);
    let step = || {
        progress.step();
        go_on()
    };
    for (k, construct) in found.constructs.iter_mut().enumerate() {
        let own = store.index_runs(k, index.runs() as usize)?;
        construct.indices = index_results(index, &own, seed, &step);
    }
    Ok(go_on())
}
