//! `rimhold schema`.

use super::example;
use super::say::{Failure, print};
use crate::model::{case_schema, construct_schema};
use crate::show::report::{
    BudgetBody, DrillBody, Envelope, JointBody, LoseBody, PlaceBody, ScatterBody, SweepBody, VerifyBody, json_schema,
};
use clap::Args;
use clap::builder::{PossibleValue, PossibleValuesParser};
use serde_json::Value;

#[derive(Debug, Args)]
#[command(after_help = example(
    "rimhold schema construct > construct.json",
    "With `#:schema ./construct.json` as its first line, an editor that knows schemas of TOML \
     completes and checks a construct beside it. Only `check` sees whether it fits the bone."
))]
pub(super) struct Schema {
    /// What it describes
    #[arg(value_name = "KIND", default_value = "case", value_parser = kinds())]
    kind: String,
}

/// What a schema describes: its name, in words, and the schema.
type Kind = (&'static str, &'static str, fn() -> Value);

const KINDS: [Kind; 11] = [
    ("case", "A case file", case_schema),
    ("construct", "A construct file", construct_schema),
    ("result", "What `--format json` prints, of every command that has none of its own", json_schema),
    ("scatter", "What `scatter --format json` prints", Envelope::<ScatterBody>::schema),
    ("sweep", "What `sweep --format json` prints", Envelope::<SweepBody>::schema),
    ("place", "What `place --format json` prints", Envelope::<PlaceBody>::schema),
    ("budget", "What `budget --format json` prints", Envelope::<BudgetBody>::schema),
    ("lose", "What `lose --format json` prints", Envelope::<LoseBody>::schema),
    ("drill", "What `drill --format json` prints", Envelope::<DrillBody>::schema),
    ("joint", "What `joint --format json` prints", Envelope::<JointBody>::schema),
    ("verification", "What `verify --format json` prints", Envelope::<VerifyBody>::schema),
];

fn kinds() -> PossibleValuesParser {
    KINDS.map(|(name, words, _)| PossibleValue::new(name).help(words)).into()
}

impl Schema {
    pub fn run(&self) -> Result<(), Failure> {
        let typed = |kind: &&Kind| kind.0.eq_ignore_ascii_case(&self.kind);
        let (.., schema) = KINDS.iter().find(typed).expect("no other kind is understood");
        print(&format!("{:#}\n", schema()))
    }
}
