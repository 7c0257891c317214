//! The answer against the given construct on common draws.

use super::super::result::{Estimate, PairedGain};
use super::draws::{Common, ends, percentile, worth};
use super::look::Look;
use super::question::Question;
use crate::chance::{mean, quantile, win};
use rayon::prelude::*;

/// Both designs under each of the draws, paired.
pub(super) fn gain(question: &Question, found: &[f64], common: &Common) -> PairedGain {
    let objective = question.objectives[0];
    let found = question.tried(found);
    let (given, found): (Vec<Look>, Vec<Look>) = (0..common.draws.len())
        .into_par_iter()
        .map(|k| {
            (
                question.drawn(None, common, k),
                question.drawn(Some(&found), common, k),
            )
        })
        .unzip();
    // Draws that say nothing of one of the two say nothing of both.
    let counts = |look: &Look| worth(objective, look, 0).is_some();
    let pairs: Vec<(&Look, &Look)> = given
        .iter()
        .zip(&found)
        .filter(|(a, b)| counts(a) && counts(b))
        .collect();
    let good = |look: &Look| look.values[0].map(|v| -objective.cost(v));
    let wins: Vec<f64> = pairs
        .iter()
        .filter_map(|(a, b)| win(good(a), good(b)))
        .collect();
    // Where one of a pair is lost and less is better, there is no difference to tell.
    let mut differences: Vec<f64> = pairs
        .iter()
        .filter_map(|(a, b)| Some(worth(objective, b, 0)? - worth(objective, a, 0)?))
        .filter(|d| d.is_finite())
        .collect();
    differences.sort_by(f64::total_cmp);
    let at = |p: f64| (!differences.is_empty()).then(|| quantile(&differences, p));
    PairedGain {
        draws: common.draws.len() as u64,
        seed: common.seed,
        given: percentile(objective, &given, 0),
        found: percentile(objective, &found, 0),
        median: at(0.5),
        low: at(0.1),
        high: at(0.9),
        better: (!wins.is_empty()).then(|| {
            let share = mean(&wins);
            Estimate {
                value: share,
                // Of independent draws; a Latin hypercube's is rather smaller.
                error: Some((share * (1.0 - share) / wins.len() as f64).sqrt()),
            }
        }),
        pairs: pairs.len() as u64,
        ends: [ends(&given), ends(&found)],
    }
}
