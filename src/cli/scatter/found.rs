//! What was found by a run of samples, from its rows.

use super::arguments::Scatter as Arguments;
use super::indices::index_base;
use super::job::Job;
use crate::stats::{mean, spearman, variance};
use crate::study::result::{Correlated, InputUsed, Scatter};
use crate::study::scatter::{Asked, Rows, gather};

/// Samples that correlations and moments of the inputs are checked on.
const MOST_CHECKED: u64 = 20_000;

/// The study by its rows.
///
/// # Errors
/// Rows that cannot be read.
pub(super) fn found(typed: &Arguments, job: &Job, store: &mut dyn Rows) -> std::io::Result<Scatter> {
    let inputs: Vec<Vec<(String, usize)>> = (0..job.layouts.len())
        .map(|k| {
            let concerned = |d: &usize| job.design.dimensions[*d].concerns(k);
            (0..job.inputs).filter(concerned).map(|d| (job.design.dimensions[d].path.clone(), d)).collect()
        })
        .collect();
    let replicates = job.draws.replicates();
    let (constructs, pairs) = gather(
        store,
        &Asked {
            names: &job.names,
            layouts: &job.layouts,
            replicates,
            under: typed.under,
            inputs: &inputs,
            draws: &|sample| job.drawn(sample),
        },
    )?;
    let done = store.done();
    let checked: Vec<Vec<f64>> = (0..done.min(MOST_CHECKED)).map(|s| job.drawn(s)).collect();
    let column = |d: usize| checked.iter().map(|draws| draws[d]).collect::<Vec<f64>>();
    let inputs = job
        .design
        .lines
        .iter()
        .map(|line| {
            let drawn = column(line.dimension);
            InputUsed {
                path: line.path.clone(),
                targets: line.targets.clone(),
                shared: line.shared,
                distribution: line.words.clone(),
                usage: line.usage.word().to_owned(),
                unit: line.unit.clone(),
                tag: line.tag,
                source: line.source.clone(),
                cut: line.cut,
                mean: if drawn.is_empty() { 0.0 } else { mean(&drawn) },
                deviation: variance(&drawn).sqrt(),
            }
        })
        .collect();
    let correlations = job
        .design
        .correlations
        .iter()
        .zip(&job.design.correlation_backing)
        .map(|(&(a, b, asked), &(tag, source))| Correlated {
            between: [a, b].map(|d| job.design.dimensions[d].path.clone()),
            asked,
            tag,
            source: source.to_owned(),
            reached: spearman(&column(a), &column(b)),
        })
        .collect();
    Ok(Scatter {
        case: job.subject.case().name.clone(),
        from: job.probe.from,
        direction: typed.direction.name.clone(),
        to: typed.to,
        cells: typed.cells,
        steps: typed.steps,
        sampler: typed.sampler.sampler(),
        seed: typed.seed,
        samples: typed.samples,
        done,
        replicates,
        spread: job.design.source.clone(),
        inputs,
        correlations,
        constructs,
        pairs,
        index_base: index_base(typed),
        reading: Vec::new(),
    })
}
