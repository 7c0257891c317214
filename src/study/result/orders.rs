//! What the study of tying orders found.

use super::{Hold, Measures, Push, Start};
use schemars::JsonSchema;
use serde::Serialize;

/// One order, tied from the start to its end.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct OrderRun {
    /// The construct's ties (their indices in its own order) in the order tied here.
    pub order: Vec<usize>,
    /// The same in words: limbs of a tie joined by `+`, ties by `, `.
    pub label: String,
    /// Whether this is the construct's own order.
    pub own: bool,
    /// Place in the ranking, from 1; equal within one band. Absent where not held.
    pub rank: Option<usize>,
    /// What each tie did, and how it ended.
    pub hold: Hold,
    /// Largest residual step in magnitude after the last tie, mm; absent where not held.
    pub residual_step: Option<f64>,
    /// Ties (their places in this order, from 0) after which the fragment lies worse than before.
    pub worse: Vec<usize>,
    /// The push of the result, when asked for and held.
    pub push: Option<Push>,
}

/// How the orders were chosen when not all of them were run.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Sampled {
    /// Seed of the sample.
    pub seed: u64,
    /// How many orders there are.
    pub of: u64,
}

/// The study of tying orders of one construct.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Orders {
    /// Name of the construct.
    pub construct: String,
    /// Where tying started.
    pub from: Start,
    /// How the fragment lay before the first tie.
    pub before: Measures,
    /// Width of a band of equal orders, mm of largest residual step.
    pub band: f64,
    /// How the orders were sampled; absent when none was left out or they were chosen by hand.
    pub sampled: Option<Sampled>,
    /// The orders, best first, those not held last.
    pub runs: Vec<OrderRun>,
    /// Plain sentences made of the numbers above.
    pub reading: Vec<String>,
}
