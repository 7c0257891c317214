//! Common draws of how anchors land and how hard limbs are pulled.

use super::super::result::{DrawEnds, DrawnInput, Estimate, PairedGain};
use super::look::{Fate, Look};
use super::objective::Objective;
use super::question::Question;
use crate::model::Problems;
use crate::model::spread::{Design, Subject, default_spread};
use crate::optimise::Watcher;
use crate::par;
use crate::stats::{Draws, Method, mean, quantile, wilson, win};
use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::{Rng, SeedableRng};

/// Share of draws that are worse than a robust value.
const WORSE: f64 = 0.1;

/// Lines of the built-in spread that a placement is put to: an anchor lands a millimetre off along the
/// fracture line and half of one across (standard deviations, cut at twice that), a limb is pulled with
/// another tension.
const LINES: [&str; 3] = ["limb.*.tension", "anchor.*.along_error", "anchor.*.across_error"];

/// Draws that every design is put to alike.
#[derive(Debug, Clone)]
pub struct Common {
    /// What each draw sets.
    pub design: Design,
    /// The draws.
    pub draws: Vec<Vec<f64>>,
    /// Their seed.
    pub seed: u64,
}

impl Common {
    /// So many draws of the built-in spread's placement error and tension: one Latin hypercube.
    ///
    /// # Errors
    /// When nothing of a subject can be drawn.
    pub fn new(subject: &Subject, count: u64, seed: u64) -> Result<Self, Problems> {
        let mut table = default_spread();
        table.lines.retain(|l| LINES.contains(&l.path.as_str()));
        table.correlations.clear();
        let design = Design::new(&table, subject, true)?;
        let inputs = design.dimensions.len();
        let plan = Draws::replicated(Method::LatinHypercube, seed, count, inputs, 1);
        let draws = (0..count)
            .map(|k| {
                let mut point = vec![0.0; inputs];
                plan.point(k, &mut point);
                design.draw(&mut point);
                point
            })
            .collect();
        Ok(Self { design, draws, seed })
    }

    /// What is drawn, and how.
    pub(super) fn inputs(&self) -> Vec<DrawnInput> {
        let lines = self.design.lines.iter();
        lines
            .map(|line| DrawnInput {
                path: line.path.clone(),
                distribution: line.distribution.clone(),
                usage: line.usage.clone(),
                unit: line.unit.clone(),
                tag: line.tag,
                source: line.source.clone(),
            })
            .collect()
    }
}

/// How draws ended.
pub(super) fn ends(draws: &[Look]) -> DrawEnds {
    let mut ends = DrawEnds::default();
    for draw in draws {
        *match draw.fate {
            Fate::Held => &mut ends.held,
            Fate::NotHeld(_) => &mut ends.lost,
            Fate::Uncertified(_) | Fate::Silent(_) => &mut ends.uncertified,
            Fate::Far | Fate::Impossible(_) => &mut ends.impossible,
        } += 1;
        ends.beyond += u64::from(draw.fate == Fate::Held && draw.is_beyond());
    }
    ends
}

/// What a draw is worth: of one in which the fragment is lost or an anchor misses its bone the worst, of
/// one without a certificate nothing. Were missing the bone left out, a search would rather miss it than
/// lose the fragment.
pub(super) fn worth(objective: Objective, draw: &Look, which: usize) -> Option<f64> {
    match draw.fate {
        Fate::Held => draw.values[which],
        Fate::NotHeld(_) | Fate::Impossible(_) | Fate::Far => Some(objective.of_lost()),
        Fate::Uncertified(_) | Fate::Silent(_) => None,
    }
}

/// The value that a tenth of some are worse than; infinite where that is.
pub(super) fn tenth(objective: Objective, values: &mut [f64]) -> f64 {
    values.sort_by(f64::total_cmp);
    let p = if objective.more_is_better() { WORSE } else { 1.0 - WORSE };
    let value = quantile(values, p);
    // Between two that are infinite.
    if value.is_nan() { f64::INFINITY } else { value }
}

/// The value that a tenth of the draws that count are worse than; absent when too few count, or where
/// it is infinite.
pub(super) fn percentile(objective: Objective, draws: &[Look], which: usize) -> Option<f64> {
    if !ends(draws).suffice() {
        return None;
    }
    let mut values: Vec<f64> = draws.iter().filter_map(|draw| worth(objective, draw, which)).collect();
    Some(tenth(objective, &mut values)).filter(|v| v.is_finite())
}

// The answer against the given construct on common draws.

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
    let looks = par::map(&(0..common.draws.len()).collect::<Vec<usize>>(), |&k| {
        Some([look(full, None, k)?, look(full, Some(&found), k)?, look(search, Some(&found), k)?])
    })
    .into_iter()
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
        cells: full.cells,
        steps: full.steps,
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

// Intervals of what a few draws say.

/// Redraws of a bootstrap: enough that the ends of a 95 % interval scatter by a few per cent of it.
const REDRAWS: usize = 1000;

/// The 95 % interval of a statistic of pairs by a bootstrap that redraws whole pairs (percentiles 2.5
/// and 97.5); absent where an end of it is infinite, or there are fewer than eight pairs.
pub(super) fn bootstrap(pairs: &[[f64; 2]], seed: u64, statistic: impl Fn(&[[f64; 2]]) -> f64) -> Option<[f64; 2]> {
    if pairs.len() < 8 {
        return None;
    }
    let mut rng = ChaCha8Rng::seed_from_u64(seed);
    let mut values: Vec<f64> = (0..REDRAWS)
        .map(|_| {
            // The bias of the remainder is below n/2⁶⁴.
            let drawn: Vec<[f64; 2]> =
                (0..pairs.len()).map(|_| pairs[(rng.next_u64() % pairs.len() as u64) as usize]).collect();
            statistic(&drawn)
        })
        .collect();
    values.sort_by(f64::total_cmp);
    let ends = [0.025, 0.975].map(|p| quantile(&values, p));
    ends.iter().all(|v| v.is_finite()).then_some(ends)
}

#[cfg(test)]
mod tests {
    use super::super::rule::{Rule, Value};
    use super::*;

    fn draw(fate: Fate, value: Option<f64>) -> Look {
        Look { fate, values: vec![value], nominal: None, rules: vec![None; Rule::ALL.len()], draws: None }
    }

    fn held(values: impl IntoIterator<Item = u32>) -> Vec<Look> {
        values.into_iter().map(|v| draw(Fate::Held, Some(f64::from(v)))).collect()
    }

    fn with(mut draws: Vec<Look>, fate: &Fate, count: usize) -> Vec<Look> {
        draws.extend((0..count).map(|_| draw(fate.clone(), None)));
        draws
    }

    /// Definition 7 of Hyndman and Fan on 1 to 21: the tenth percentile is the third of them. Two
    /// draws more without a certificate change nothing; a third is more than a tenth of all.
    #[test]
    fn draws_without_a_certificate_are_left_out_and_too_many_of_them_leave_no_value() {
        let doubtful = Fate::Uncertified(String::new());
        let all = with(held(1..=21), &doubtful, 2);
        let count = ends(&all);
        assert_eq!((count.held, count.lost), (21, 0));
        assert_eq!((count.uncertified, count.impossible), (2, 0));
        assert_eq!(percentile(Objective::Inferior, &all, 0), Some(3.0));
        assert_eq!(percentile(Objective::Reduction, &all, 0), Some(19.0));
        let more = with(all, &doubtful, 1);
        assert_eq!(percentile(Objective::Inferior, &more, 0), None);
    }

    /// Missing the bone is no better than losing the fragment, whichever way is better.
    #[test]
    fn a_draw_off_the_bone_counts_as_a_lost_one() {
        let fates = [Fate::Impossible(String::new()), Fate::NotHeld(String::new())];
        for objective in [Objective::Inferior, Objective::Reduction] {
            for count in 0..=4 {
                let [off, lost] =
                    fates.each_ref().map(|fate| percentile(objective, &with(held(1..=20), fate, count), 0));
                assert_eq!(off, lost, "{objective:?} {count}");
            }
        }
        // Hyndman and Fan's 7 on 0, 0, 1 … 20: at 2.1, a tenth of the way from 1 to 2.
        let two = with(held(1..=20), &fates[0], 2);
        let value = percentile(Objective::Inferior, &two, 0).unwrap();
        // A rounding of 2.1.
        assert!((value - 1.1).abs() < 1e-12, "{value}");
        assert_eq!(ends(&two).impossible, 2);
    }

    /// A draw beyond what a knot or the bed bears is held, has its value, and is counted; a lost one is
    /// counted as lost alone, and an anchor too near another is no load.
    #[test]
    fn draws_beyond_a_limit_of_load_are_counted() {
        let beyond = |rule: Rule, fate: Fate| {
            let mut draw = draw(fate, Some(5.0));
            draw.rules[rule as usize] = Some(Value { value: 2.0, limit: 1.0, excess: 1.0, subject: String::new() });
            draw
        };
        let mut all = held(1..=3);
        all.push(beyond(Rule::Tension, Fate::Held));
        all.push(beyond(Rule::Pressure, Fate::Held));
        all.push(beyond(Rule::Spacing, Fate::Held));
        all.push(beyond(Rule::Holding, Fate::NotHeld(String::new())));
        let count = ends(&all);
        assert_eq!((count.held, count.lost, count.beyond), (6, 1, 2));
    }

    /// A lost draw is worse than any that is held: with three of 21 lost the third is nothing at all;
    /// where less is better, the nineteenth is infinite.
    #[test]
    fn lost_draws_count_as_the_worst() {
        let lost = Fate::NotHeld(String::new());
        let all = with(held(1..=18), &lost, 3);
        assert_eq!(ends(&all).lost, 3);
        assert_eq!(percentile(Objective::Inferior, &all, 0), Some(0.0));
        assert_eq!(percentile(Objective::Reduction, &all, 0), None);
        let fewer = with(held(1..=19), &lost, 2);
        assert_eq!(percentile(Objective::Inferior, &fewer, 0), Some(1.0));
        // Exactly at the last one that is held: an infinite neighbour of weight 0 counts for nothing.
        assert_eq!(percentile(Objective::Reduction, &fewer, 0), Some(19.0));
    }
}

#[cfg(test)]
mod tests_of_interval {
    use super::*;
    use crate::stats::Z;

    /// Of a mean the interval is that of the central limit theorem: within ±1.96 s/√n, here s = √(n²−1)/√12
    /// of the numbers 1 to n, to the few per cent by which a thousand redraws scatter.
    #[test]
    fn a_bootstrap_of_a_mean_agrees_with_the_central_limit() {
        let n = 400.0_f64;
        let pairs: Vec<[f64; 2]> = (1..=400).map(|k| [0.0, f64::from(k)]).collect();
        let mean = |list: &[[f64; 2]]| list.iter().map(|p| p[1] - p[0]).sum::<f64>() / n;
        let [low, high] = bootstrap(&pairs, 1, mean).unwrap();
        let half = Z * ((n * n - 1.0) / 12.0 / n).sqrt();
        // The ends scatter by √(0.025 · 0.975 / 1000) / φ(1.96) = 0.084 of a standard error each.
        let most = 4.0 * 0.084 * half / Z;
        let middle = 0.5 * (n + 1.0);
        assert!((low - (middle - half)).abs() < most, "{low} {high}");
        assert!((high - (middle + half)).abs() < most, "{low} {high}");
        assert_eq!(bootstrap(&pairs, 1, mean), Some([low, high]));
        assert_ne!(bootstrap(&pairs, 2, mean), Some([low, high]));
        let infinite = |_: &[[f64; 2]]| f64::INFINITY;
        assert_eq!(bootstrap(&pairs, 1, infinite), None);
    }
}
