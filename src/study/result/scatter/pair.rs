//! Two constructs on the same draws.

use super::{Quantiles, Quantity, Share};
use schemars::JsonSchema;
use serde::Serialize;

/// How often a quantity falls into bins of one width.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Histogram {
    /// Lower end of the first bin, a multiple of the width.
    pub from: f64,
    /// Width of a bin, round, in the quantity's unit.
    pub width: f64,
    /// Samples in each bin; a value on an edge belongs to the bin above it.
    pub counts: Vec<u64>,
}

/// The difference of a quantity between two constructs on the same draws, second minus first in the
/// order given.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Paired {
    /// Name of the first construct.
    pub first: String,
    /// Name of the second.
    pub second: String,
    /// The quantity.
    pub quantity: Quantity,
    /// Quantiles of second minus first, over samples where both have it.
    pub difference: Option<Quantiles>,
    /// The 101 percentiles 0, 1, … 100 of the difference, for drawing its distribution; empty when
    /// there are none.
    pub percentiles: Vec<f64>,
    /// How often each difference comes, over the same samples; absent when there are none.
    pub histogram: Option<Histogram>,
    /// Probability that the second has more than the first on the same draw (a tie counts half). A
    /// construct that is held has more than one that is not; draws where neither has it are left out.
    pub superiority: Option<Share>,
    /// Draws that the superiority rests on.
    pub superiority_of: usize,
    /// Variance of the difference on common draws over the variance that separate draws would give.
    pub variance_ratio: Option<f64>,
}
