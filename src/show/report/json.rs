//! The JSON document: versioned and complete.

use super::CAUTION;
use super::reading;
use super::summary::{CaseSummary, ConstructSummary};
use crate::model::{Case, Construct};
use crate::quantities::{QUANTITIES, Quantity, View};
use crate::study::ComparePlan;
use crate::study::MARKS;
use crate::study::result::{Compared, OrderSweep, Orders, Sampler, Settling, Start};
use schemars::JsonSchema;
use serde::Serialize;
use std::collections::BTreeMap;

/// Version of the document's shape; it changes when a field changes its meaning or goes.
const SCHEMA: &str = "rimhold/2";

/// What was asked for.
#[derive(Debug, Clone, Default, PartialEq, Serialize, JsonSchema)]
pub struct Asked {
    /// The command: `check`, `compare`, `settle` or `tie`.
    pub command: String,
    /// Where tying starts.
    pub from: Option<Start>,
    /// Direction of the push.
    pub direction: Option<String>,
    /// Distance to push, mm.
    pub to: Option<f64>,
    /// Whether turning was forbidden during the push.
    pub guided: Option<bool>,
    /// Whether a rose was asked for.
    pub rose: Option<bool>,
    /// Which tying orders: `all`, `own`, a file, or the orders as typed.
    pub orders: Option<String>,
    /// The stop rule of every tie where it overrides the construct's: `tension` or `reduced`.
    pub stop: Option<String>,
    /// How ties of several limbs were taken apart: by `anchor` or by `limb`.
    pub split: Option<String>,
}

impl Asked {
    /// A command that asks nothing more.
    pub fn of(command: &str) -> Self {
        Self { command: command.to_owned(), ..Self::default() }
    }

    /// A comparison, or a part of one.
    pub fn compared(command: &str, plan: &ComparePlan) -> Self {
        let push = plan.push.as_ref();
        Self {
            from: Some(plan.from),
            direction: push.map(|p| p.direction.name.clone()),
            to: push.map(|p| p.to),
            guided: push.map(|p| p.guided),
            rose: push.map(|_| plan.rose),
            ..Self::of(command)
        }
    }
}

/// The sample of a study of scatter that a document shows again.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct SampleShown {
    /// Its number.
    pub number: u64,
    /// Of how many samples.
    pub samples: u64,
    /// Seed.
    pub seed: u64,
    /// How it was drawn: `latin_hypercube`, `sobol` or `random`.
    pub sampler: Sampler,
    /// Where the spread comes from: a file, the case, or the built-in default.
    pub spread: String,
    /// What was drawn.
    pub drawn: Vec<Drawn>,
}

/// A number that was drawn.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Drawn {
    /// Dotted path of the input.
    pub path: String,
    /// The number.
    pub value: f64,
    /// How it is used: as the value, as a factor of it, or added to it.
    pub usage: String,
    /// Unit of the number; `times` for a factor.
    pub unit: String,
    /// The same in words.
    pub said: String,
}

/// A construct as it was understood, and what was found.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Described {
    /// As understood.
    pub construct: ConstructSummary,
    /// Every quantity that it has by its key, in the unit that tables give it.
    pub quantities: BTreeMap<String, f64>,
    /// What was found; absent for `check`.
    pub found: Option<Told<Compared>>,
}

/// A result, and what it says in plain sentences made of its numbers.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Told<T> {
    /// The result.
    #[serde(flatten)]
    pub found: T,
    /// The sentences.
    pub reading: Vec<String>,
}

impl Described {
    /// A construct with what was found of it.
    pub fn new(case: &Case, construct: &Construct, summary: ConstructSummary, found: Option<Compared>) -> Self {
        let view = found.as_ref().map(|found| View::of(case, construct, found));
        let has = |q: &Quantity| Some((q.key.to_owned(), (q.of)(view.as_ref()?)?));
        let quantities = QUANTITIES.iter().filter_map(has).collect();
        let reading = |found: &Compared| reading(case, &found.hold, found.push.as_ref());
        Self { construct: summary, quantities, found: found.map(|found| Told { reading: reading(&found), found }) }
    }
}

/// A construct against the first of a comparison.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Versus {
    /// Name of the construct.
    pub construct: String,
    /// Bed compression over that of the first; absent where either is not held.
    pub compression: Option<f64>,
    /// Load at 0.5, 1 and 2 mm over that of the first; absent where either has none above zero.
    pub load_at: [Option<f64>; 3],
}

impl Versus {
    /// Every construct against the first.
    pub fn first(results: &[Compared]) -> Vec<Self> {
        let Some(first) = results.first() else {
            return Vec::new();
        };
        let ratio = |a: Option<f64>, b: Option<f64>| match (a, b) {
            (Some(a), Some(b)) if a > 0.0 => Some(b / a),
            _ => None,
        };
        let compression = |r: &Compared| r.hold.tied.as_ref().map(|t| t.bed.compression);
        let load = |r: &Compared, k: usize| r.push.as_ref().and_then(|p| p.load_at[k]);
        results
            .iter()
            .map(|r| Self {
                construct: r.hold.construct.clone(),
                compression: ratio(compression(first), compression(r)),
                load_at: std::array::from_fn(|k| ratio(load(first, k), load(r, k))),
            })
            .collect()
    }
}

/// The document. Lengths mm, forces N, moments N·mm, pressures MPa, stiffness N/mm, angles
/// degrees; vectors in the socket frame (x anterior, y superior, z lateral).
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Document {
    /// `rimhold/2`.
    pub schema: String,
    /// Version of the program.
    pub version: String,
    /// What this is and is not.
    pub caution: String,
    /// What was asked for.
    pub asked: Asked,
    /// The case as it was understood.
    pub case: CaseSummary,
    /// The constructs in the order given.
    pub constructs: Vec<Described>,
    /// The sample of a study of scatter that this is, for `scatter --sample`.
    pub sample: Option<SampleShown>,
    /// Displacements at which loads are reported, mm.
    pub marks: [f64; 3],
    /// Each construct against the first; empty unless compared.
    pub versus_first: Vec<Versus>,
    /// The tying orders of the construct, for `tie`; each state of a run as in `compare`, its bed without
    /// single cells.
    pub orders: Option<Told<Orders>>,
    /// The same orders against one input, for `tie` with sweeps.
    pub order_sweeps: Vec<OrderSweep>,
    /// Relaxation and cycles, for `settle`.
    pub settling: Option<Settling>,
    /// The answer in at most five lines, of `compare`, `tie`, `settle` and `check`.
    pub verdict: Vec<String>,
    /// The reading of the whole comparison; each construct has its own.
    pub reading: Vec<String>,
}

impl Document {
    /// A document of one run.
    pub fn new(asked: Asked, case: CaseSummary, constructs: Vec<Described>) -> Self {
        Self {
            schema: SCHEMA.to_owned(),
            version: env!("CARGO_PKG_VERSION").to_owned(),
            caution: CAUTION.to_owned(),
            asked,
            case,
            constructs,
            sample: None,
            marks: MARKS,
            versus_first: Vec::new(),
            orders: None,
            order_sweeps: Vec::new(),
            settling: None,
            verdict: Vec::new(),
            reading: Vec::new(),
        }
    }
}

/// What a document holds beside what all have.
pub trait Body: Serialize + JsonSchema {
    /// Version of its shape; it changes when a field changes its meaning or goes.
    const SCHEMA: &'static str;
}

/// A document of one study.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Envelope<T> {
    /// Name and version of the shape.
    pub schema: String,
    /// Version of the program.
    pub version: String,
    /// What this is and is not.
    pub caution: String,
    /// What it holds.
    #[serde(flatten)]
    pub body: T,
}

impl<T: Body> Envelope<T> {
    /// A document of what was found.
    pub fn new(body: T) -> Self {
        Self {
            schema: T::SCHEMA.to_owned(),
            version: env!("CARGO_PKG_VERSION").to_owned(),
            caution: CAUTION.to_owned(),
            body,
        }
    }

    /// The JSON Schema (draft 2020-12) of the document.
    pub fn schema() -> serde_json::Value {
        titled(schemars::schema_for!(Self), T::SCHEMA)
    }
}

fn titled(mut schema: schemars::Schema, title: &str) -> serde_json::Value {
    schema.insert("title".to_owned(), title.into());
    schema.to_value()
}

/// The JSON Schema (draft 2020-12) of the document of `check`, `compare`, `settle` and `tie`.
pub fn json_schema() -> serde_json::Value {
    titled(schemars::schema_for!(Document), SCHEMA)
}
