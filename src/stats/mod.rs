//! Doubt about inputs as mathematics: distributions, ways to sample them, rank correlation, and what
//! can be said of the answers: quantiles with standard errors, partial rank correlation, Sobol'
//! indices. Nothing here knows of fragments; every draw is a function of seed and number alone, so
//! that any sample can be made again without those before it.

mod copula;
mod distribution;
mod estimate;
mod indices;
pub mod normal;
mod rank;
mod sampler;

pub use copula::{Copula, NotPositive, pearson_of_rank};
pub use distribution::{Distribution, Shape};
pub use estimate::{Estimate, Z, exact_bound, mean, quantile, replicated, variance, wilson, win};
pub use indices::{BaseRun, REDRAWS, SobolIndex, sobol_indices};
pub use rank::{partial_rank_correlation, ranks, spearman};
pub use sampler::{Draws, MOST_SOBOL, MOST_SOBOL_INPUTS, Method, SplitMix64};
