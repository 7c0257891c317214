//! What phases of rehabilitation leave of a repair.

use super::{CyclePoint, EventKind, Failure, Jump, Outcome, Start};
use crate::model::Tag;
use crate::study::Allowed;
use schemars::JsonSchema;
use serde::Serialize;

/// A repair taken through phases of rehabilitation. No healing is modelled.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Budget {
    /// Name of the case.
    pub case: String,
    /// Name of the construct.
    pub construct: String,
    /// Where tying started.
    pub from: Start,
    /// What was allowed.
    pub allowed: Allowed,
    /// How it ended, with the inputs as they stand.
    pub outcome: Outcome,
    /// As tied; absent where the fragment was not held.
    pub tied: Option<CyclePoint>,
    /// The phases that were begun, in order.
    pub phases: Vec<Phase>,
    /// Draws of the uncertain inputs asked for.
    pub draws: u64,
    /// Draws made.
    pub done: u64,
    /// Their seed.
    pub seed: u64,
    /// Whether all were made.
    pub complete: bool,
}

/// A phase.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Phase {
    /// Its name.
    pub name: String,
    /// Least load of a cycle, N.
    pub low: f64,
    /// Largest load of a cycle, N.
    pub high: f64,
    /// Name of the direction of the load.
    pub direction: String,
    /// Cycles.
    pub cycles: u32,
    /// How it is backed.
    pub tag: Tag,
    /// Where it comes from; empty where the case gives it.
    pub source: String,
    /// How it ended.
    pub outcome: Outcome,
    /// Displacement of the centroid from as tied that is left over under the least load, whatever way, mm; absent where
    /// the phase did not hold.
    pub left: Option<f64>,
    /// The same at the largest load of the last cycle.
    pub peak: Option<f64>,
    /// After each computed cycle, displacements from as tied whatever way; of a draw after the last alone.
    pub points: Vec<CyclePoint>,
    /// Failure of what is left, pushed along the phase's direction; absent where no load had fallen when that push
    /// ended.
    pub fails: Option<Failure>,
    /// What gave in it.
    pub gave: Vec<(EventKind, String)>,
    /// Jumps on the way.
    pub jumps: Vec<Jump>,
    /// How many draws are within what is allowed, in this phase and all before.
    pub within: Option<Within>,
}

impl Phase {
    /// Motion in the last cycle, the difference of both displacements, mm.
    pub fn motion(&self) -> Option<f64> {
        self.points.last().filter(|_| self.outcome.is_held()).map(|p| (p.peak - p.rest).abs())
    }

    /// Whether it keeps within what is allowed: left over, at peak, and in motion.
    pub fn keeps(&self, allowed: &Allowed) -> [bool; 3] {
        let of = [(self.left, allowed.left), (self.peak, allowed.peak), (self.motion(), allowed.motion)];
        of.map(|(value, most)| value.is_some_and(|value| value <= most))
    }
}

/// Draws within what is allowed.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct Within {
    /// Of so many that could be judged.
    pub of: u64,
    /// Left over.
    pub left: u64,
    /// At peak.
    pub peak: u64,
    /// Left over and at peak.
    pub both: u64,
    /// In motion.
    pub motion: u64,
    /// Held at all.
    pub held: u64,
}
