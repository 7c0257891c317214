//! Results as text: tables for reading, JSON and CSV for machines, and a reading in plain sentences.
//!
//! Everything here is made from plain data and returns strings; nothing is printed or written.

mod case;
mod construct;
mod csv;
mod evidence;
mod json;
mod order_csv;
pub mod paper;
mod place_draws;
mod place_file;
mod place_moves;
mod place_slips;
mod place_table;
mod place_words;
mod reading;
mod repair;
mod scatter_file;
mod scatter_table;
mod scatter_words;
mod shares;
mod summary;
mod sweep_table;
mod sweep_words;
mod tie_names;
mod tie_reading;
mod tie_table;
mod verify_markdown;
mod verify_table;

pub use case::case_table;
pub use csv::{case_csv, curve_csv, result_csv};
pub use evidence::{AskedToVerify, VerifyDocument, verify_schema};
pub use json::{Asked, Described, Document, Drawn, SampleShown, Versus, json_schema};
pub use order_csv::order_csv;
pub use place_file::{Known, PlaceDocument, known_answer, place_csv, place_schema, placed_file};
pub use place_table::{place_table, variables_table};
pub use place_words::place_reading;
pub use reading::{compared, reading};
pub use repair::{compare_table, hold_table, push_table};
pub use scatter_file::{
    ScatterDocument, SweepDocument, inputs_csv, scatter_csv, scatter_schema, sweep_csv, sweep_schema,
};
pub use scatter_table::{replay_table, scatter_table};
pub use scatter_words::{scatter_methods, scatter_reading};
pub use summary::{CaseSummary, ConstructSummary};
pub use sweep_table::{inputs_table, sweep_table};
pub use sweep_words::sweep_reading;
pub use tie_reading::order_reading;
pub use tie_table::tie_table;
pub use verify_markdown::{evidence_page, published_markdown, verify_markdown};
pub use verify_table::{published_table, verify_table};

pub use crate::CAUTION;
pub use crate::show::Page;
pub(crate) use crate::show::terminal::WIDTH;
