//! The answer against the given construct on common draws.

use super::super::result::{Estimate, PairedGain};
use super::draws::Common;
use super::question::{Question, percentile};
use crate::chance::quantile;
use rayon::prelude::*;

/// Both designs under each of the draws, paired.
pub(super) fn gain(question: &Question, found: &[f64], common: &Common) -> PairedGain {
    let objective = question.objectives[0];
    let found = question.tried(found);
    let pairs: Vec<[f64; 2]> = (0..common.draws.len())
        .into_par_iter()
        .map(|k| {
            [
                question.drawn(None, common, k)[0],
                question.drawn(Some(&found), common, k)[0],
            ]
        })
        .collect();
    let lost = objective.of_lost();
    let of = |which: usize| -> Vec<f64> { pairs.iter().map(|p| p[which]).collect() };
    let is_better = |p: &&[f64; 2]| objective.cost(p[1]) < objective.cost(p[0]);
    let ties = pairs.iter().filter(|p| p[0] == p[1]).count();
    let n = pairs.len() as f64;
    let share = (pairs.iter().filter(is_better).count() as f64 + 0.5 * ties as f64) / n;
    // Where one of a pair is lost and less is better, there is no difference to tell.
    let mut differences: Vec<f64> = pairs
        .iter()
        .map(|p| p[1] - p[0])
        .filter(|d| d.is_finite())
        .collect();
    differences.sort_by(f64::total_cmp);
    PairedGain {
        draws: pairs.len() as u64,
        seed: common.seed,
        given: percentile(objective, of(0)),
        found: percentile(objective, of(1)),
        median: quantile(&differences, 0.5),
        low: quantile(&differences, 0.1),
        high: quantile(&differences, 0.9),
        better: Estimate {
            value: share,
            // Of independent draws; a Latin hypercube's is rather smaller.
            error: Some((share * (1.0 - share) / n).sqrt()),
        },
        lost: [0, 1].map(|w| pairs.iter().filter(|p| p[w] == lost).count() as u64),
    }
}
