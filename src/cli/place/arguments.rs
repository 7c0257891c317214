//! What can be typed after `rimhold place`.

use super::super::arguments::{From, example};
use crate::study::place::Objective;
use clap::{Args, ValueEnum};
use std::path::PathBuf;

/// What a design is good for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Aim {
    /// Load at 1 mm, pushed inferiorly
    Inferior,
    /// Least load at 1 mm over a fan of directions, weighted toward inferior and medial
    Worst,
    /// How evenly the bed is pressed when tied
    Evenness,
    /// Articular step left after tying from the displaced pose
    Reduction,
}

impl Aim {
    /// The same for a study.
    pub(in crate::cli) fn objective(self) -> Objective {
        match self {
            Self::Inferior => Objective::Inferior,
            Self::Worst => Objective::Worst,
            Self::Evenness => Objective::Evenness,
            Self::Reduction => Objective::Reduction,
        }
    }
}

fn between(text: &str, low: u64, high: u64) -> Result<u64, String> {
    match text.trim().parse::<u64>() {
        Ok(n) if (low..=high).contains(&n) => Ok(n),
        _ => Err(format!("allowed: a whole number from {low} to {high}")),
    }
}

/// Draws of a robust search.
pub(in crate::cli) fn draws(text: &str) -> Result<u64, String> {
    between(text, 10, 10_000)
}

fn starts(text: &str) -> Result<usize, String> {
    between(text, 1, 64).map(|n| n as usize)
}

fn evaluations(text: &str) -> Result<usize, String> {
    between(text, 20, 1_000_000).map(|n| n as usize)
}

fn cells(text: &str) -> Result<usize, String> {
    between(text, 100, 20_000).map(|n| n as usize)
}

fn steps(text: &str) -> Result<usize, String> {
    between(text, 1, 100).map(|n| n as usize)
}

/// `rimhold place`.
#[derive(Debug, Args)]
#[command(after_help = example(
    "rimhold place quarter two-by-two-crossed --objective worst --against evenness",
    "With nothing given: two-by-two-crossed on the case quarter; free are both coordinates of every\n  \
     anchor that a bridge uses, in their usual ranges; crossings and loops stay where they are. A\n  \
     search of one's own is a [place] table in the construct:\n    \
     [place]\n    \
     free = [{ path = \"anchor.*.along\", low = \"-80 %\", high = \"80 %\" }, { path = \"limb.*.tension\" }]\n    \
     limits = { spacing = 6.0, cartilage = 6.0 }\n    \
     [place.reach.anterior]\n    \
     portal = [45.0, -10.0, 30.0]\n    \
     half_angle = 40.0\n  \
     The answer is written as a construct, which `rimhold compare` takes. Ctrl-C keeps the best so far.\n  \
     Draws, front and maps come after it; of these it keeps what is whole."
))]
pub struct Place {
    /// Case: a file, or a built-in name
    #[arg(value_name = "CASE", default_value = "quarter")]
    pub case: String,
    /// Construct: a file, or a built-in name
    #[arg(value_name = "CONSTRUCT", default_value = "two-by-two-crossed")]
    pub construct: String,
    /// What the places are sought for
    #[arg(long, value_name = "OBJECTIVE", default_value = "inferior")]
    pub objective: Aim,
    /// Also trace what can be had of this objective at the same time
    #[arg(long, value_name = "OBJECTIVE")]
    pub against: Option<Aim>,
    /// Seek the 10th percentile under placement errors of a millimetre and the spread of tension,
    /// over so many common draws (10 to 10000)
    #[arg(long, value_name = "DRAWS", num_args = 0..=1, default_missing_value = "32", value_parser = draws)]
    pub robust: Option<u64>,
    /// Independent starts
    #[arg(long, value_name = "N", default_value = "4", value_parser = starts, allow_hyphen_values = true)]
    pub starts: usize,
    /// Most evaluations of each start; 1800 when not given, 360 with --robust
    #[arg(long, value_name = "N", value_parser = evaluations, allow_hyphen_values = true)]
    pub evaluations: Option<usize>,
    /// Seed: the same one gives the same answer
    #[arg(long, value_name = "SEED", default_value = "1")]
    pub seed: u64,
    /// Where tying starts; displaced whenever an objective is `reduction`, for both objectives
    #[arg(long, value_name = "POSE", default_value = "reduced")]
    pub from: From,
    /// Bed cells aimed at during the search; 220 when not given, 300 from the displaced pose, whose
    /// way home needs more. The answer is looked at again with the case's own
    #[arg(long, value_name = "N", value_parser = cells, allow_hyphen_values = true)]
    pub cells: Option<usize>,
    /// Recorded steps of a push during the search
    #[arg(long, value_name = "N", default_value = "5", value_parser = steps, allow_hyphen_values = true)]
    pub steps: usize,
    /// File for the answer; CONSTRUCT-placed.toml here when not given, CONSTRUCT-placed-robust.toml
    /// with --robust. Only a file that this command made, and nobody changed, is replaced
    #[arg(long, value_name = "FILE")]
    pub out: Option<PathBuf>,
    /// Leave out how far each anchor may wander
    #[arg(long)]
    pub no_wander: bool,
    /// List every variable that can be free, with its usual range, and do nothing else
    #[arg(long)]
    pub variables: bool,
}
