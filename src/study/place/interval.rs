//! Intervals of what a few draws say.

use crate::stats::quantile;
use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::{Rng, SeedableRng};

/// The normal quantile of 97.5 %.
const Z: f64 = 1.959_963_984_540_054;
/// Redraws of a bootstrap: enough that the ends of a 95 % interval scatter by a few per cent of it.
const REDRAWS: usize = 1000;

/// The 95 % interval of a share seen in `count` independent draws (Wilson, J Am Stat Assoc 1927;22:209,
/// from memory): it has a length also where all or none were.
pub(super) fn wilson(share: f64, count: usize) -> [f64; 2] {
    let n = count as f64;
    let middle = (share + Z * Z / (2.0 * n)) / (1.0 + Z * Z / n);
    let half = Z / (1.0 + Z * Z / n) * (share * (1.0 - share) / n + Z * Z / (4.0 * n * n)).sqrt();
    [(middle - half).max(0.0), (middle + half).min(1.0)]
}

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
    use super::*;

    /// Against the quadratic that defines the interval: |p − s| = z √(p (1 − p) / n) at both ends
    /// (Wilson's own derivation).
    #[test]
    fn ends_of_a_wilson_interval_lie_z_errors_from_the_share() {
        for (share, count) in [(0.5, 10), (0.9, 64), (1.0, 64), (0.0, 20), (0.984_375, 64)] {
            let ends = wilson(share, count);
            assert!(ends[0] <= share && share <= ends[1]);
            for p in ends.into_iter().filter(|p| *p > 0.0 && *p < 1.0) {
                let error = (p * (1.0 - p) / count as f64).sqrt();
                // Roundings of a square root.
                assert!(((p - share).abs() - Z * error).abs() < 1e-12, "{share} {p}");
            }
        }
        // All of n: the low end is n / (n + z²), from the same quadratic.
        let low = wilson(1.0, 64)[0];
        assert!((low - 64.0 / (64.0 + Z * Z)).abs() < 1e-12, "{low}");
    }

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
