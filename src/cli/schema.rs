//! `rimhold schema`.

use super::example;
use super::say::{Failure, print};
use crate::model::{case_schema, construct_schema};
use crate::show::report::{
    BudgetBody, DrillBody, Envelope, JointBody, LoseBody, PlaceBody, ScatterBody, SweepBody, VerifyBody, json_schema,
};
use clap::{Args, ValueEnum};

#[derive(Debug, Args)]
#[command(after_help = example(
    "rimhold schema construct > construct.json",
    "With `#:schema ./construct.json` as its first line, an editor that knows schemas of TOML \
     completes and checks a construct beside it. Only `check` sees whether it fits the bone."
))]
pub(super) struct Schema {
    /// What it describes
    #[arg(value_name = "KIND", default_value = "case")]
    kind: Described,
}

/// What a schema describes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Described {
    /// A case file
    Case,
    /// A construct file
    Construct,
    /// What `--format json` prints, of every command that has none of its own
    Result,
    /// What `scatter --format json` prints
    Scatter,
    /// What `sweep --format json` prints
    Sweep,
    /// What `place --format json` prints
    Place,
    /// What `budget --format json` prints
    Budget,
    /// What `lose --format json` prints
    Lose,
    /// What `drill --format json` prints
    Drill,
    /// What `joint --format json` prints
    Joint,
    /// What `verify --format json` prints
    Verification,
}

impl Schema {
    pub fn run(&self) -> Result<(), Failure> {
        let schema = match self.kind {
            Described::Case => case_schema(),
            Described::Construct => construct_schema(),
            Described::Result => json_schema(),
            Described::Scatter => Envelope::<ScatterBody>::schema(),
            Described::Sweep => Envelope::<SweepBody>::schema(),
            Described::Place => Envelope::<PlaceBody>::schema(),
            Described::Budget => Envelope::<BudgetBody>::schema(),
            Described::Lose => Envelope::<LoseBody>::schema(),
            Described::Drill => Envelope::<DrillBody>::schema(),
            Described::Joint => Envelope::<JointBody>::schema(),
            Described::Verification => Envelope::<VerifyBody>::schema(),
        };
        print(&format!("{schema:#}\n"))
    }
}
