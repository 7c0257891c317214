//! Results as text: tables for reading, JSON and CSV for machines, and a reading in plain sentences.
//!
//! Everything here is made from plain data and returns strings; nothing is printed or written.

mod budget;
mod case;
mod construct;
mod csv;
mod drill;
mod joint;
mod json;
mod lose;
pub mod paper;
mod place;
mod reading;
mod repair;
mod scatter;
mod settle;
mod shares;
mod summary;
mod sweep;
mod tie;
mod verdict;
mod verify;

pub(crate) use budget::budget_tables;
pub use budget::{BudgetBody, budget_full, budget_short, budget_table};
pub use case::{case_defaults, case_short};
pub use csv::{case_csv, curve_csv, order_csv, result_csv};
pub use drill::{
    DrillBody, drill_bridges, drill_csv, drill_holes, drill_limits, drill_portals, drill_reading, drill_remedies,
    drill_short, drill_strands, drill_table, drill_violations, drill_warning,
};
pub(crate) use drill::{drill_tables, worst_of, worst_short};
pub use joint::{JointBody, LEFT_OUT, joint_short, joint_slides, joint_states, joint_table};
pub use json::{Asked, Body, Described, Document, Drawn, Envelope, SampleShown, Told, Versus, json_schema};
pub use lose::{LoseBody, lose_csv, lose_full, lose_short, lose_table};
pub(crate) use lose::{lose_tables, lost as lost_words, parts as parts_lost};
pub use place::{
    Known, PlaceBody, known_answer, place_csv, place_reading, place_short, place_table, placed_file, variables_table,
};
pub use reading::{compared, reading};
pub use repair::{compare_full, compare_short, hold_table, push_table};
pub use scatter::{
    ScatterBody, replay_table, scatter_csv, scatter_methods, scatter_reading, scatter_short, scatter_table,
};
pub use settle::{settle_cycles, settle_losses, settle_short, settle_table};
#[cfg(feature = "cli")]
pub(crate) use shares::sharing;
pub use summary::{CaseSummary, ConstructSummary};
pub use sweep::{SweepBody, inputs_csv, inputs_table, sweep_csv, sweep_reading, sweep_table};
pub use tie::{order_reading, tie_short, tie_table};
pub use verdict::Verdict;
pub use verify::{
    AskedToVerify, VerifyBody, evidence_page, published_markdown, published_short, published_table, verify_markdown,
    verify_short, verify_table,
};

pub use crate::CAUTION;
pub use crate::show::Page;
