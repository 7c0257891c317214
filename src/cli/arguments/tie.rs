//! What `rimhold tie` takes.

use super::{From, Way, example};
use clap::{Args, ValueEnum};

/// When every pull ends, whatever the construct says.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Stop {
    /// At its tension
    Tension,
    /// As soon as the fragment is back where the limb pulls it; its tension is the cap
    Reduced,
}

/// How ties of several limbs or screws are taken apart.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Split {
    /// Limbs that end in different anchors are tied one anchor after the other, screws after them
    Anchor,
    /// Every limb and every screw alone
    Limb,
}

/// What a sweep varies.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Sweep {
    /// Friction of the bed, 0.3 to 0.9
    Friction,
    /// The displaced pose, 0.25 to 1.5 times the case's own
    Displacement,
    /// The inferior hinge: intact, weak, none
    Hinge,
}

/// `rimhold tie`.
#[derive(Debug, Args)]
#[command(after_help = example(
    "rimhold tie quarter one-by-one --orders all --then-push",
    "With nothing given: all orders of two-by-two-crossed on the case quarter. An order names each tie \
     once, by any of its limbs (or screws) or several joined with +. A file has one order a line, ties parted by \
     commas, comments after #:\n    inferior-loop, bridge-lower, superior-loop   # as in practice\n  \
     Steps that differ by no more than 0.1 mm count as equal."
))]
#[command(mut_arg("direction", |a| a.requires("then_push")))]
#[command(mut_arg("to", |a| a.requires("then_push")))]
#[command(mut_arg("guided", |a| a.requires("then_push")))]
pub struct Tie {
    /// Case: a file, or a built-in name
    #[arg(value_name = "CASE")]
    pub case: Option<String>,
    /// Construct: a file, or a built-in name
    #[arg(value_name = "CONSTRUCT", default_value = "two-by-two-crossed")]
    pub construct: String,
    /// Where tying starts
    #[arg(long, value_name = "POSE", default_value = "displaced")]
    pub from: From,
    /// Orders to run: `own` (the construct's; taken where a CASE is named), `all` (taken where none is; of up to 6 ties; beyond that a sample of 120 that
    /// holds the own order, its reverse and bridge-first), or a file of orders. A file that is called
    /// like one of these words is named with its folder, as ./all
    #[arg(long, value_name = "own|all|FILE", conflicts_with = "order")]
    pub orders: Option<String>,
    /// An order, its ties parted by commas; may be repeated
    #[arg(long, value_name = "TIE,TIE,…")]
    pub order: Vec<String>,
    /// Seed of the sample where `all` is too many
    #[arg(long, default_value_t = crate::study::SEED)]
    pub seed: u64,
    /// When every pull ends, instead of each tie's own rule
    #[arg(long, value_name = "RULE")]
    pub stop: Option<Stop>,
    /// Take ties of several limbs or screws apart
    #[arg(long, value_name = "BY")]
    pub split: Option<Split>,
    /// Also pull all limbs together, and then set all screws, for comparison
    #[arg(long)]
    pub together: bool,
    /// Run the same orders against other inputs; several parted by commas
    #[arg(long, value_name = "OVER", value_delimiter = ',')]
    pub sweep: Vec<Sweep>,
    /// Push every result afterwards
    #[arg(long)]
    pub then_push: bool,
    /// Where that push goes.
    #[command(flatten, next_help_heading = "With --then-push")]
    pub way: Way,
}
