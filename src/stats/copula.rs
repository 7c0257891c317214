//! Rank correlation between inputs, by a Gaussian copula.

use super::normal;
use nalgebra::{Cholesky, DMatrix};
use thiserror::Error;

/// A matrix of correlations that no set of inputs can have.
#[derive(Debug, Clone, PartialEq, Error)]
#[error(
    "the correlations contradict each other: their matrix has the eigenvalue {smallest:.3}, and none may be below zero"
)]
pub struct NotPositive {
    /// Smallest eigenvalue of the matrix of normal correlations.
    pub smallest: f64,
}

/// Pearson's correlation of two normal variates whose rank correlation (Spearman) is `rank`:
/// `2 sin(π ρ/6)`, exact (Kruskal, J Am Stat Assoc 1958;53:814).
pub fn pearson_of_rank(rank: f64) -> f64 {
    2.0 * libm::sin(std::f64::consts::PI / 6.0 * rank)
}

/// Makes independent uniforms dependent, so that pairs of them have given rank correlations.
///
/// Each stays uniform. An input that depends on others keeps its distribution but not its Latin strata.
#[derive(Debug, Clone)]
pub struct Copula {
    /// The inputs that take part.
    members: Vec<usize>,
    /// Lower factor of their correlation matrix.
    factor: DMatrix<f64>,
}

impl Copula {
    /// From pairs of inputs with their rank correlation; `None` when there are none.
    ///
    /// # Errors
    /// When the matrix is not positive definite.
    pub fn new(pairs: &[(usize, usize, f64)]) -> Result<Option<Self>, NotPositive> {
        if pairs.is_empty() {
            return Ok(None);
        }
        let mut members: Vec<usize> = pairs.iter().flat_map(|p| [p.0, p.1]).collect();
        members.sort_unstable();
        members.dedup();
        let mut matrix = DMatrix::identity(members.len(), members.len());
        let place = |k: usize| members.binary_search(&k).unwrap_or_default();
        for &(a, b, rank) in pairs {
            let (i, j) = (place(a), place(b));
            matrix[(i, j)] = pearson_of_rank(rank);
            matrix[(j, i)] = matrix[(i, j)];
        }
        // Rounding spoils a factor of a matrix that is only just positive, hence the margin.
        let smallest = matrix.symmetric_eigenvalues().min();
        match (smallest > 1e-9).then(|| Cholesky::new(matrix)).flatten() {
            Some(factor) => Ok(Some(Self { factor: factor.l(), members })),
            None => Err(NotPositive { smallest }),
        }
    }

    /// The inputs that take part, ascending.
    pub fn members(&self) -> &[usize] {
        &self.members
    }

    /// Replaces the members of a point of the unit cube.
    pub fn apply(&self, point: &mut [f64]) {
        let z: Vec<f64> = self.members.iter().map(|&k| normal::quantile(point[k])).collect();
        for (i, &k) in self.members.iter().enumerate() {
            let sum: f64 = (0..=i).map(|j| self.factor[(i, j)] * z[j]).sum();
            point[k] = normal::cdf(sum).clamp(1e-16, 1.0 - f64::EPSILON);
        }
    }
}
