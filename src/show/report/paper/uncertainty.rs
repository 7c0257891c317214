//! What a report tells of a study of scatter: how far the answers move when the inputs do.

use super::fact::Fact;
use crate::show::report::scatter::{correlation, ended, known_to, left_out, sampler, verdicts_mean};
use crate::stats::REDRAWS;
use crate::study::result::Scatter;
use schemars::JsonSchema;
use serde::Serialize;

/// What page and methods section say of a study of scatter.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Uncertainty {
    /// Samples of each construct.
    pub samples: Fact,
    /// How they were drawn.
    pub sampler: String,
    /// Seed.
    pub seed: Fact,
    /// Independent replicates that standard errors come from.
    pub replicates: Fact,
    /// Whether there were enough replicates for standard errors.
    pub has_errors: bool,
    /// To how much a standard error is itself known.
    pub known_to: Fact,
    /// Where the spread comes from.
    pub spread: String,
    /// Lines of the spread.
    pub lines: Fact,
    /// Bed cells aimed at in each sample.
    pub cells: Fact,
    /// Recorded steps of the push.
    pub steps: Fact,
    /// Rank correlations, each in words; empty when all were drawn independently.
    pub correlations: Vec<String>,
    /// How the samples of each construct ended, in sentences.
    pub ends: Vec<String>,
    /// Whether there are pairs of constructs.
    pub pairs: bool,
    /// What the verdicts on pairs mean.
    pub verdicts: String,
    /// What stands for a standard error where all draws agree.
    pub bounds: String,
    /// The Sobol' indices; absent when none were asked for.
    pub indices: Option<Sensitivity>,
    /// Reading in sentences.
    pub reading: Vec<String>,
}

impl Uncertainty {
    pub(super) fn new(found: &Scatter) -> Self {
        Self {
            samples: Fact::exact(found.samples as f64, ""),
            sampler: sampler(found.sampler).to_owned(),
            seed: Fact::exact(found.seed as f64, ""),
            replicates: Fact::exact(found.replicates as f64, ""),
            has_errors: found.replicates > 1,
            known_to: Fact::new(
                if found.replicates > 1 {
                    known_to(found.replicates)
                } else {
                    100.0
                },
                0,
                "%",
            ),
            spread: found.spread.clone(),
            lines: Fact::count(found.inputs.len(), ""),
            cells: Fact::count(found.cells, ""),
            steps: Fact::count(found.steps, ""),
            correlations: found.correlations.iter().map(correlation).collect(),
            ends: found.constructs.iter().map(|c| ended(found, c)).collect(),
            pairs: found.constructs.len() > 1,
            verdicts: verdicts_mean(),
            bounds: "a share on which all draws agree has an exact binomial bound (Clopper and Pearson, one-sided, 95 %) instead"
                .to_owned(),
            indices: Sensitivity::new(found),
            reading: crate::show::report::scatter_reading(found),
        }
    }
}

/// What page and methods section say of Sobol' indices.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Sensitivity {
    /// Base samples of each construct.
    pub base: Fact,
    /// Seed of the base samples, which are none of the samples.
    pub seed: Fact,
    /// Estimators and intervals.
    pub estimators: String,
    /// How many base samples were left out, by construct and quantity, in sentences.
    pub left_out: Vec<String>,
}

impl Sensitivity {
    /// `None` when no indices were requested.
    pub(super) fn new(found: &Scatter) -> Option<Self> {
        (found.index_base > 0).then(|| Self {
            base: Fact::exact(found.index_base as f64, ""),
            seed: Fact::exact(found.seed.wrapping_add(1) as f64, ""),
            estimators: format!(
                "first-order indices after Saltelli et al. [@saltelli-2010], total indices after Jansen \
                 [@jansen-1999], with intervals of 95 % by a bootstrap of {REDRAWS} redraws over base samples"
            ),
            left_out: left_out(found),
        })
    }
}
