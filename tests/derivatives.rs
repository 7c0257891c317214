//! Consistent tangents against differences of the residual: each element by itself, each kink from
//! its own side, and whole rigs on their way through tying and pushing.

#[path = "derivatives/difference.rs"]
mod difference;
#[path = "derivatives/elements.rs"]
mod elements;
#[path = "derivatives/kinks.rs"]
mod kinks;
#[path = "derivatives/rigs.rs"]
mod rigs;
#[path = "derivatives/whole.rs"]
mod whole;
