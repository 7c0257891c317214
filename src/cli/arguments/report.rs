//! What `rimhold report` takes.

use super::super::place::arguments::{Aim, draws};
use super::super::scatter::arguments::base;
use super::{From, Way, example};
use crate::show::figures::Style;
use crate::study::scatter::NAMED;
use clap::{Args, ValueEnum};
use std::path::PathBuf;

/// `rimhold report`.
#[derive(Debug, Args)]
#[command(after_help = example(
    "rimhold report quarter one-by-one two-by-two-crossed --out my-report",
    "With nothing given: one-by-one, two-by-two-crossed and single-row on the case quarter.\n  \
     Writing is all or nothing; a folder that is not a report of this program is never touched."
))]
pub struct Report {
    /// Case: a file, or a built-in name
    #[arg(value_name = "CASE", default_value = "quarter")]
    pub case: String,
    /// Constructs: files, or built-in names
    #[arg(value_name = "CONSTRUCT")]
    pub constructs: Vec<String>,
    /// Folder of the report; an earlier report there is replaced once the new one is whole
    #[arg(long, value_name = "DIR", default_value = "rimhold-report")]
    pub out: PathBuf,
    /// Where DIR holds what this program did not write: leave it, and write into a new folder
    /// `rimhold-report` inside
    #[arg(long)]
    pub beside: bool,
    /// Style of the figures
    #[arg(long, default_value = "print")]
    pub style: Look,
    /// Figures as SVG alone: no PDF, no PNG
    #[arg(long)]
    pub svg_only: bool,
    /// Samples of the inputs, from 5 to 95 % of which the answers are told (the case's own [spread], or
    /// the built-in one); 0 leaves them out
    #[arg(long, value_name = "N", default_value = "128", value_parser = samples, allow_hyphen_values = true)]
    pub samples: u64,
    /// Also estimate Sobol' indices of the samples' inputs, from so many base samples (as `rimhold scatter`
    /// does; needs samples); takes a minute or so
    #[arg(long, value_name = "BASE", num_args = 0..=1, default_missing_value = "256", value_parser = base)]
    pub indices: Option<u64>,
    /// Also make a ready-made sweep on this case and those constructs that have what it varies:
    /// lower-end, size or tension; may be given again
    #[arg(long, value_name = "NAME", value_parser = named)]
    pub sweep: Vec<String>,
    /// Seed of the samples, and of tying orders where not all are run
    #[arg(long, value_name = "SEED", default_value = "1")]
    pub seed: u64,
    /// Leave out the program's whole verification suite; the refinement and balance of this case stay
    #[arg(long)]
    pub no_suite: bool,
    /// Also seek better places for the anchors of the last construct (load at 1 mm inferiorly, as
    /// `rimhold place` does); takes some seconds
    #[arg(long)]
    pub place: bool,
    /// With --place: seek the 10th percentile over so many common draws of placement error and tension,
    /// as `rimhold place --robust` does; takes minutes
    #[arg(long, value_name = "DRAWS", num_args = 0..=1, default_missing_value = "32", value_parser = draws, requires = "place")]
    pub robust: Option<u64>,
    /// With --place: also trace what can be had of this objective at the same time
    #[arg(long, value_name = "OBJECTIVE", requires = "place")]
    pub against: Option<Aim>,
    /// Template of the methods section (minijinja); the built-in one when not given
    #[arg(long, value_name = "FILE")]
    pub template: Option<PathBuf>,
    /// Where tying starts
    #[arg(long, value_name = "POSE", default_value = "reduced")]
    pub from: From,
    /// Where the push goes.
    #[command(flatten)]
    pub way: Way,
}

/// Most samples: rows are kept in memory.
const MOST_SAMPLES: u64 = 20_000;

fn samples(text: &str) -> Result<u64, String> {
    match text.trim().parse::<u64>() {
        Ok(n) if n <= MOST_SAMPLES => Ok(n),
        _ => Err(format!("allowed: a whole number from 0 to {MOST_SAMPLES}")),
    }
}

fn named(text: &str) -> Result<String, String> {
    let known = NAMED.map(|n| n.name);
    if known.contains(&text.trim()) {
        Ok(text.trim().to_owned())
    } else {
        Err(format!("allowed: {}", known.join(", ")))
    }
}

/// Style of figures.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Look {
    /// Colour, columns of 85 or 180 mm
    Print,
    /// 16 to 9, large words
    Slide,
    /// As print, without colour
    Grey,
}

impl Look {
    /// The same for a figure.
    pub(in crate::cli) fn style(self) -> Style {
        match self {
            Self::Print => Style::Print,
            Self::Slide => Style::Slide,
            Self::Grey => Style::Grey,
        }
    }
}
