//! Verification that a reader can run again: each check as plain data, the same for the program and
//! for its tests.
//!
//! A check compares what the engine gives with what is known from outside it (a closed form, another
//! solver, a theorem), or a calculation with itself (finer cells, shorter steps, other threads).

mod check;
pub mod closed_form;
pub mod rigging;

pub use check::{Category, Check, Found, Relation, Sheet};
