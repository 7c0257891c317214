//! What a reader sees of results: figures, tables, pages.

mod chart;
pub mod figures;
mod prose;
pub mod report;
mod scene;
pub(crate) mod table;
pub(crate) mod terminal;
pub(crate) mod words;

pub use table::{Cell, Table};
pub use terminal::Page;
