//! Distributions, samplers and statistics against closed forms, published test functions and an
//! independent library (statrs).

#[path = "chance/answers.rs"]
mod answers;
#[path = "chance/distributions.rs"]
mod distributions;
#[path = "chance/indices.rs"]
mod indices;
#[path = "chance/samplers.rs"]
mod samplers;
