//! Stacking of shares: positive ones upward from zero, negative ones downward.

use super::carrier::Category;
use crate::show::chart::*;
use crate::study::result::Push;

/// A run of one category on one side of zero: displacement, inner edge and outer edge, mm and N.
pub(super) type Band = (usize, Vec<[f64; 3]>);

/// The stacked bands of a push.
pub(super) struct Stack {
    /// The bands, from the zero line outward, each with the place of its category.
    pub bands: Vec<Band>,
    /// Where the middle of each category stands at the end, N.
    pub middle_at_end: Vec<f64>,
    /// Lowest and highest edge, N.
    pub reach: [f64; 2],
}

/// Stacks the categories of a push. Samples are added where a share changes its sign, so that the
/// edges are exact between the states as well.
pub(super) fn stack(push: &Push, categories: &[Category]) -> Stack {
    let shares = |p| categories.iter().map(|c| c.share(push, p)).collect();
    let states: Vec<(f64, Vec<f64>)> = push.curve.iter().map(|p| (p.displacement, shares(p))).collect();
    let samples = with_sign_changes(&states);
    let mut bands: Vec<Band> = Vec::new();
    let mut middle_at_end = vec![0.0; categories.len()];
    for sign in [1.0, -1.0] {
        let mut base = vec![0.0; samples.len()];
        for (category, middle) in middle_at_end.iter_mut().enumerate() {
            let mut edges = Vec::new();
            for ((x, shares), base) in samples.iter().zip(&mut base) {
                let share = sign * (sign * shares[category]).max(0.0);
                edges.push([*x, *base, *base + share]);
                *base += share;
            }
            if let (Some(end), Some((_, shares))) = (edges.last(), samples.last())
                && (sign * shares[category] > 0.0 || (sign > 0.0 && shares[category] == 0.0))
            {
                *middle = 0.5 * (end[1] + end[2]);
            }
            if edges.iter().any(|e| e[1] != e[2]) {
                bands.push((category, edges));
            }
        }
    }
    let edges = bands.iter().flat_map(|(_, edges)| edges).map(|e| e[2]);
    let [lo, hi] = extremes(edges.chain(push.curve.iter().map(|p| p.load)));
    Stack { bands, middle_at_end, reach: [lo.min(0.0), hi.max(0.0)] }
}

fn with_sign_changes(states: &[(f64, Vec<f64>)]) -> Vec<(f64, Vec<f64>)> {
    let mut samples: Vec<(f64, Vec<f64>)> = states.first().cloned().into_iter().collect();
    for pair in states.windows(2) {
        let (before, state) = (&pair[0], &pair[1]);
        let changed = before.1.iter().zip(&state.1).filter(|(a, b)| *a * *b < 0.0);
        let mut cuts: Vec<f64> = changed.map(|(a, b)| a / (a - b)).collect();
        cuts.sort_by(f64::total_cmp);
        for s in cuts {
            let blend = |a: f64, b: f64| a + s * (b - a);
            let shares = before.1.iter().zip(&state.1).map(|(a, b)| blend(*a, *b));
            samples.push((blend(before.0, state.0), shares.collect()));
        }
        samples.push(state.clone());
    }
    samples
}
