//! What a search for better places found.

use super::{Estimate, Hold, Start, Tally};
use crate::model::Tag;
pub use crate::optimise::EndedBy;
use schemars::JsonSchema;
use serde::Serialize;

/// An objective in words.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Aim {
    /// Key as typed.
    pub key: String,
    /// In words.
    pub label: String,
    /// Unit; empty for a share.
    pub unit: String,
    /// Whether more is better.
    pub more_is_better: bool,
    /// What it is made of, with its assumptions.
    pub about: String,
}

impl Aim {
    /// The percentile that a robust search seeks of it: what nine of ten draws reach.
    pub fn percentile(&self) -> &'static str {
        if self.more_is_better { "10th" } else { "90th" }
    }

    /// Decimals with which its values are told.
    pub fn decimals(&self) -> usize {
        match self.unit.as_str() {
            "N" => 0,
            "mm" => 2,
            _ => 3,
        }
    }
}

/// A free variable and what became of it.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct FreeVariable {
    /// Dotted path.
    pub path: String,
    /// Unit.
    pub unit: String,
    /// Low end of its range.
    pub low: f64,
    /// High end.
    pub high: f64,
    /// Where the construct has it.
    pub given: f64,
    /// Where the answer has it.
    pub found: f64,
    /// Whether the answer lies on an end of its range.
    pub at_end: bool,
    /// Whether nothing changes with it: it was left where it is.
    pub idle: bool,
    /// How its range is backed.
    pub tag: Tag,
    /// Where the range comes from.
    pub source: String,
}

/// A constraint at a design.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Kept {
    /// Key.
    pub key: String,
    /// In words.
    pub label: String,
    /// Value where it is nearest to its limit, or farthest beyond; absent when it does not apply.
    pub value: Option<f64>,
    /// Its limit.
    pub limit: f64,
    /// Whether the limit is a least value.
    pub at_least: bool,
    /// Unit.
    pub unit: String,
    /// What stands there: an anchor, a pair of anchors, a limb.
    pub subject: String,
    /// How much is left, in its unit; negative when violated.
    pub slack: Option<f64>,
    /// Whether it holds the design: less than half a percent of the limit is left.
    pub active: bool,
    /// By how much it is violated, as a share of the limit; zero when it is kept.
    pub violation: f64,
    /// How the limit is backed.
    pub tag: Tag,
    /// Where it comes from.
    pub source: String,
}

/// Where an anchor sits.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Placed {
    /// Anchor.
    pub anchor: String,
    /// Point on the reduced anatomy, mm.
    pub point: [f64; 3],
}

/// A design with the full bed: given, found, or on a front.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Placement {
    /// Name: `given`, `found`, or the label of a design on a front.
    pub name: String,
    /// Values of the free variables, in their order.
    pub at: Vec<f64>,
    /// Values of the objectives, in the order of [`Place::aims`], where nothing errs; absent where not
    /// held.
    pub values: Vec<Option<f64>>,
    /// The same as a robust search values them, over its draws, on the full bed: 10th percentiles (90th
    /// where less is better); absent where there is none. Empty where no draws were made.
    pub over_draws: Vec<Option<f64>>,
    /// How those draws ended.
    pub draws: Option<DrawEnds>,
    /// The constraints.
    pub kept: Vec<Kept>,
    /// Largest violation, as a share of its limit.
    pub violation: f64,
    /// Why it has no numbers; empty when held.
    pub why: String,
    /// Where the anchors sit.
    pub anchors: Vec<Placed>,
    /// How it is tied, its bed with all cells.
    pub hold: Option<Hold>,
    /// What the certificates of its states say together.
    pub tally: Tally,
    /// The construct as a file.
    pub file: String,
}

/// Best so far against evaluations.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct Progressed {
    /// Evaluations of the start.
    pub evaluations: usize,
    /// Best value of the objective so far, in its unit.
    pub value: f64,
}

impl EndedBy {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::Settled, Self::Budget, Self::Interrupted];

    /// What several starts did, in words.
    pub fn told(self) -> &'static str {
        match self {
            Self::Settled => "settled",
            Self::Budget => "spent their evaluations",
            Self::Interrupted => "were interrupted",
        }
    }

    /// How many starts ended so, each kind with its words, those of no start left out.
    pub fn counted(starts: &[SearchStart], words: fn(Self) -> &'static str) -> Vec<String> {
        Self::ALL
            .into_iter()
            .filter_map(|by| {
                let count = starts.iter().filter(|s| s.ended == by).count();
                (count > 0).then(|| format!("{count} {}", words(by)))
            })
            .collect()
    }
}

/// One start of the search.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct SearchStart {
    /// Evaluations.
    pub evaluations: usize,
    /// Those of the swarm.
    pub in_swarm: usize,
    /// Simplices started.
    pub restarts: usize,
    /// Why it ended.
    pub ended: EndedBy,
    /// Value of its answer on the bed of the search; absent when it met nothing feasible.
    pub value: Option<f64>,
    /// Its answer: values of the free variables.
    pub at: Vec<f64>,
    /// Largest distance of one of its anchors from that of the best start, mm.
    pub off: f64,
    /// Best so far against evaluations.
    pub progress: Vec<Progressed>,
}

/// A design of a front.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct FrontPoint {
    /// Values of the free variables.
    pub at: Vec<f64>,
    /// Both objectives as the search values them (percentiles over draws where it is a robust one), on
    /// its bed.
    pub values: [f64; 2],
}

/// What can be had of two objectives at once.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Front {
    /// Designs of which none is better in both, best of the first objective first; on the bed of the
    /// search.
    pub points: Vec<FrontPoint>,
    /// The given construct on that bed, valued the same way; absent when it is not held.
    pub given: Option<[f64; 2]>,
    /// Whether some design of the front is better than the given one in both.
    pub given_is_beaten: bool,
    /// Three designs with the full bed: best of each objective, and the knee between them.
    pub designs: Vec<Placement>,
    /// Evaluations.
    pub evaluations: usize,
}

/// A search for better places.
///
/// Each part that was asked for is there or named in [`Place::unfinished`].
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Place {
    /// Name of the case.
    pub case: String,
    /// Name of the construct.
    pub construct: String,
    /// Where tying started.
    pub from: Start,
    /// The objective, and the one against it.
    pub aims: Vec<Aim>,
    /// Whether the 10th percentile over draws was sought.
    pub robust: bool,
    /// Draws of a robust search.
    pub draws: u64,
    /// Seed.
    pub seed: u64,
    /// Bed cells aimed at in the search, and in given and found.
    pub cells: [usize; 2],
    /// Recorded steps to 1 mm in the search, and in given and found.
    pub steps: [usize; 2],
    /// The free variables.
    pub variables: Vec<FreeVariable>,
    /// The construct as it is, with the full bed.
    pub given: Placement,
    /// The answer, with the full bed.
    pub found: Placement,
    /// Value of the objective at given and found on the bed of the search.
    pub on_search_bed: [Option<f64>; 2],
    /// How the draws of a robust search ended at given and found on its bed; absent where no draws were
    /// made.
    pub draw_ends: [Option<DrawEnds>; 2],
    /// The starts.
    pub starts: Vec<SearchStart>,
    /// Evaluations of the search.
    pub evaluations: usize,
    /// Most evaluations of each start.
    pub budget: usize,
    /// Evaluations that could not be certified; they count for nothing.
    pub uncertified: usize,
    /// Largest difference of the starts' answers, in the unit of the objective.
    pub disagreement: f64,
    /// Largest distance of an anchor between the starts' answers, mm.
    pub disagreement_mm: f64,
    /// What the draws of placement error and tension vary, and how.
    pub errors: Vec<DrawnInput>,
    /// Against the given construct, paired; absent when interrupted.
    pub gain: Option<PairedGain>,
    /// How far each anchor may wander; empty when not asked for.
    pub wander: Vec<WanderMap>,
    /// Both objectives at once, when two were asked for.
    pub front: Option<Front>,
    /// Whether all that was asked for is there, and the search ran to its end.
    pub complete: bool,
    /// What is not, in words, when an end was asked for.
    pub unfinished: Vec<String>,
    /// Remarks: variables that change nothing, and the like.
    pub remarks: Vec<String>,
}

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
    /// kept to limits: their values count.
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

/// What ends a way out of the answer.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case", tag = "by")]
pub enum WayEnd {
    /// A tenth of the objective is lost there.
    Lost,
    /// A constraint is violated beyond it.
    Constraint {
        /// Its key.
        key: String,
        /// In words, with what it concerns.
        label: String,
    },
    /// The range of the variable ends there.
    Range,
}

/// A way out of the answer in an anchor's own plane.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct WayOut {
    /// Its name: `superior`, `medial`, `superior and medial`, and so on.
    pub name: String,
    /// Direction in the plane: along and second coordinate, of unit length.
    pub direction: [f64; 2],
    /// How far, mm.
    pub distance: f64,
    /// What ends it.
    pub end: WayEnd,
    /// Objective there.
    pub value: f64,
}

/// A point of a wander map.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Wandered {
    /// Offset from the answer in the anchor's plane: along and second coordinate, mm.
    pub offset: [f64; 2],
    /// The anchor's point, mm.
    pub point: Option<[f64; 3]>,
    /// Objective; absent when infeasible.
    pub value: Option<f64>,
    /// Share of the best that is lost; absent when infeasible.
    pub loss: Option<f64>,
    /// The constraint that makes it infeasible.
    pub broken: Option<String>,
}

/// How far one anchor may wander, the others held.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct WanderMap {
    /// Anchor.
    pub anchor: String,
    /// Keys of the two coordinates; the second is empty for a place on a line.
    pub coordinates: [String; 2],
    /// Where the answer has them.
    pub centre: [f64; 2],
    /// Units of each coordinate per mm of an offset: of hours on the arc on which the anchor lies, and
    /// negative, as they run from superior to anterior.
    pub units_per_mm: [f64; 2],
    /// Distance of grid points, mm.
    pub step: f64,
    /// Objective at the answer, on the bed of the search.
    pub best: f64,
    /// Points of the grid: those within 25 % of the best that hang together with the answer, and
    /// those next to them.
    pub grid: Vec<Wandered>,
    /// Area in which no more than 10 % is lost, mm², counted in grid points.
    pub area_10: f64,
    /// The same for 25 %.
    pub area_25: f64,
    /// The four ways out (two on a line), then the four between them.
    pub ways: Vec<WayOut>,
}
