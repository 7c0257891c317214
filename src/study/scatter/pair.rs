//! Two constructs on the same draws.

use super::gather::{probability, quantiles};
use super::histogram::histogram;
use super::plan::Study;
use super::sampling::Rows;
use crate::quantities::{Better, place_of, quantity};
use crate::stats::{self, variance};
use crate::study::result::{End, Paired};

/// Quantities that are compared in pairs.
pub(super) const COMPARED: [&str; 6] = ["compression", "peak-pressure", "step", "tilt", "load-1mm", "load-2mm"];

/// Whether a sample says anything: one that could not be solved does not.
fn counts(end: End) -> bool {
    !matches!(end, End::Uncertified | End::Impossible)
}

/// The second of two constructs against the first, on the same draws.
pub(super) fn pair(rows: &Rows, study: &Study, ends: &[Vec<End>], [first, second]: [usize; 2], key: &str) -> Paired {
    let (a, b) = (rows.column(first, place_of(key)), rows.column(second, place_of(key)));
    let difference: Vec<f64> = a.iter().zip(&b).map(|(a, b)| b - a).collect();
    // What is held has more of it than what is not, for what one wants more of.
    let gains = quantity(key).better == Better::More;
    let wins: Vec<f64> = (0..a.len())
        .map(|s| {
            if !counts(ends[first][s]) || !counts(ends[second][s]) {
                return f64::NAN;
            }
            let [one, other] = [a[s], b[s]].map(|v| (!v.is_nan()).then_some(v));
            if !gains && (one.is_none() || other.is_none()) {
                return f64::NAN;
            }
            stats::win(one, other).unwrap_or(f64::NAN)
        })
        .collect();
    let of = wins.iter().filter(|w| !w.is_nan()).count();
    let both: Vec<usize> = (0..a.len()).filter(|s| !difference[*s].is_nan()).collect();
    let take = |column: &[f64]| -> Vec<f64> { both.iter().map(|s| column[*s]).collect() };
    let mut sorted = take(&difference);
    sorted.sort_by(f64::total_cmp);
    let separate = variance(&take(&a)) + variance(&take(&b));
    let (names, replicates) = (&study.points.names, study.draws.replicates());
    Paired {
        first: names[first].clone(),
        second: names[second].clone(),
        quantity: quantity(key).named(),
        difference: quantiles(&difference, replicates),
        percentiles: if sorted.is_empty() {
            Vec::new()
        } else {
            (0..=100).map(|p| stats::quantile(&sorted, 0.01 * f64::from(p))).collect()
        },
        histogram: histogram(&sorted),
        superiority: probability(&wins, replicates),
        superiority_of: of,
        variance_ratio: (separate > 0.0).then(|| variance(&sorted) / separate),
    }
}
