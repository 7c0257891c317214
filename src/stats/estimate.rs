//! Means, quantiles and their standard errors.

use schemars::JsonSchema;
use serde::Serialize;

/// Mean; NaN of nothing.
pub fn mean(values: &[f64]) -> f64 {
    values.iter().sum::<f64>() / values.len() as f64
}

/// Variance with n − 1; zero for fewer than two values.
pub fn variance(values: &[f64]) -> f64 {
    if values.len() < 2 {
        return 0.0;
    }
    let m = mean(values);
    values.iter().map(|v| (v - m).powi(2)).sum::<f64>() / (values.len() - 1) as f64
}

/// The quantile of sorted values, linear between order statistics at `(n − 1) p` (definition 7 of
/// Hyndman and Fan, Am Stat 1996;50:361); NaN of nothing.
pub fn quantile(sorted: &[f64], p: f64) -> f64 {
    if sorted.is_empty() {
        return f64::NAN;
    }
    let at = (sorted.len() - 1) as f64 * p;
    let below = at.floor() as usize;
    let above = (below + 1).min(sorted.len() - 1);
    // Also where the next one is infinite.
    if at == below as f64 {
        return sorted[below];
    }
    sorted[below] + (at - below as f64) * (sorted[above] - sorted[below])
}

/// A number with its Monte Carlo standard error.
#[derive(Debug, Clone, Copy, Default, PartialEq, Serialize, JsonSchema)]
pub struct Estimate {
    /// The number.
    pub value: f64,
    /// Its standard error, from the scatter between replicates; absent with too few samples.
    pub error: Option<f64>,
}

/// A statistic of all values, with its standard error `s/√r` from the same statistic of each replicate: absent with
/// fewer than four replicates that have at least four values each
/// (batch means; the replicates are independent by construction). `groups` are the values by
/// replicate; the statistic may order them.
pub fn replicated(groups: &[Vec<f64>], mut statistic: impl FnMut(&mut [f64]) -> f64) -> Estimate {
    let mut all: Vec<f64> = groups.iter().flatten().copied().collect();
    let value = statistic(&mut all);
    let each: Vec<f64> = groups.iter().filter(|g| g.len() >= 4).map(|g| statistic(&mut g.clone())).collect();
    let error = (each.len() >= 4 && each.len() == groups.len()).then(|| (variance(&each) / each.len() as f64).sqrt());
    Estimate { value, error }
}

/// The normal quantile of 97.5 %.
pub const Z: f64 = 1.959_963_984_540_054;

/// The 95 % interval of a share seen in `count` independent draws (Wilson, J Am Stat Assoc 1927;22:209,
/// from memory): it has a length also where all or none were. Of draws that are spread evenly it is too wide.
pub fn wilson(share: f64, count: usize) -> [f64; 2] {
    let n = count as f64;
    let middle = (share + Z * Z / (2.0 * n)) / (1.0 + Z * Z / n);
    let half = Z / (1.0 + Z * Z / n) * (share * (1.0 - share) / n + Z * Z / (4.0 * n * n)).sqrt();
    [(middle - half).max(0.0), (middle + half).min(1.0)]
}

/// The bound at 95 %, one-sided, on a share that was seen in none, or in `all`, of `n` independent draws:
/// `1 − 0.05^(1/n)` above, or `0.05^(1/n)` below (Clopper and Pearson, Biometrika 1934;26:404, from
/// memory, whose quantile of the beta distribution is closed there). Some 3/n: the rule of three.
pub fn exact_bound(all: bool, n: usize) -> f64 {
    let root = libm::log(0.05f64) / n as f64;
    if all { libm::exp(root) } else { -libm::expm1(root) }
}

/// Whether the second of a pair on one draw has more than the first: 1, equal ones ½, otherwise 0. `None`
/// stands for what is not held: what is held has more; of two that are not held nothing is said. The
/// mean over draws is the probability of superiority (McGraw and Wong, Psychol Bull 1992;111:361, from
/// memory; ties half as in Vargha and Delaney, J Educ Behav Stat 2000;25:101, from memory).
pub fn win(first: Option<f64>, second: Option<f64>) -> Option<f64> {
    match (first, second) {
        (Some(a), Some(b)) => b.partial_cmp(&a).map(|o| 0.5 + 0.5 * f64::from(o as i8)),
        (None, Some(_)) => Some(1.0),
        (Some(_), None) => Some(0.0),
        (None, None) => None,
    }
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
}
