//! Verification that a reader can run again: each check as plain data, the same for the program and
//! for its tests.
//!
//! A check compares what the engine gives with what is known from outside it (a closed form, another
//! solver, a theorem), or a calculation with itself (finer cells, shorter steps, other threads).

pub mod balance;
pub mod bound;
mod check;
pub mod closed_form;
pub mod cone;
mod minimum;
pub mod published;
pub mod refinement;
pub mod rigging;
pub mod scene;
mod suite;

pub use check::{Category, Check, Found, Relation, Sheet};
pub use minimum::minimum_of_energy;
pub use refinement::{Order, Refined, Series, Tolerated};
pub use scene::threads;
pub use suite::{Lost, Part, Verification, of, own, parts, run};
