//! What settling came to.

use super::{Jump, Measures, Outcome};
use crate::mechanics::Certificate;
use schemars::JsonSchema;
use serde::Serialize;

/// Relaxation and cycles of a tied repair.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Settling {
    /// Name of the construct.
    pub construct: String,
    /// Name of the direction of the load.
    pub direction: String,
    /// Least load of a cycle, N.
    pub low: f64,
    /// Largest load of a cycle, N.
    pub high: f64,
    /// How it ended.
    pub outcome: Outcome,
    /// As tied (cycle 0), then after each computed cycle.
    pub points: Vec<CyclePoint>,
    /// What each part has lost.
    pub losses: Vec<Loss>,
    /// Jumps on the way.
    pub jumps: Vec<Jump>,
}

/// A repair after a number of cycles, under the least load of a cycle (as tied: unloaded).
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct CyclePoint {
    /// Cycles done.
    pub cycle: u32,
    /// Displacement of the fragment's centroid along the load from as tied, at the largest load, mm.
    pub peak: f64,
    /// The same at the least load.
    pub rest: f64,
    /// How the fragment lies.
    pub measures: Measures,
    /// Compression of the bed, N.
    pub compression: f64,
    /// Share of the bed in contact, 0 to 1.
    pub contact: f64,
    /// Tension of each limb at its tie end, N.
    pub tensions: Vec<f64>,
    /// Its certificate.
    pub certificate: Certificate,
}

/// A part that can lose.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Part {
    /// An anchor in bone: it creeps under its peaks.
    Anchor,
    /// A labral bite: it relaxes, and creeps under its peaks.
    Bite,
    /// A knot: its loop grows.
    Knot,
    /// A knotless clamp: strand slips through.
    Clamp,
}

/// What a part has lost.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Loss {
    /// The part.
    pub part: Part,
    /// Name of the anchor, or of the limb that takes the bite or is held.
    pub name: String,
    /// Force as tied, N.
    pub before: f64,
    /// Force in the end, unloaded, N.
    pub after: f64,
    /// What of that was lost to relaxation, N.
    pub relaxed: f64,
    /// Set, relaxation and creep together, or growth of the loop, mm.
    pub set: f64,
}
