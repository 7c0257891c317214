//! Over which end of one input's spread a question is always answered alike.

use super::design::{self, Draw};
use schemars::JsonSchema;
use serde::Serialize;

/// An end of one input's spread over which the model always answers alike.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Where {
    /// The input.
    pub input: String,
    /// Its unit.
    pub unit: String,
    /// Whether values from `bound` upward are meant; otherwise those up to it.
    pub upward: bool,
    /// The bound.
    pub bound: f64,
    /// Answered draws there, all alike.
    pub draws: usize,
}

/// A run is told when chance alone would make one so long, in either end of any of the inputs, less
/// often than this (Bonferroni's bound).
const CHANCE: f64 = 0.05;

/// The chance that `run` draws taken from `all` without looking are all among the `good` ones
/// (hypergeometric).
fn chance(run: usize, good: usize, all: usize) -> f64 {
    (0..run).map(|k| (good as f64 - k as f64).max(0.0) / (all - k) as f64).product()
}

/// The end of one input's spread with the most answered draws that all say `answer`. `None` where all
/// do, and where chance might have made it.
pub fn widest(design: &[Draw], given: &[Option<bool>], answer: bool) -> Option<Where> {
    let answered = given.iter().flatten().count();
    let good = given.iter().flatten().filter(|g| **g == answer).count();
    let inputs = design::inputs();
    let tries = 2.0 * inputs.len() as f64;
    let mut best: Option<Where> = None;
    for (k, input) in inputs.into_iter().enumerate() {
        let mut list: Vec<(f64, bool)> =
            design.iter().zip(given).filter_map(|(draw, given)| given.map(|g| (draw.values[k], g))).collect();
        list.sort_by(|a, b| a.0.total_cmp(&b.0));
        for upward in [false, true] {
            if upward {
                list.reverse();
            }
            let run = list.iter().take_while(|entry| entry.1 == answer).count();
            let luck = tries * chance(run, good, answered);
            if run > 0 && run < answered && luck < CHANCE && best.as_ref().is_none_or(|b| b.draws < run) {
                best = Some(Where {
                    input: input.path.clone(),
                    unit: input.unit.clone(),
                    upward,
                    bound: list[run - 1].0,
                    draws: run,
                });
            }
        }
    }
    best
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_widest_range_is_found_and_none_where_all_agree() {
        let design = design::draws(32, 1);
        let friction = design::inputs().iter().position(|i| i.path == "bed.friction").unwrap();
        let given: Vec<_> = design.iter().map(|d| Some(d.values[friction] > 0.5)).collect();
        let yes = widest(&design, &given, true).unwrap();
        assert_eq!((yes.input.as_str(), yes.upward, yes.draws), ("bed.friction", true, 16));
        assert!(yes.bound > 0.5);
        let no = widest(&design, &given, false).unwrap();
        assert_eq!((no.input.as_str(), no.upward, no.draws), ("bed.friction", false, 16));
        assert_eq!(widest(&design, &[Some(true); 32], true), None);
        assert_eq!(widest(&design, &[None; 32], true), None);
        // A few draws in a row are no range.
        let mut given = [Some(true); 32];
        given[3] = Some(false);
        assert_eq!(widest(&design, &given, false), None);
        // Drawing 2 of 3 good ones from 5: 3/5 × 2/4.
        assert!((chance(2, 3, 5) - 0.3).abs() < 1e-15);
    }
}
