//! What a reader sees: figures and the report.

// A check compares to a tolerance: any processor's sine will do.
#![allow(clippy::disallowed_methods)]

mod figures;
mod report;
