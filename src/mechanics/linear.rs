//! The linear system of a Newton step, solved in place: no allocation, sparse rows skipped.

/// A square system in row-major storage with its right-hand side.
#[derive(Debug, Clone)]
pub(super) struct LinearSystem {
    size: usize,
    rows: Vec<f64>,
    right: Vec<f64>,
}

/// A pivot this much smaller than the largest entry of its matrix is taken as zero: with forces
/// good to 1e-16 relative, nothing of the solution would be left.
const SINGULAR: f64 = 1e-13;

impl LinearSystem {
    pub fn new(size: usize) -> Self {
        Self {
            size,
            rows: vec![0.0; size * size],
            right: vec![0.0; size],
        }
    }

    pub fn clear(&mut self) {
        self.rows.fill(0.0);
        self.right.fill(0.0);
    }

    #[inline]
    pub fn add(&mut self, row: usize, column: usize, value: f64) {
        self.rows[row * self.size + column] += value;
    }

    #[inline]
    pub fn at(&self, row: usize, column: usize) -> f64 {
        self.rows[row * self.size + column]
    }

    /// Replaces a row by the equation `unknown = 0`.
    pub fn pin(&mut self, row: usize) {
        self.rows[row * self.size..(row + 1) * self.size].fill(0.0);
        self.rows[row * self.size + row] = 1.0;
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
        let n = self.size;
        let largest = self.rows.iter().fold(0.0f64, |m, v| m.max(v.abs()));
        if !largest.is_finite() || largest == 0.0 {
            return false;
        }
        for k in 0..n {
            let (mut pivot, mut best) = (k, 0.0);
            for i in k..n {
                let size = self.rows[i * n + k].abs();
                if size > best {
                    (pivot, best) = (i, size);
                }
            }
            if best <= SINGULAR * largest {
                return false;
            }
            if pivot != k {
                let (above, below) = self.rows.split_at_mut(pivot * n);
                above[k * n + k..(k + 1) * n].swap_with_slice(&mut below[k..n]);
                self.right.swap(k, pivot);
            }
            let (above, below) = self.rows.split_at_mut((k + 1) * n);
            let source = &above[k * n..];
            let inverse = 1.0 / source[k];
            for i in 0..n - k - 1 {
                let row = &mut below[i * n..(i + 1) * n];
                if row[k] == 0.0 {
                    continue;
                }
                let factor = row[k] * inverse;
                for (target, value) in row[k + 1..].iter_mut().zip(&source[k + 1..]) {
                    *target -= factor * value;
                }
                self.right[k + 1 + i] -= factor * self.right[k];
            }
        }
        for k in (0..n).rev() {
            let row = &self.rows[k * n..(k + 1) * n];
            let known: f64 = row[k + 1..]
                .iter()
                .zip(&self.right[k + 1..])
                .map(|(a, x)| a * x)
                .sum();
            self.right[k] = (self.right[k] - known) / row[k];
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
        let matrix = DMatrix::from_fn(n, n, |i, j| ((7 * i + 13 * j * j + i * j) as f64).sin());
        let right = DVector::from_fn(n, |i, _| (i as f64).cos());
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
        let mut singular = LinearSystem::new(2);
        for i in 0..2 {
            singular.add(i, 0, 1.0);
            singular.add(i, 1, 2.0);
        }
        assert!(!singular.solve());
    }
}
