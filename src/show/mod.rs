//! What a reader sees of results: figures, tables, pages.

pub(crate) mod chart;
pub mod figures;
mod prose;
pub mod report;
pub(crate) mod scene;
pub(crate) mod table;
pub(crate) mod terminal;
pub(crate) mod words;

pub use table::{Cell, Table};
pub use terminal::Page;
