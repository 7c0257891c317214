//! Draws of placement error and tension: what they vary, how they end, and what they say of two designs.

use super::super::Estimate;
use crate::model::Tag;
use schemars::JsonSchema;
use serde::Serialize;

/// What draws of placement error and tension vary.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct DrawnInput {
    /// Its dotted path, with `*` where it stands for several, each of which has a draw of its own.
    pub path: String,
    /// The distribution in words, e.g. `normal, mean 0, SD 1, cut to -2 … 2`.
    pub distribution: String,
    /// How the draw is used: as the value, as a factor of it, or added to it.
    pub usage: String,
    /// Unit of the value.
    pub unit: String,
    /// How it is backed.
    pub tag: Tag,
    /// Where it comes from.
    pub source: String,
}

/// How the draws of placement error and tension ended for a design.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, JsonSchema)]
pub struct DrawEnds {
    /// The fragment is held.
    pub held: u64,
    /// The fragment is lost: it counts as the worst value.
    pub lost: u64,
    /// A state has no certificate: left out.
    pub uncertified: u64,
    /// An anchor lies off the bone, or a number out of its range: it counts as the worst value.
    pub impossible: u64,
    /// Of those held, draws in which a knot, strand, anchor or the bed passes its limit. Draws are not
    /// kept to limits: nothing breaks in this model, so their values count, and are too high.
    pub beyond: u64,
}

impl DrawEnds {
    /// All draws.
    pub fn all(&self) -> u64 {
        self.held + self.lost + self.uncertified + self.impossible
    }

    /// Whether a tenth percentile can be told: at least nine in ten draws are certified. Were more left
    /// out, what they hide could be all of the worst tenth.
    pub fn suffice(&self) -> bool {
        self.all() > 0 && 10 * self.uncertified <= self.all()
    }
}

/// Against the given construct on common draws of placement error and tension that the search did not
/// see, on the full bed.
///
/// Every percentile counts a draw in which the fragment is lost or an anchor misses its bone as the
/// worst value, and leaves out one without a certificate. Intervals take the draws for independent;
/// those of a Latin hypercube say rather more.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct PairedGain {
    /// Draws.
    pub draws: u64,
    /// Seed of the draws.
    pub seed: u64,
    /// Bed cells aimed at.
    pub cells: usize,
    /// Recorded steps to 1 mm.
    pub steps: usize,
    /// 10th percentile of the objective of the given construct (90th where less is better); absent when
    /// fewer than nine in ten draws are certified, or it is infinite.
    pub given: Option<f64>,
    /// The same of the answer.
    pub found: Option<f64>,
    /// The same of the answer, on the same draws, on the bed of the search: how far that bed is to be
    /// trusted.
    pub found_on_search_bed: Option<f64>,
    /// Difference of the percentiles, answer less given, over draws that count for both.
    pub difference: Option<f64>,
    /// Its 95 % interval by a bootstrap over paired draws; absent where an end of it is infinite.
    pub difference_interval: Option<[f64; 2]>,
    /// Median difference on one draw, answer less given, over draws that count for both (where less is
    /// better, of those that are held in both); absent when there is none.
    pub median: Option<f64>,
    /// 10th percentile of that difference.
    pub low: Option<f64>,
    /// 90th percentile of that difference.
    pub high: Option<f64>,
    /// How often the answer is the better one, of the draws that count for both and in which one of the
    /// two has a value; equal ones count half. Absent when there are none.
    pub better: Option<Estimate>,
    /// Its 95 % interval after Wilson.
    pub better_interval: Option<[f64; 2]>,
    /// Draws that count for both.
    pub pairs: u64,
    /// How the draws ended for the given construct, and for the answer.
    pub ends: [DrawEnds; 2],
}
