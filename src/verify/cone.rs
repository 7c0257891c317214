//! A second-order cone program, written row by row and solved by clarabel.

use clarabel::algebra::CscMatrix;
use clarabel::solver::{DefaultSettings, DefaultSolver, IPSolver, SolverStatus, SupportedConeT};

/// Minimise `½ xᵀ diag(quadratic) x + linearᵀ x` subject to rows `b − A x` in cones.
#[derive(Debug, Clone, Default)]
pub struct Program {
    quadratic: Vec<f64>,
    linear: Vec<f64>,
    rows: Vec<(Vec<(usize, f64)>, f64)>,
    cones: Vec<SupportedConeT<f64>>,
}

/// How far the solver came.
#[derive(Debug, Clone)]
pub struct Attempt {
    /// What it says of its answer.
    pub status: SolverStatus,
    /// The variables.
    pub x: Vec<f64>,
    /// The multiplier of each row, in the order in which the rows were written.
    pub multipliers: Vec<f64>,
}

impl Program {
    /// An empty program.
    pub fn new() -> Self {
        Self::default()
    }

    /// A new variable with its terms in the objective.
    pub fn variable(&mut self, quadratic: f64, linear: f64) -> usize {
        self.quadratic.push(quadratic);
        self.linear.push(linear);
        self.linear.len() - 1
    }

    /// Σ terms = value.
    pub fn equal(&mut self, terms: Vec<(usize, f64)>, value: f64) {
        self.rows.push((terms, value));
        self.cones.push(SupportedConeT::ZeroConeT(1));
    }

    /// Σ terms + constant ≥ 0.
    pub fn at_least_zero(&mut self, terms: &[(usize, f64)], constant: f64) {
        self.affine(terms, constant);
        self.cones.push(SupportedConeT::NonnegativeConeT(1));
    }

    /// The norm of all but the first of these affine expressions (terms, constant) is at most the
    /// first.
    pub fn norm_at_most_first(&mut self, expressions: &[(Vec<(usize, f64)>, f64)]) {
        for (terms, constant) in expressions {
            self.affine(terms, *constant);
        }
        self.cones.push(SupportedConeT::SecondOrderConeT(expressions.len()));
    }

    fn affine(&mut self, terms: &[(usize, f64)], constant: f64) {
        let negated = terms.iter().map(|(k, v)| (*k, -v)).collect();
        self.rows.push((negated, constant));
    }

    /// The solution to relative `tolerance`, with one thread.
    ///
    /// # Errors
    /// The status when there is none to be read: only a solved program has one.
    pub fn solve(self, tolerance: f64) -> Result<Vec<f64>, SolverStatus> {
        match self.attempt(tolerance) {
            Attempt { status: SolverStatus::Solved, x, .. } => Ok(x),
            other => Err(other.status),
        }
    }

    /// How far the solver came toward relative `tolerance`, with one thread.
    pub fn attempt(self, tolerance: f64) -> Attempt {
        let n = self.linear.len();
        let (mut i, mut j, mut v) = (Vec::new(), Vec::new(), Vec::new());
        for (row, (terms, _)) in self.rows.iter().enumerate() {
            for (column, value) in terms {
                i.push(row);
                j.push(*column);
                v.push(*value);
            }
        }
        let a = CscMatrix::new_from_triplets(self.rows.len(), n, i, j, v);
        let b: Vec<f64> = self.rows.iter().map(|row| row.1).collect();
        let all: Vec<usize> = (0..n).collect();
        let p = CscMatrix::new_from_triplets(n, n, all.clone(), all, self.quadratic);
        let settings = DefaultSettings {
            verbose: false,
            tol_gap_abs: tolerance,
            tol_gap_rel: tolerance,
            tol_feas: tolerance,
            max_threads: 1,
            ..DefaultSettings::default()
        };
        let Ok(mut solver) = DefaultSolver::new(&p, &self.linear, &a, &b, &self.cones, settings) else {
            return Attempt { status: SolverStatus::Unsolved, x: Vec::new(), multipliers: Vec::new() };
        };
        solver.solve();
        let solution = &solver.solution;
        Attempt { status: solution.status, x: solution.x.clone(), multipliers: solution.z.clone() }
    }
}
