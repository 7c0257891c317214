//! What a sweep over a grid of inputs found.

use super::{End, Quantity, Start};
use crate::model::spread::{HINGE, HINGE_STATES};
use schemars::JsonSchema;
use serde::Serialize;

/// An input that was varied.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct SweepAxis {
    /// Its dotted path as typed.
    pub path: String,
    /// In words, for an axis of a figure.
    pub label: String,
    /// Unit of the values (`%` when given in percent, `times` for a factor).
    pub unit: String,
    /// The values, in the order of the grid.
    pub values: Vec<f64>,
}

impl SweepAxis {
    /// Whether it has states instead of a scale: the hinge as a whole.
    pub fn has_states(&self) -> bool {
        self.path == HINGE
    }

    /// The state that a value stands for, where it has states.
    pub fn state(&self, value: f64) -> Option<&'static str> {
        let state = || HINGE_STATES.get(value as usize).unwrap_or(&"none");
        self.has_states().then(|| *state())
    }

    /// A value for machines: its state, or all its digits.
    pub fn written(&self, value: f64) -> String {
        self.state(value).map_or_else(|| value.to_string(), str::to_owned)
    }
}

/// One point of the grid.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct GridPoint {
    /// Values of the varied inputs, in the order of the axes.
    pub at: Vec<f64>,
    /// How it ended.
    pub end: End,
    /// Why, in words; empty when held, and after the first 200 of a construct that were not.
    pub why: String,
    /// The quantities in the order of [`Sweep::quantities`]; absent where there is none.
    pub values: Vec<Option<f64>>,
}

/// One construct over the grid.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Swept {
    /// Name of the construct.
    pub construct: String,
    /// The points; the last axis runs fastest.
    pub points: Vec<GridPoint>,
}

/// A sweep.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Sweep {
    /// Name of a ready-made sweep.
    pub name: Option<String>,
    /// The question that it answers, when ready-made.
    pub question: Option<String>,
    /// Name of the case.
    pub case: String,
    /// Where tying started.
    pub from: Start,
    /// Name of the direction of push.
    pub direction: String,
    /// Distance of the push, mm.
    pub to: f64,
    /// Bed cells aimed at.
    pub cells: usize,
    /// One or two varied inputs.
    pub axes: Vec<SweepAxis>,
    /// What is reported, the ones asked for first.
    pub quantities: Vec<Quantity>,
    /// How many of them were asked for, and are drawn.
    pub shown: usize,
    /// The constructs in the order given.
    pub constructs: Vec<Swept>,
    /// Whether every point was computed.
    pub complete: bool,
}
