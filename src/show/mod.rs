//! What a reader sees of results: figures, tables, pages.

pub mod figures;
pub mod report;
