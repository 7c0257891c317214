//! Distributions, samplers and statistics against closed forms, published test functions and an
//! independent library (statrs).

mod answers;
mod distributions;
mod indices;
mod samplers;
