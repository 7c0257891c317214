//! A predicted band beside a published result, and the verdict.

use super::design::{self, Draw};
use crate::stats::quantile;
use schemars::JsonSchema;
use serde::Serialize;

/// What the model predicts over the draws.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct Band {
    /// Below it lie 5 % of the draws that gave a value.
    pub low: f64,
    /// Median.
    pub median: f64,
    /// Below it lie 95 % of the draws that gave a value.
    pub high: f64,
    /// With every input at its default; absent where the model gives none.
    pub at_defaults: Option<f64>,
    /// Draws that gave a value.
    pub draws: usize,
    /// Draws that gave none: not held, or a geometry that no socket has.
    pub without: usize,
}

/// What was published.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Published {
    /// Mean, or what follows from means.
    pub mean: f64,
    /// Range, where one was read.
    pub range: Option<[f64; 2]>,
    /// What the range is.
    pub range_is: String,
}

/// How the predicted band stands to what was published.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Verdict {
    /// The band lies within the published range.
    Inside,
    /// Band and range overlap; where no range was published, the band holds the mean.
    Overlaps,
    /// They have nothing in common.
    Outside,
}

/// One quantity predicted and published.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Comparison {
    /// Study.
    pub study: String,
    /// Quantity.
    pub quantity: String,
    /// Unit; empty for a pure number.
    pub unit: String,
    /// Predicted; absent where no draw gave a value.
    pub predicted: Option<Band>,
    /// Published; absent where the value was not in what was read.
    pub published: Option<Published>,
    /// The verdict, where there are both.
    pub verdict: Option<Verdict>,
}

impl Published {
    /// A mean with the range of the specimens.
    pub fn specimens(mean: f64, low: f64, high: f64) -> Option<Self> {
        Some(Self { mean, range: Some([low, high]), range_is: "range of the specimens".to_owned() })
    }

    /// A mean with its standard deviation.
    pub fn deviation(mean: f64, deviation: f64) -> Option<Self> {
        Some(Self {
            mean,
            range: Some([mean - deviation, mean + deviation]),
            range_is: "mean ± standard deviation".to_owned(),
        })
    }

    /// Arithmetic on published means, without a range.
    pub fn derived(mean: f64) -> Option<Self> {
        Some(Self { mean, range: None, range_is: "from the means, no range".to_owned() })
    }
}

impl Comparison {
    /// A comparison of what the draws gave (`None` where they gave nothing).
    pub fn new(
        study: &str,
        quantity: impl Into<String>,
        unit: &str,
        drawn: impl Iterator<Item = Option<f64>>,
        at_defaults: Option<f64>,
        published: Option<Published>,
    ) -> Self {
        let drawn: Vec<Option<f64>> = drawn.collect();
        let mut values: Vec<f64> = drawn.iter().flatten().copied().collect();
        values.sort_by(f64::total_cmp);
        let predicted = (!values.is_empty()).then(|| Band {
            low: quantile(&values, 0.05),
            median: quantile(&values, 0.5),
            high: quantile(&values, 0.95),
            at_defaults,
            draws: values.len(),
            without: drawn.len() - values.len(),
        });
        let verdict = predicted.as_ref().zip(published.as_ref());
        let verdict = verdict.map(|(band, published)| verdict_of(band, published));
        Self {
            study: study.to_owned(),
            quantity: quantity.into(),
            unit: unit.to_owned(),
            predicted,
            published,
            verdict,
        }
    }
}

fn verdict_of(band: &Band, published: &Published) -> Verdict {
    let [low, high] = published.range.unwrap_or([published.mean; 2]);
    if low <= band.low && band.high <= high {
        Verdict::Inside
    } else if band.low <= high && low <= band.high {
        Verdict::Overlaps
    } else {
        Verdict::Outside
    }
}

// Over which end of one input's spread a question is always answered alike.

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
        let given: Vec<_> = design.iter().map(|d| Some(d.values[friction] > 0.46)).collect();
        let yes = widest(&design, &given, true).unwrap();
        assert_eq!((yes.input.as_str(), yes.upward, yes.draws), ("bed.friction", true, 16));
        assert!(yes.bound > 0.46);
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
