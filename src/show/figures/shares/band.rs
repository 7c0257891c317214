//! Stacking of shares: positive ones upward from zero, negative ones downward.

use super::carrier::Category;
use crate::show::figures::axis::Plot;
use crate::show::figures::canvas::{Canvas, Stroke};
use crate::show::figures::colour::WHITE;
use crate::show::figures::rect::Point;
use crate::show::figures::theme::Theme;
use crate::study::result::Push;

/// A run of one band on one side of zero.
#[derive(Debug)]
pub(crate) struct Band {
    /// Index of its category.
    pub category: usize,
    /// Displacement, inner edge and outer edge, in mm and N.
    edges: Vec<[f64; 3]>,
}

/// The stacked bands of a push.
#[derive(Debug)]
pub(crate) struct Stack {
    /// The bands, from the zero line outward.
    pub bands: Vec<Band>,
    /// Where the middle of each category stands at the end, N.
    pub middle_at_end: Vec<f64>,
    /// Lowest edge, N.
    pub lowest: f64,
    /// Highest edge, N.
    pub highest: f64,
}

/// Stacks the categories of a push. Samples are added where a share changes its sign, so that the
/// edges are exact between the states as well.
pub(crate) fn stack(push: &Push, categories: &[Category]) -> Stack {
    let states: Vec<(f64, Vec<f64>)> = push
        .curve
        .iter()
        .map(|p| {
            let shares = categories.iter().map(|c| c.share(push, p)).collect();
            (p.displacement, shares)
        })
        .collect();
    let samples = with_sign_changes(&states);
    let mut stack = Stack { bands: Vec::new(), middle_at_end: vec![0.0; categories.len()], lowest: 0.0, highest: 0.0 };
    for p in &push.curve {
        stack.lowest = stack.lowest.min(p.load);
        stack.highest = stack.highest.max(p.load);
    }
    for sign in [1.0, -1.0] {
        let mut base = vec![0.0; samples.len()];
        for category in 0..categories.len() {
            let mut edges = Vec::new();
            for ((x, shares), base) in samples.iter().zip(&mut base) {
                let share = sign * (sign * shares[category]).max(0.0);
                edges.push([*x, *base, *base + share]);
                *base += share;
            }
            if let (Some(end), Some((_, shares))) = (edges.last(), samples.last())
                && (sign * shares[category] > 0.0 || (sign > 0.0 && shares[category] == 0.0))
            {
                stack.middle_at_end[category] = 0.5 * (end[1] + end[2]);
            }
            if edges.iter().any(|e| e[1] != e[2]) {
                stack.bands.push(Band { category, edges });
            }
        }
        for base in base {
            stack.lowest = stack.lowest.min(base);
            stack.highest = stack.highest.max(base);
        }
    }
    stack
}

fn with_sign_changes(states: &[(f64, Vec<f64>)]) -> Vec<(f64, Vec<f64>)> {
    let mut samples: Vec<(f64, Vec<f64>)> = Vec::new();
    for (k, state) in states.iter().enumerate() {
        if k > 0 {
            let before = &states[k - 1];
            let mut cuts: Vec<f64> =
                before.1.iter().zip(&state.1).filter(|(a, b)| *a * *b < 0.0).map(|(a, b)| a / (a - b)).collect();
            cuts.sort_by(f64::total_cmp);
            for s in cuts {
                let blend = |a: f64, b: f64| a + s * (b - a);
                let shares = before.1.iter().zip(&state.1).map(|(a, b)| blend(*a, *b));
                samples.push((blend(before.0, state.0), shares.collect()));
            }
        }
        samples.push(state.clone());
    }
    samples
}

impl Band {
    /// Draws the band: tint, texture, and a white seam to its neighbours.
    pub fn draw(&self, canvas: &mut Canvas, theme: &Theme, plot: &Plot, category: &Category) {
        let outer: Vec<Point> = self.edges.iter().map(|e| plot.at(e[0], e[2])).collect();
        let mut polygon = outer.clone();
        polygon.extend(self.edges.iter().rev().map(|e| plot.at(e[0], e[1])));
        category.fill(canvas, &polygon);
        canvas.path(&outer, Stroke::solid(WHITE, theme.outline));
    }
}
