//! Two constructs on the same draws.

use super::gather::{probability, quantiles};
use super::plan::Study;
use super::sampling::Rows;
use crate::quantities::{Better, place_of, quantity};
use crate::stats::{self, variance};
use crate::study::result::{End, Histogram, Paired};

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

// How often a quantity falls where.

/// Most bins: finer than a figure can show, and flat in memory.
const MOST: f64 = 400.0;

/// The histogram of sorted values. The width is the round number (1, 2 or 5 times a power of ten)
/// at or above Freedman and Diaconis's 2 IQR n^(−1/3) (1981, from memory); bins begin at multiples of
/// it, so that zero is always an edge. `None` without values.
pub fn histogram(sorted: &[f64]) -> Option<Histogram> {
    let (first, last) = (*sorted.first()?, *sorted.last()?);
    let quartile = |p: f64| crate::stats::quantile(sorted, p);
    let wanted = 2.0 * (quartile(0.75) - quartile(0.25)) / libm::cbrt(sorted.len() as f64);
    let size = first.abs().max(last.abs());
    // All alike, up to rounding: one bin of any size is as good as another.
    let least = if last - first > 1e-9 * size { (last - first) / MOST } else { 0.02 * size.max(0.5) };
    let width = round_up(wanted.max(least));
    let bin = |v: f64| (v / width).floor();
    let start = bin(first);
    let mut counts = vec![0; (bin(last) - start) as usize + 1];
    for value in sorted {
        counts[(bin(*value) - start) as usize] += 1;
    }
    Some(Histogram { from: start * width, width, counts })
}

/// The least of 1, 2 and 5 times a power of ten that is not below a positive number.
fn round_up(v: f64) -> f64 {
    let power = 10f64.powi(libm::log10(v).floor() as i32);
    [1.0, 2.0, 5.0, 10.0].map(|f| f * power).into_iter().find(|w| *w >= v * (1.0 - 1e-12)).unwrap_or(10.0 * power)
}

#[cfg(test)]
mod tests {
    use super::histogram;

    #[test]
    fn every_value_falls_into_one_bin() {
        let sorted: Vec<f64> = (0..1000).map(|k| -3.0 + 0.01 * f64::from(k)).collect();
        let h = histogram(&sorted).unwrap();
        // IQR 5 (within 0.01), so 2 · 5 / 10 = 1 of width, or the next round number.
        assert!(h.width == 1.0 || h.width == 2.0, "{}", h.width);
        assert_eq!(h.counts.iter().sum::<u64>(), 1000);
        assert!((h.from / h.width).fract() == 0.0);
        // A uniform set: every inner bin has its share.
        let share = 100.0 * h.width;
        let inner = &h.counts[1..h.counts.len() - 1];
        assert!(inner.iter().all(|c| (*c as f64 - share).abs() <= 2.0), "{inner:?}");
    }

    #[test]
    fn one_value_and_none() {
        assert_eq!(histogram(&[]), None);
        assert_eq!(histogram(&[4.2]).unwrap().counts, [1]);
        assert_eq!(histogram(&[0.0; 9]).unwrap().counts, [9]);
        // One far outlier does not make a million bins.
        let mut far = vec![0.0; 9];
        far.extend([1e-3, 2e-3, 1e6]);
        assert!(histogram(&far).unwrap().counts.len() < 402);
    }
}
