//! The answer against the given construct on common draws.

use super::super::result::{Estimate, PairedGain};
use super::draws::{Common, ends, percentile, tenth, worth};
use super::interval::{bootstrap, wilson};
use super::look::Look;
use super::question::Question;
use crate::optimise::Watcher;
use crate::par::*;
use crate::stats::{mean, quantile, win};

/// Both designs under each of the draws, paired, on the full bed, and the answer also on that of the
/// search; absent when an end is asked for before all are made.
pub(super) fn gain(
    full: &Question,
    search: &Question,
    found: &[f64],
    common: &Common,
    watch: &dyn Watcher,
) -> Option<PairedGain> {
    let objective = full.objectives[0];
    let found = full.tried(found);
    let look = |question: &Question, at: Option<&[f64]>, k: usize| {
        let look = (!watch.stops()).then(|| question.drawn(at, common, k));
        watch.step();
        look
    };
    let looks = (0..common.draws.len())
        .into_par_iter()
        .map(|k| Some([look(full, None, k)?, look(full, Some(&found), k)?, look(search, Some(&found), k)?]))
        .collect::<Option<Vec<[Look; 3]>>>()?;
    let [given, found, coarse] = [0, 1, 2].map(|i| looks.iter().map(|l| l[i].clone()).collect::<Vec<Look>>());
    // Draws without a certificate for one of the two say nothing of both.
    let pairs: Vec<(&Look, &Look)> = given
        .iter()
        .zip(&found)
        .filter(|(a, b)| worth(objective, a, 0).is_some() && worth(objective, b, 0).is_some())
        .collect();
    let good = |look: &Look| look.values[0].map(|v| -objective.cost(v));
    let wins: Vec<f64> = pairs.iter().filter_map(|(a, b)| win(good(a), good(b))).collect();
    let worths: Vec<[f64; 2]> =
        pairs.iter().filter_map(|(a, b)| Some([worth(objective, a, 0)?, worth(objective, b, 0)?])).collect();
    // Where one of a pair is lost and less is better, there is no difference to tell.
    let mut differences: Vec<f64> = worths.iter().map(|[a, b]| b - a).filter(|d| d.is_finite()).collect();
    differences.sort_by(f64::total_cmp);
    let at = |p: f64| (!differences.is_empty()).then(|| quantile(&differences, p));
    let between = |pairs: &[[f64; 2]]| {
        let [a, b] = [0, 1].map(|i| {
            let mut values: Vec<f64> = pairs.iter().map(|pair| pair[i]).collect();
            tenth(objective, &mut values)
        });
        // Both lost alike is no difference.
        if a == b { 0.0 } else { b - a }
    };
    let reached = [&given, &found].map(|looks| percentile(objective, looks, 0));
    let told = reached.iter().all(Option::is_some);
    let better = (!wins.is_empty()).then(|| mean(&wins));
    Some(PairedGain {
        draws: common.draws.len() as u64,
        seed: common.seed,
        cells: full.cells(),
        steps: full.steps(),
        given: reached[0],
        found: reached[1],
        found_on_search_bed: percentile(objective, &coarse, 0),
        difference: told.then(|| between(&worths)),
        difference_interval: bootstrap(&worths, common.seed, between).filter(|_| told),
        median: at(0.5),
        low: at(0.1),
        high: at(0.9),
        better: better.map(|value| Estimate { value, error: None }),
        better_interval: better.map(|share| wilson(share, wins.len())),
        pairs: pairs.len() as u64,
        ends: [ends(&given), ends(&found)],
    })
}
