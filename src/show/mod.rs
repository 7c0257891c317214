//! What a reader sees of results: figures, tables, pages.

mod chart;
pub mod figures;
pub mod report;
mod scene;
