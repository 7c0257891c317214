//! Seeking the least cost in a box under constraints: a generic driver that knows nothing of
//! fragments.
//!
//! Each start is a particle swarm over the whole box, then Nelder and Mead's simplex again and again
//! from the best point so far, in ever smaller steps (both argmin's). Variables are scaled to the
//! unit cube. Starts are independent of each other, run in parallel, and are collected in order, so
//! that digits do not depend on the number of threads.
//!
//! **Constraints.** A point is feasible when its violation is exactly zero, and what is infeasible
//! never beats what is feasible: the swarm compares costs of feasible points, violations of
//! infeasible ones, and any feasible one before any that is not. A simplex that compared like this
//! would collapse onto a constraint it meets; it descends `cost/scale + ρ violation²` instead, which is
//! smooth there and whose least value lies beyond the constraint by as little as ρ is large (the
//! quadratic penalty: Fletcher, Practical Methods of Optimization, 1987, chapter 12.1, from memory). ρ
//! grows as the simplex shrinks. Only feasible points are kept as answers: after each descent a least
//! point that is infeasible is brought in along the slope of its violation, and the stretch between is
//! bisected, so that an answer comes to lie on the constraint that holds it.

mod start;
mod swarm;

pub use start::Start;
pub use start::{EndedBy, Point, Traced};

use crate::par;

/// What a point is worth.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Judged {
    /// Cost, the less the better; not finite where there is none.
    pub cost: f64,
    /// By how much constraints are violated, zero or above: zero is feasible.
    pub violation: f64,
}

impl Judged {
    /// Worth nothing: what was not judged to its end.
    pub const NONE: Self = Self { cost: f64::NAN, violation: f64::INFINITY };

    /// Whether it can be an answer.
    pub fn is_feasible(&self) -> bool {
        self.violation == 0.0 && self.cost.is_finite()
    }

    /// Whether it is to be preferred.
    pub fn beats(&self, other: &Self) -> bool {
        match (self.is_feasible(), other.is_feasible()) {
            (true, true) => self.cost < other.cost,
            (true, false) => true,
            (false, true) => false,
            (false, false) => self.violation < other.violation,
        }
    }
}

/// How much to do.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Plan {
    /// Independent starts.
    pub starts: usize,
    /// Particles of each swarm; none: the simplex starts at once.
    pub particles: usize,
    /// Rounds of each swarm after its first.
    pub rounds: usize,
    /// Most evaluations of each start, the swarm's among them.
    pub evaluations: usize,
    /// First edge of the simplex, as a share of the box.
    pub edge: f64,
    /// Edge below which no further simplex is tried, as a share of the box.
    pub least_edge: f64,
    /// Seed: the same one gives the same answer.
    pub seed: u64,
}

impl Default for Plan {
    fn default() -> Self {
        Self { starts: 4, particles: 24, rounds: 16, evaluations: 1200, edge: 0.1, least_edge: 1e-3, seed: 1 }
    }
}

/// Someone who looks on while a study runs, from many threads: `()` when nobody does.
pub trait Watcher: Sync {
    /// A stage of so many steps begins: what is counted, e.g. `samples`.
    fn stage(&self, _steps: u64, _what: &'static str) {}

    /// A step of it is done; in a search, a piece of work beside it.
    fn step(&self) {}

    /// A point of a search was judged.
    fn judged(&self, _point: &[f64], _judged: &Judged) {}

    /// Whether to end now with what is complete. Once it is so, it stays so.
    fn stops(&self) -> bool {
        false
    }
}

/// Nobody.
impl Watcher for () {}

/// The same onlooker at work beside the search: told of it and asked for its end, but not of its costs,
/// which are not those of the search.
pub struct Beside<'a>(pub &'a dyn Watcher);

impl Watcher for Beside<'_> {
    fn judged(&self, _: &[f64], _: &Judged) {
        self.0.step();
    }

    fn step(&self) {
        self.0.step();
    }

    fn stops(&self) -> bool {
        self.0.stops()
    }
}

/// What came out.
#[derive(Debug, Clone, PartialEq)]
pub struct Found {
    /// The starts in order.
    pub starts: Vec<Start>,
    /// The start with the best answer; the earliest of equals.
    pub best: usize,
}

impl Found {
    /// The best point of all; infeasible when no feasible one was met.
    pub fn point(&self) -> &Point {
        &self.starts[self.best].best
    }

    /// Evaluations of all starts.
    pub fn evaluations(&self) -> usize {
        self.starts.iter().map(|s| s.evaluations).sum()
    }
}

/// Seeks the least cost. `bounds` are low and high ends with low below high; `first` is a point that the first start
/// begins with, if there is one.
pub fn seek<F>(bounds: &[[f64; 2]], first: Option<&[f64]>, judge: &F, plan: &Plan, watch: &dyn Watcher) -> Found
where
    F: Fn(&[f64]) -> Judged + Sync,
{
    assert!(!bounds.is_empty(), "nothing to seek");
    let starts: Vec<Start> = par::map(&(0..plan.starts.max(1)).collect::<Vec<_>>(), |&k| {
        start::run(k, bounds, first.filter(|_| k == 0), judge, plan, watch)
    });
    let mut best = 0;
    for (k, start) in starts.iter().enumerate() {
        if start.best.judged.beats(&starts[best].best.judged) {
            best = k;
        }
    }
    Found { starts, best }
}
