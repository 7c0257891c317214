//! Verification that a reader can run again: each check as plain data, the same for the program and
//! for its tests.
//!
//! A check compares what the engine gives with what is known from outside it (a closed form, another
//! solver, a theorem), or a calculation with itself (finer cells, shorter steps, other threads).

pub mod balance;
mod check;
pub mod closed_form;
pub mod refinement;
pub mod rigging;
mod series;

pub use check::{Category, Check, Found, Relation, Sheet};
pub use series::{Order, Quantity, Refined, Series};
