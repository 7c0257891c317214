//! What a study of scatter found: how far the answers move when the inputs do.
//!
//! Loads N, lengths mm, pressures MPa, angles degrees; probabilities 0 to 1. Every quantile is over
//! the samples that have the quantity (`of`), and what has none is counted in [`Ends`]; nothing is
//! dropped in silence.

use super::{Carrier, EventKind, Start};
use crate::model::Tag;
use crate::model::spread::LineUsed;
pub use crate::stats::Estimate;
/// How the samples were drawn.
pub use crate::stats::Method as Sampler;
use crate::stats::SobolIndex;
use schemars::JsonSchema;
use serde::Serialize;

/// An input as it was drawn, one row for each line of the spread.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct InputUsed {
    /// The line.
    #[serde(flatten)]
    pub line: LineUsed,
    /// Mean of what was drawn for the first target.
    pub mean: f64,
    /// Its standard deviation.
    pub deviation: f64,
}

/// A rank correlation that was asked for.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Correlated {
    /// The two inputs.
    pub between: [String; 2],
    /// Spearman's coefficient asked for.
    pub asked: f64,
    /// How that is backed.
    pub tag: Tag,
    /// Where it comes from.
    pub source: String,
    /// The same, reached in the samples drawn.
    pub reached: f64,
}

/// A share of samples, 0 to 1, with how well it is known.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct Share {
    /// The share.
    pub value: f64,
    /// Its standard error, from the scatter between replicates; absent with too few samples, and of a
    /// share of none or of all.
    pub error: Option<f64>,
    /// Of a share of none or of all, whose replicates do not scatter: its upper, or lower, bound at
    /// 95 % (one-sided, after Clopper and Pearson; exact for independent draws).
    pub bound: Option<f64>,
}

/// Quantiles of a quantity.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Quantiles {
    /// Samples that have the quantity.
    pub of: usize,
    /// Mean.
    pub mean: Estimate,
    /// Standard deviation.
    pub deviation: f64,
    /// 5 %.
    pub low: Estimate,
    /// 25 %.
    pub lower: f64,
    /// 50 %.
    pub median: Estimate,
    /// 75 %.
    pub upper: f64,
    /// 95 %.
    pub high: Estimate,
}

/// A reported quantity.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Quantity {
    /// Short name as typed, e.g. `load-1mm`.
    pub key: String,
    /// In words, e.g. `load at 1 mm`.
    pub label: String,
    /// Unit.
    pub unit: String,
}

/// How far a quantity scatters.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Scattering {
    /// Which.
    pub quantity: Quantity,
    /// Its quantiles; absent when no sample has it.
    pub quantiles: Option<Quantiles>,
}

/// Share of a carrier of the load at 1 mm.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct ShareScatter {
    /// Name of the limb, or `bed friction`, `bed pressure`, a tether, a load.
    pub name: String,
    /// What it is.
    pub carrier: Carrier,
    /// Quantiles of its share, N.
    pub quantiles: Option<Quantiles>,
}

/// The band of the load–displacement curve at one displacement, N.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct BandPoint {
    /// Displacement, mm.
    pub displacement: f64,
    /// Samples whose push reached it.
    pub of: usize,
    /// 5, 25, 50, 75 and 95 % of the load there, N; absent when none reached it.
    pub loads: Option<[f64; 5]>,
}

/// What becomes of the fragment under a given load, over all samples.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct UnderLoad {
    /// The load, N.
    pub load: f64,
    /// Probability that the load is borne and the articular step then is above 2 mm. These four are
    /// absent when no sample counts.
    pub step: Option<Share>,
    /// Probability that the fragment is not held, or lost in the push before the load is borne.
    pub gives_way: Option<Share>,
    /// Probability of either.
    pub either: Option<Share>,
    /// Probability that the push ends, with the fragment held, before the load is reached; of these
    /// nothing is known.
    pub not_reached: Option<Share>,
}

/// How often something happens within the push.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct EventChance {
    /// What.
    pub kind: EventKind,
    /// To which limb or anchor; empty for the bed and the fragment.
    pub subject: String,
    /// Probability that it happens, over all samples that were pushed.
    pub probability: Share,
    /// Probability that it happens before anything else.
    pub first: Share,
    /// Median displacement where it happens, when it does, mm.
    pub displacement: Option<f64>,
}

/// How a sample ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum End {
    /// Held, tied and pushed to the end.
    Held,
    /// Tied, but it came to no rest in the push; loads before that count.
    LostInPush,
    /// Not held when tied: a finding.
    NotHeld,
    /// A state could not be certified; nothing of it counts.
    Uncertified,
    /// The drawn numbers make no fragment or no construct; nothing was solved.
    Impossible,
}

impl End {
    /// All of them.
    pub const ALL: [Self; 5] = [Self::Held, Self::LostInPush, Self::NotHeld, Self::Uncertified, Self::Impossible];

    /// The same in words.
    pub fn words(self) -> &'static str {
        match self {
            End::Held => "stable",
            End::LostInPush => "failed in the push",
            End::NotHeld => "unstable as tied",
            End::Uncertified => "balance not checked",
            End::Impossible => "invalid geometry",
        }
    }
}

/// So many of a thing: "1 sample", "2 samples".
pub(crate) fn counted(n: u64, one: &str) -> String {
    format!("{n} {one}{}", if n == 1 { "" } else { "s" })
}

/// A unit in parentheses behind what is measured.
pub(crate) fn with_unit(what: &str, unit: &str) -> String {
    if unit.is_empty() { what.to_owned() } else { format!("{what} ({unit})") }
}

/// A sample that did not end as held.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Astray {
    /// Its number, for `--sample`.
    pub sample: u64,
    /// How it ended.
    pub end: End,
    /// Why, in words.
    pub why: String,
}

/// How the samples of a construct ended. The five counts sum to the samples done.
#[derive(Debug, Clone, Default, PartialEq, Serialize, JsonSchema)]
pub struct Ends {
    /// Held to the end of the push.
    pub held: u64,
    /// Tied, lost in the push.
    pub lost_in_push: u64,
    /// Not held when tied.
    pub not_held: u64,
    /// Not certified.
    pub uncertified: u64,
    /// Drawn numbers that make no fragment or construct.
    pub impossible: u64,
    /// The first of those that are not held to the end (at most 200), in their order.
    pub listed: Vec<Astray>,
}

/// How strongly an input moves a quantity, by partial rank correlation.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Rank {
    /// Path of the input.
    pub path: String,
    /// Partial rank correlation coefficient, −1 to 1.
    pub coefficient: f64,
    /// Its 95 % interval by Fisher's transformation (large samples, independent draws).
    pub interval: [f64; 2],
}

/// The ranking of inputs for one quantity, strongest first.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Ranking {
    /// The quantity.
    pub quantity: Quantity,
    /// Samples that it rests on.
    pub of: usize,
    /// The inputs.
    pub ranks: Vec<Rank>,
}

/// Sobol' indices of an input, with bootstrap intervals of 95 %.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Index {
    /// Path of the input, or the paths of inputs that are correlated and stand as one, joined by ` + `.
    pub path: String,
    /// Its indices.
    #[serde(flatten)]
    pub index: SobolIndex,
}

/// Sobol' indices of one quantity.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Indices {
    /// The quantity.
    pub quantity: Quantity,
    /// Base samples whose runs all have the quantity.
    pub of: usize,
    /// Base samples left out because a run of theirs has no such quantity.
    pub left_out: usize,
    /// Variance of the quantity.
    pub variance: f64,
    /// The inputs, largest total index first.
    pub indices: Vec<Index>,
}

/// One construct of a study of scatter.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Scattered {
    /// Name of the construct.
    pub construct: String,
    /// How its samples ended.
    pub ends: Ends,
    /// Its quantities.
    pub quantities: Vec<Scattering>,
    /// Who bears the load at 1 mm.
    pub shares: Vec<ShareScatter>,
    /// The band of its load–displacement curve.
    pub band: Vec<BandPoint>,
    /// What becomes of it under the given load.
    pub under: UnderLoad,
    /// What happens within the push, most probable first.
    pub events: Vec<EventChance>,
    /// Partial rank correlations.
    pub rankings: Vec<Ranking>,
    /// Sobol' indices, when asked for.
    pub indices: Vec<Indices>,
}

/// The study of scatter.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Scatter {
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
    /// Recorded steps of the push.
    pub steps: usize,
    /// How the samples were drawn.
    pub sampler: Sampler,
    /// Seed.
    pub seed: u64,
    /// Samples asked for.
    pub samples: u64,
    /// Samples done; fewer than asked for after an interruption.
    pub done: u64,
    /// Independent replicates that standard errors come from.
    pub replicates: u64,
    /// Where the spread comes from: a file, the case, or the built-in default.
    pub spread: String,
    /// The inputs.
    pub inputs: Vec<InputUsed>,
    /// Their rank correlations.
    pub correlations: Vec<Correlated>,
    /// The constructs in the order given.
    pub constructs: Vec<Scattered>,
    /// Paired differences of every construct against each before it.
    pub pairs: Vec<Paired>,
    /// Base samples of the Sobol' indices; zero when not asked for.
    pub index_base: u64,
    /// Base samples done.
    pub index_done: u64,
    /// Whether everything that was asked for is done.
    pub complete: bool,
}

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
