//! Consistent tangents against differences of the residual: each element by itself, each kink from
//! its own side, and whole rigs on their way through tying and pushing.

mod difference;
mod elements;
mod kinks;
mod rigs;
mod whole;
