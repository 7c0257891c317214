//! The linear system of a Newton step, solved in place: no allocation, sparse rows skipped.

use crate::math::Mat3;
use crate::mechanics::lane::{Lane, SUMMED, Wide};
use pulp::{Arch, Simd, WithSimd};

/// A square system in row-major storage with its right-hand side. Rows are filled up with zeros, so
/// that they can be gone over in lanes.
#[derive(Debug, Clone)]
pub(crate) struct LinearSystem {
    size: usize,
    stride: usize,
    rows: Vec<f64>,
    right: Vec<f64>,
    /// Row that was exchanged with row k when unknown k was eliminated.
    pivots: Vec<usize>,
    /// What was taken off every row below, unknown by unknown.
    factors: Vec<f64>,
    /// Whether the rows are those of an eliminated matrix.
    eliminated: bool,
}

/// A pivot this much smaller than the largest entry of its matrix is taken as zero: with forces
/// good to 1e-16 relative, nothing of the solution would be left.
const SINGULAR: f64 = 1e-13;

impl LinearSystem {
    pub fn new(size: usize) -> Self {
        let stride = size.next_multiple_of(SUMMED);
        Self {
            size,
            stride,
            rows: vec![0.0; size * stride],
            right: vec![0.0; size],
            pivots: vec![0; size],
            factors: vec![0.0; size * size],
            eliminated: false,
        }
    }

    pub fn clear(&mut self) {
        self.rows.fill(0.0);
        self.right.fill(0.0);
        self.eliminated = false;
    }

    #[inline]
    pub fn add(&mut self, row: usize, column: usize, value: f64) {
        self.rows[row * self.stride + column] += value;
    }

    /// Adds a 3 × 3 block.
    #[inline]
    pub fn add_block(&mut self, row: usize, column: usize, block: &Mat3) {
        for i in 0..3 {
            for j in 0..3 {
                self.add(row + i, column + j, block[(i, j)]);
            }
        }
    }

    #[inline]
    pub fn at(&self, row: usize, column: usize) -> f64 {
        self.rows[row * self.stride + column]
    }

    /// Replaces a row by the equation `unknown = 0`.
    pub fn pin(&mut self, row: usize) {
        self.rows[row * self.stride..(row + 1) * self.stride].fill(0.0);
        self.rows[row * self.stride + row] = 1.0;
        self.right[row] = 0.0;
    }

    #[inline]
    pub fn right(&self) -> &[f64] {
        &self.right
    }

    #[inline]
    pub fn right_mut(&mut self) -> &mut [f64] {
        &mut self.right
    }

    /// Gaussian elimination with row pivoting; the solution replaces the right-hand side.
    /// False when the matrix is singular to working precision.
    pub fn solve(&mut self) -> bool {
        self.eliminated = Arch::new().dispatch(Elimination(self));
        if self.eliminated {
            self.solve_again();
        }
        self.eliminated
    }

    /// Whether a matrix has been eliminated that can be used again.
    pub fn is_eliminated(&self) -> bool {
        self.eliminated
    }

    /// Solves for another right-hand side with the matrix as it was last eliminated.
    pub fn solve_again(&mut self) {
        debug_assert!(self.eliminated);
        let Self { size: n, stride, rows, right, pivots, factors, .. } = self;
        for k in 0..*n {
            right.swap(k, pivots[k]);
            let (done, open) = right.split_at_mut(k + 1);
            for (right, factor) in open.iter_mut().zip(&factors[k * *n + k + 1..(k + 1) * *n]) {
                *right -= factor * done[k];
            }
        }
        for k in (0..*n).rev() {
            let row = &rows[k * *stride..][..*n];
            let known: f64 = row[k + 1..].iter().zip(&right[k + 1..]).map(|(a, x)| a * x).sum();
            right[k] = (right[k] - known) / row[k];
        }
    }
}

struct Elimination<'a>(&'a mut LinearSystem);

impl WithSimd for Elimination<'_> {
    type Output = bool;

    #[inline(always)]
    fn with_simd<S: Simd>(self, simd: S) -> bool {
        let LinearSystem { size, stride, rows, pivots, factors, .. } = self.0;
        let (n, stride) = (*size, *stride);
        // Every entry is worked on by itself, so registers of any width give the same digits.
        let lane = |value: &[S::f64s; 1]| Wide::<S, 1>::unpack(simd, *value);
        let mut most = Wide::of(simd, 0.0);
        for value in Wide::<S, 1>::column(rows) {
            most = lane(value).abs().max(most);
        }
        let largest = simd.reduce_max_f64s(most.pack()[0]);
        if !largest.is_finite() || largest == 0.0 {
            return false;
        }
        for k in 0..n {
            let (mut pivot, mut best) = (k, 0.0);
            for i in k..n {
                let size = rows[i * stride + k].abs();
                if size > best {
                    (pivot, best) = (i, size);
                }
            }
            if best <= SINGULAR * largest {
                return false;
            }
            // What lies left of the pivot within its lanes is never read again.
            let first = k / S::F64_LANES * S::F64_LANES;
            pivots[k] = pivot;
            if pivot != k {
                let (above, below) = rows.split_at_mut(pivot * stride);
                above[k * stride + first..(k + 1) * stride].swap_with_slice(&mut below[first..stride]);
            }
            let (above, below) = rows.split_at_mut((k + 1) * stride);
            let source = &above[k * stride..];
            let inverse = 1.0 / source[k];
            let source = Wide::<S, 1>::column(&source[first..]);
            for (row, kept) in below.chunks_exact_mut(stride).zip(&mut factors[k * n + k + 1..(k + 1) * n]) {
                let factor = row[k] * inverse;
                *kept = factor;
                if factor == 0.0 {
                    continue;
                }
                let minus = Wide::of(simd, -factor);
                for (target, value) in Wide::<S, 1>::column_mut(&mut row[first..]).iter_mut().zip(source) {
                    *target = lane(target).plus_product(minus, lane(value)).pack();
                }
            }
        }
        true
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use nalgebra::{DMatrix, DVector};

    #[test]
    fn agrees_with_nalgebra_and_refuses_singular_matrices() {
        let n = 9;
        let matrix = DMatrix::from_fn(n, n, |i, j| libm::sin((7 * i + 13 * j * j + i * j) as f64));
        let right = DVector::from_fn(n, |i, _| libm::cos(i as f64));
        let reference = matrix.clone().lu().solve(&right).unwrap();
        let mut system = LinearSystem::new(n);
        for i in 0..n {
            for j in 0..n {
                system.add(i, j, matrix[(i, j)]);
            }
        }
        system.right_mut().copy_from_slice(right.as_slice());
        assert!(system.solve());
        for (own, theirs) in system.right().iter().zip(&reference) {
            // Both are backward stable; the condition number here is below 1e3.
            assert!((own - theirs).abs() < 1e-12);
        }
        // Once more with another right-hand side: the same rows are exchanged and the same taken off.
        let other = right.map(|value| value * value - 0.3);
        let reference = matrix.lu().solve(&other).unwrap();
        system.right_mut().copy_from_slice(other.as_slice());
        system.solve_again();
        for (own, theirs) in system.right().iter().zip(&reference) {
            assert!((own - theirs).abs() < 1e-12);
        }
        let mut singular = LinearSystem::new(2);
        for i in 0..2 {
            singular.add(i, 0, 1.0);
            singular.add(i, 1, 2.0);
        }
        assert!(!singular.solve());
    }
}
