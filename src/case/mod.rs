//! What a person types, checked into ready values. Units are converted at this border only.

mod model;

pub use model::*;
