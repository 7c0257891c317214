//! One number that is drawn: its distribution, its physical range, and what it sets.

use super::known::{HINGE, HINGE_STATES, Known};
use super::table::{Law, SpreadLine, Usage};
use crate::stats::{Distribution, Shape};

/// One number that is drawn for each sample.
#[derive(Debug, Clone, PartialEq)]
pub struct Dimension {
    /// Path of what it sets (with `*` when shared).
    pub path: String,
    /// Index of its line.
    pub line: usize,
    /// Its distribution, cut to the physical range.
    pub distribution: Distribution,
    /// How it is used.
    pub(super) usage: Usage,
    /// What it sets.
    pub(super) targets: Vec<Known>,
}

impl Dimension {
    /// Whether it sets anything of a construct, or of the case.
    pub fn concerns(&self, construct: usize) -> bool {
        use super::Owner;
        self.targets.iter().flat_map(|t| &t.places).any(|p| p.0 == Owner::Case || p.0 == Owner::Construct(construct))
    }

    /// How a draw is used, in the word of a file.
    pub fn use_word(&self) -> &'static str {
        self.usage.word()
    }

    /// Unit of a draw.
    pub fn unit(&self) -> &'static str {
        match self.usage {
            Usage::Factor => "times",
            Usage::Value | Usage::Added => self.targets[0].unit,
        }
    }

    /// What a draw is in words, with what it makes of the value.
    pub fn said(&self, value: f64) -> String {
        let target = &self.targets[0];
        if target.path == HINGE {
            return HINGE_STATES.get(value as usize).unwrap_or(&"none").to_string();
        }
        let unit = target.unit;
        match self.usage {
            Usage::Value => format!("{value:.4} {unit}"),
            Usage::Factor => format!("{value:.4} times"),
            Usage::Added => format!("{value:+.4} {unit}"),
        }
    }
}

/// The distribution of an input by its line of the spread.
pub(super) fn distribution(line: &SpreadLine, target: &Known) -> Distribution {
    let free = [f64::NEG_INFINITY, f64::INFINITY];
    match &line.law {
        Law::Given(shape, range) => Distribution::new(shape.clone(), range.unwrap_or(free)),
        Law::Default if target.path == HINGE => {
            Distribution::new(Shape::Discrete { values: vec![0.0, 1.0, 2.0], weights: vec![1.0; 3] }, free)
        }
        Law::Default if target.path.ends_with("_error") => {
            let widest = target.spread[2];
            let shape = Shape::Normal { mean: 0.0, deviation: 0.5 * widest };
            Distribution::new(shape, [-widest, widest])
        }
        Law::Default => {
            let [low, usual, high] = target.spread;
            let now = target.places.iter().map(|p| p.1).find(|v| v.is_finite());
            // A value of the file outside the usual range widens it: it stays the most probable one.
            let mode = now.unwrap_or(usual);
            let (low, high) = (low.min(mode), high.max(mode));
            // The strand and its like may have no width at all in the table.
            let shape = if low < high {
                Shape::Triangular { low, mode, high }
            } else {
                Shape::Discrete { values: vec![low], weights: vec![1.0] }
            };
            Distribution::new(shape, free)
        }
    }
}

/// The range of draws for which every value stays physical.
pub(super) fn physical(targets: &[&Known], usage: Usage) -> [f64; 2] {
    let mut range = [f64::NEG_INFINITY, f64::INFINITY];
    for known in targets {
        let (low, high) = known.allowed;
        for (_, now) in &known.places {
            let own = match usage {
                Usage::Value => [low, high],
                Usage::Added => [low - now, high - now],
                Usage::Factor if *now > 0.0 => [low / now, high / now],
                Usage::Factor => [f64::NEG_INFINITY, f64::INFINITY],
            };
            if own.iter().all(|v| !v.is_nan()) {
                range = [range[0].max(own[0]), range[1].min(own[1])];
            }
        }
    }
    range
}

/// A distribution in words.
pub(super) fn words(dimension: &Dimension) -> String {
    match dimension.distribution.shape() {
        Shape::Discrete { values, weights } if dimension.targets[0].path == HINGE => {
            let total: f64 = weights.iter().sum();
            let list: Vec<String> = values
                .iter()
                .zip(weights)
                .map(|(v, w)| {
                    let state = HINGE_STATES.get(*v as usize).unwrap_or(&"none");
                    format!("{state} {:.0} %", 100.0 * w / total)
                })
                .collect();
            list.join(", ")
        }
        _ => dimension.distribution.to_string(),
    }
}
