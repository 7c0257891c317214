//! What can be typed after `rimhold scatter` and `rimhold sweep`.

use super::super::arguments::{From, distance, example};
use crate::quantities::sampled;
use crate::stats::Method;
use crate::study::Direction;
use crate::study::result::Sampler;
use clap::{Args, ValueEnum};
use std::path::PathBuf;

/// How to sample.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum SamplerChoice {
    /// Latin hypercube
    Latin,
    /// Scrambled Sobol' sequence (single precision; at most 65536 samples a replicate)
    Sobol,
    /// Independent draws
    Random,
}

impl SamplerChoice {
    /// The same for a plan of draws.
    pub(in super::super) fn method(self) -> Method {
        match self {
            Self::Latin => Method::LatinHypercube,
            Self::Sobol => Method::Sobol,
            Self::Random => Method::Random,
        }
    }

    /// The same for what was found.
    pub(in super::super) fn sampler(self) -> Sampler {
        match self {
            Self::Latin => Sampler::LatinHypercube,
            Self::Sobol => Sampler::Sobol,
            Self::Random => Sampler::Random,
        }
    }
}

/// Most samples.
const MOST_SAMPLES: u64 = 10_000_000;
/// Most base samples of indices: the runs of one construct stand in memory for their intervals.
const MOST_BASE: u64 = 100_000;

fn count(text: &str) -> Result<u64, String> {
    up_to(MOST_SAMPLES, text)
}

/// Base samples of indices.
pub(in super::super) fn base(text: &str) -> Result<u64, String> {
    up_to(MOST_BASE, text)
}

fn up_to(most: u64, text: &str) -> Result<u64, String> {
    match text.trim().parse::<u64>() {
        Ok(n) if (1..=most).contains(&n) => Ok(n),
        _ => Err(format!("allowed: a whole number from 1 to {most}")),
    }
}

fn cells(text: &str) -> Result<usize, String> {
    match text.trim().parse::<usize>() {
        Ok(n) if (100..=20_000).contains(&n) => Ok(n),
        _ => Err("allowed: a whole number from 100 to 20000".to_owned()),
    }
}

fn steps(text: &str) -> Result<usize, String> {
    match text.trim().parse::<usize>() {
        Ok(n) if (2..=400).contains(&n) => Ok(n),
        _ => Err("allowed: a whole number from 2 to 400".to_owned()),
    }
}

fn load(text: &str) -> Result<f64, String> {
    match text.trim().parse::<f64>() {
        Ok(n) if (0.0..=1000.0).contains(&n) => Ok(n),
        _ => Err("allowed: 0 to 1000 N".to_owned()),
    }
}

/// `rimhold scatter`.
#[derive(Debug, Args)]
#[command(after_help = example(
    "rimhold scatter quarter one-by-one two-by-two --samples 500 --seed 7",
    "With nothing given: one-by-one and two-by-two-crossed on the case quarter, 2000 samples of the\n  \
     built-in spread, which `--inputs` lists with every other input. A spread of one's own is a\n  \
     [spread] table in the case, or a file:\n    \
     [spread]\n    \
     bed.friction = { triangular = [0.3, 0.5, 0.9] }\n    \
     \"limb.*.tension\" = { lognormal = { median = 1.0, cv = 0.35 }, use = \"factor\" }\n    \
     tether.hinge = { discrete = { intact = 0.4, weak = 0.4, none = 0.2 } }\n  \
     Ctrl-C ends after the samples under way; --resume goes on to the same answer."
))]
pub struct Scatter {
    /// Case: a file, or a built-in name
    #[arg(value_name = "CASE")]
    pub case: Option<String>,
    /// Constructs: files, or built-in names; all are tried on the same draws, and compared in
    /// pairs
    #[arg(value_name = "CONSTRUCT")]
    pub constructs: Vec<String>,
    /// File with a [spread] table; otherwise the case's own, otherwise the built-in spread
    #[arg(long, value_name = "FILE")]
    pub spread: Option<PathBuf>,
    /// Number of samples
    #[arg(long, value_name = "N", default_value = "2000", value_parser = count, allow_hyphen_values = true)]
    pub samples: u64,
    /// Seed: the same one gives the same samples
    #[arg(long, value_name = "SEED", default_value = "1")]
    pub seed: u64,
    /// How to sample
    #[arg(long, value_name = "METHOD", default_value = "latin")]
    pub sampler: SamplerChoice,
    /// Load under which an articular step above 2 mm is counted, N
    #[arg(long, value_name = "N", default_value = "50", value_parser = load, allow_hyphen_values = true)]
    pub under: f64,
    /// Also estimate Sobol' indices, from so many base samples (1 to 100000; fewer than 64 are warned
    /// of)
    #[arg(long, value_name = "BASE", num_args = 0..=1, default_missing_value = "256", value_parser = base)]
    pub indices: Option<u64>,
    /// Show one sample again in full, by its number
    #[arg(long, value_name = "NUMBER")]
    pub sample: Option<u64>,
    /// List every input that can be varied, with its range and backing, and do nothing else
    #[arg(long)]
    pub inputs: bool,
    /// File for the samples; kept when named. Otherwise scatter.samples here, removed at the end
    #[arg(long, value_name = "FILE")]
    pub store: Option<PathBuf>,
    /// Go on with a run that was interrupted
    #[arg(long)]
    pub resume: bool,
    /// Where tying starts
    #[arg(long, value_name = "POSE", default_value = "reduced")]
    pub from: From,
    /// Direction of the push, as for `push`
    #[arg(long, default_value = "inferior", value_parser = Direction::parse, allow_hyphen_values = true)]
    pub direction: Direction,
    /// How far to push, mm (0.05 to 10)
    #[arg(long, value_name = "MM", default_value = "2.0", value_parser = distance, allow_hyphen_values = true)]
    pub to: f64,
    /// Bed cells aimed at, in every sample; from the displaced pose 300 or more are wanted
    #[arg(long, value_name = "N", default_value = "220", value_parser = cells, allow_hyphen_values = true)]
    pub cells: usize,
    /// Recorded steps of the push
    #[arg(long, value_name = "N", default_value = "10", value_parser = steps, allow_hyphen_values = true)]
    pub steps: usize,
}

/// `rimhold sweep`.
#[derive(Debug, Args)]
#[command(after_help = example(
    "rimhold sweep quarter one-by-one two-by-two --vary bed.friction=0.3..0.9:7",
    "Ready-made, each by its name alone or followed by a case and constructs:\n    \
     rimhold sweep lower-end    whether the lower end closes: medial anchor against hinge\n    \
     rimhold sweep size         from which size one-by-one no longer does\n    \
     rimhold sweep tension      where more compression stops helping"
))]
pub struct Sweep {
    /// Case (a file, or a built-in name), or a ready-made sweep: lower-end, size, tension
    #[arg(value_name = "CASE|SWEEP")]
    pub case: Option<String>,
    /// Constructs: files, or built-in names (after a ready-made sweep: its case, then constructs)
    #[arg(value_name = "CONSTRUCT")]
    pub constructs: Vec<String>,
    /// An input by its dotted path, with a range and a number of values, or values: once or twice.
    /// A place or width along the fragment may be in percent: fragment.width=15%..30%:3. `*` stands
    /// for a whole name: limb.*.tension=20,40. All paths: rimhold scatter --inputs CASE CONSTRUCT
    #[arg(long, value_name = "PATH=LOW..HIGH:N", allow_hyphen_values = true)]
    pub vary: Vec<String>,
    /// Quantity to show, and no other: compression, peak-pressure, contact, reserve, step, tilt, lower-gap,
    /// lower-off, load-1mm, load-2mm, step-1mm, step-2mm, tilt-2mm, peak-load; may be given again.
    /// CSV and JSON hold all of them, these first
    #[arg(long, value_name = "QUANTITY", value_parser = shown, hide_possible_values = true)]
    pub show: Vec<String>,
    /// File for the points, kept, so that an interrupted sweep can go on
    #[arg(long, value_name = "FILE")]
    pub store: Option<PathBuf>,
    /// Go on with a sweep that was interrupted
    #[arg(long, requires = "store")]
    pub resume: bool,
    /// Where tying starts; reduced unless a ready-made sweep asks otherwise
    #[arg(long, value_name = "POSE")]
    pub from: Option<From>,
    /// Direction of the push, as for `push`
    #[arg(long, default_value = "inferior", value_parser = Direction::parse, allow_hyphen_values = true)]
    pub direction: Direction,
    /// How far to push, mm (0.05 to 10)
    #[arg(long, value_name = "MM", default_value = "2.0", value_parser = distance, allow_hyphen_values = true)]
    pub to: f64,
    /// Bed cells aimed at, at every point
    #[arg(long, value_name = "N", default_value = "400", value_parser = cells, allow_hyphen_values = true)]
    pub cells: usize,
    /// Recorded steps of the push
    #[arg(long, value_name = "N", default_value = "20", value_parser = steps, allow_hyphen_values = true)]
    pub steps: usize,
}

fn shown(text: &str) -> Result<String, String> {
    let known = sampled().map(|q| q.key).collect::<Vec<_>>();
    if known.contains(&text.trim()) {
        Ok(text.trim().to_owned())
    } else {
        Err(format!("allowed: {}", known.join(", ")))
    }
}
