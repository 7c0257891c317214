//! What a reader sees: figures and the report.

mod figures;
mod report;
