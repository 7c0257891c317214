//! What the study of tying orders found.

use super::{Hold, Measures, Push, Start};
use schemars::JsonSchema;
use serde::Serialize;

/// In what a tie can leave the fragment lying worse.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum WorseIn {
    /// The largest articular step.
    Step,
    /// The largest gap of the fracture line, where it is open.
    Gap,
    /// The inferior shift (either way) of the end or middle that is shifted most.
    InferiorShift,
}

/// A tie after which the fragment lies worse than before by more than one band.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct Worse {
    /// Its place in the order, from 0.
    pub tie: usize,
    /// In what.
    pub measure: WorseIn,
    /// By how much, mm.
    pub by: f64,
}

/// One order, tied from the start to its end.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct OrderRun {
    /// The construct's ties (their indices in its own order) in the order tied here.
    pub order: Vec<usize>,
    /// The same in words: limbs and screws of a tie joined by `+`, ties by `, `.
    pub label: String,
    /// Whether this is the construct's own order.
    pub own: bool,
    /// Whether all limbs were pulled together in one tie instead, and then all screws set; `order` is then the construct's own
    /// and says nothing.
    pub together: bool,
    /// Place in the ranking, from 1; equal within one band. Absent where not held.
    pub rank: Option<usize>,
    /// What each tie did, and how it ended.
    pub hold: Hold,
    /// Largest residual step in magnitude after the last tie (and relaxation, and loads that come on
    /// after tying), mm; absent where not held.
    pub residual_step: Option<f64>,
    /// The largest inferior shift (either way) of both ends and the middle there, mm.
    pub residual_shift: Option<f64>,
    /// The same with what became worse, and by how much.
    pub worsened: Vec<Worse>,
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

/// What a sweep varies.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[cfg_attr(feature = "cli", derive(clap::ValueEnum))]
#[serde(rename_all = "snake_case")]
pub enum SweepOver {
    /// Friction of the bed, 0.3 to 0.9.
    Friction,
    /// The displaced pose, 0.25 to 1.5 times the case's own.
    Displacement,
    /// The inferior hinge: intact, weak, none.
    Hinge,
}

/// One value of a sweep.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct SweepPoint {
    /// The value in words.
    pub label: String,
    /// The value, where it is a number: friction coefficient, or multiple of the displaced pose.
    pub value: Option<f64>,
    /// The orders, as without a sweep; absent where they could not be started.
    pub orders: Option<Orders>,
    /// Why they could not.
    pub refused: Option<String>,
}

/// The same orders against one input.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct OrderSweep {
    /// What was varied.
    pub over: SweepOver,
    /// Its values in ascending order; the hinge from intact to none.
    pub points: Vec<SweepPoint>,
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
    /// All limbs pulled together in one tie, then all screws set, for comparison, when asked for; it has no rank.
    pub together: Option<OrderRun>,
}
