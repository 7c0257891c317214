//! What a report tells of a study of scatter: how far the answers move when the inputs do.

use super::fact::{Fact, Facts};
use crate::show::report::scatter::{correlation, ended, known_to, left_out, sampler, verdicts_mean};
use crate::stats::REDRAWS;
use crate::study::result::Scatter;

/// What stands for a standard error where all draws agree.
const BOUNDS: &str =
    "a share on which all draws agree has an exact binomial bound (Clopper and Pearson, one-sided, 95 %) instead";

/// A study of scatter in facts; its Sobol' indices are absent when none were asked for.
pub(super) fn uncertainty(found: &Scatter) -> Facts {
    let whole = |n: u64| Fact::exact(n as f64, "");
    let has_errors = found.replicates > 1;
    // The base samples are none of the samples.
    let indices = (found.index_base > 0).then(|| {
        let estimators = format!(
            "first-order and total indices by estimators of Saltelli et al. [@saltelli-2010], \
             with intervals of 95 % by a bootstrap of {REDRAWS} redraws over base samples"
        );
        Facts(vec![
            ("base", whole(found.index_base).into()),
            ("seed", whole(found.seed.wrapping_add(1)).into()),
            ("estimators", estimators.into()),
            ("left_out", left_out(found).into()),
        ])
    });
    Facts(vec![
        ("samples", whole(found.samples).into()),
        ("sampler", sampler(found.sampler).into()),
        ("seed", whole(found.seed).into()),
        ("replicates", whole(found.replicates).into()),
        ("has_errors", has_errors.into()),
        ("known_to", Fact::new(if has_errors { known_to(found.replicates) } else { 100.0 }, 0, "%").into()),
        ("spread", (&found.spread).into()),
        ("lines", Fact::count(found.inputs.len(), "").into()),
        ("cells", Fact::count(found.cells, "").into()),
        ("steps", Fact::count(found.steps, "").into()),
        ("correlations", found.correlations.iter().map(correlation).collect::<Vec<_>>().into()),
        ("ends", found.constructs.iter().map(|c| ended(found, c)).collect::<Vec<_>>().into()),
        ("pairs", (found.constructs.len() > 1).into()),
        ("verdicts", verdicts_mean().into()),
        ("bounds", BOUNDS.into()),
        ("indices", indices.into()),
        ("reading", crate::show::report::scatter_reading(found).into()),
    ])
}
