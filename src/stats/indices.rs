//! Variance-based sensitivity: first-order and total Sobol' indices.
//!
//! A base sample is two independent draws A and B of all inputs, and for each input i the draw
//! A with input i from B. First order after Saltelli et al., Comput Phys Commun 2010;181:259,
//! `Σ f(B) (f(A_B⁽ⁱ⁾) − f(A)) / N`, total after Jansen, Comput Phys Commun 1999;117:35,
//! `Σ (f(A) − f(A_B⁽ⁱ⁾))² / 2N`, both over the variance of A and B together.

use crate::par;
use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::{Rng, SeedableRng};
use schemars::JsonSchema;
use serde::Serialize;

/// The answers of one base sample.
#[derive(Debug, Clone, PartialEq)]
pub struct BaseRun {
    /// At A.
    pub a: f64,
    /// At B.
    pub b: f64,
    /// At A with one input from B, for each input.
    pub mixed: Vec<f64>,
}

/// The indices of one input, with 95 % intervals.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct SobolIndex {
    /// First-order index: share of the variance that goes when this input is known.
    pub first: f64,
    /// Its interval.
    pub first_interval: [f64; 2],
    /// Total index: share of the variance that stays when all others are known.
    pub total: f64,
    /// Its interval.
    pub total_interval: [f64; 2],
}

/// First and total of each input.
type Pairs = Vec<(f64, f64)>;

/// Redraws of the bootstrap: enough that the ends of a 95 % interval scatter by a few per cent of it.
pub const REDRAWS: u64 = 500;

/// The variance of the answer and the indices of each input, with intervals by a bootstrap over base
/// samples (percentiles 2.5 and 97.5). Each redraw has a stream of its own, so that digits do not
/// depend on the number of threads; before each `go_on` is asked. `None` with fewer than eight base
/// samples, when the answer does not vary, and when `go_on` said no.
pub fn sobol_indices(runs: &[BaseRun], seed: u64, go_on: &(dyn Fn() -> bool + Sync)) -> Option<(f64, Vec<SobolIndex>)> {
    if runs.len() < 8 {
        return None;
    }
    let all: Vec<usize> = (0..runs.len()).collect();
    let inputs = runs[0].mixed.len();
    // Taking the mean off changes no index and makes the first-order estimate far steadier.
    let mean = runs.iter().map(|r| r.a + r.b).sum::<f64>() / (2 * runs.len()) as f64;
    let (variance, point) = estimate(runs, &all, mean, inputs)?;
    let redraw = |chosen: &mut Vec<usize>, number: u64| {
        if !go_on() {
            return None;
        }
        let mut rng = ChaCha8Rng::seed_from_u64(seed);
        rng.set_stream(number);
        for k in chosen.iter_mut() {
            // The bias of the remainder is below n/2⁶⁴.
            *k = (rng.next_u64() % runs.len() as u64) as usize;
        }
        // A redraw that does not vary says nothing.
        Some(estimate(runs, chosen, mean, inputs).map(|found| found.1))
    };
    let found: Vec<Option<Pairs>> = par::until(REDRAWS, || all.clone(), redraw);
    if (found.len() as u64) < REDRAWS {
        return None;
    }
    let mut redrawn: Vec<Vec<(f64, f64)>> = vec![Vec::new(); inputs];
    for indices in found.into_iter().flatten() {
        for (list, index) in redrawn.iter_mut().zip(indices) {
            list.push(index);
        }
    }
    let interval = |list: &[(f64, f64)], which: fn(&(f64, f64)) -> f64| {
        let mut values: Vec<f64> = list.iter().map(which).collect();
        values.sort_by(f64::total_cmp);
        [0.025, 0.975].map(|p| super::quantile(&values, p))
    };
    let indices = point
        .into_iter()
        .zip(&redrawn)
        .map(|((first, total), list)| SobolIndex {
            first,
            first_interval: interval(list, |v| v.0),
            total,
            total_interval: interval(list, |v| v.1),
        })
        .collect();
    Some((variance, indices))
}

/// Variance, and (first, total) of each input, over chosen base samples.
fn estimate(runs: &[BaseRun], chosen: &[usize], mean: f64, inputs: usize) -> Option<(f64, Pairs)> {
    let n = chosen.len() as f64;
    let (mut sum, mut squares) = (0.0, 0.0);
    let mut terms = vec![(0.0, 0.0); inputs];
    for &k in chosen {
        let run = &runs[k];
        let (a, b) = (run.a - mean, run.b - mean);
        sum += a + b;
        squares += a * a + b * b;
        for (term, mixed) in terms.iter_mut().zip(&run.mixed) {
            let change = mixed - run.a;
            term.0 += b * change;
            term.1 += change * change;
        }
    }
    let off = sum / (2.0 * n);
    let variance = squares / (2.0 * n) - off * off;
    (variance > 0.0).then(|| {
        let indices =
            terms.into_iter().map(|(first, total)| (first / n / variance, total / (2.0 * n) / variance)).collect();
        (variance, indices)
    })
}
