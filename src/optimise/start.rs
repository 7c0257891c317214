//! One start: a swarm, then simplices.

use super::{Judged, Plan, Watcher, swarm};
use rand_xoshiro::Xoshiro256PlusPlus;
use rand_xoshiro::rand_core::SeedableRng;
use schemars::JsonSchema;
use serde::Serialize;
use std::cell::RefCell;

/// Gain of a whole descent, relative to the cost and to the square of its edge, below which the next one
/// is smaller.
const SMALL_GAIN: f64 = 1e-2;
/// How much smaller the next simplex is.
const SMALLER: f64 = 0.4;
/// Penalty on the square of a violation, in costs of the best point, times the edge: the least merit is
/// then beyond a constraint by a small share of the edge, and the simplex still sees the cost along it.
const PENALTY: f64 = 10.0;

/// What a start came to.
#[derive(Debug, Clone, PartialEq)]
pub struct Start {
    /// Its best point; infeasible when it met no feasible one.
    pub best: Point,
    /// Points judged.
    pub evaluations: usize,
    /// Those of the swarm.
    pub in_swarm: usize,
    /// Simplices started.
    pub restarts: usize,
    /// Why it ended.
    pub stopped: EndedBy,
    /// Best feasible cost against evaluations, at each that was better.
    pub trace: Vec<Traced>,
}

/// Runs start number `k`.
pub(super) fn run<F: Fn(&[f64]) -> Judged>(
    k: usize,
    bounds: &[[f64; 2]],
    first: Option<&[f64]>,
    judge: &F,
    plan: &Plan,
    watch: &dyn Watcher,
) -> Start {
    let ledger = Ledger::new(bounds, judge, watch, plan.evaluations.max(1));
    let first = first.map(|first| ledger.unit(first));
    let mut rng = Xoshiro256PlusPlus::seed_from_u64(plan.seed);
    // 2^128 numbers on for each start: no two draw the same.
    (0..k).for_each(|_| rng.jump());
    if plan.particles > 0 {
        let sizes = (plan.particles, plan.rounds);
        swarm::run(&ledger, first.clone(), sizes, bounds.len(), rng);
    } else {
        let centre = vec![0.5; bounds.len()];
        let _ = ledger.judge(first.as_deref().unwrap_or(&centre));
    }
    let in_swarm = ledger.evaluations();
    let (mut edge, mut restarts) = (plan.edge, 0);
    let stopped = loop {
        if let Some(halt) = ledger.halt() {
            break halt;
        }
        if edge < plan.least_edge {
            break EndedBy::Settled;
        }
        let before = ledger.best();
        restarts += 1;
        if let Err(halt) = swarm::descend(&ledger, edge, PENALTY / edge, restarts) {
            break halt;
        }
        if !gained(before.map(|b| b.1), ledger.best().map(|b| b.1), edge) {
            edge *= SMALLER;
        }
    };
    let (at, judged) = ledger.best().unwrap_or_else(|| {
        // Ended before anything was judged.
        let middle = || vec![0.5; bounds.len()];
        (first.unwrap_or_else(middle), Judged::NONE)
    });
    Start {
        best: Point { at: ledger.real(&at), judged },
        evaluations: ledger.evaluations(),
        in_swarm,
        restarts,
        stopped,
        trace: ledger.trace(),
    }
}

/// Whether a descent was worth another of the same size.
fn gained(before: Option<Judged>, after: Option<Judged>, edge: f64) -> bool {
    match (before, after) {
        (Some(a), Some(b)) if a.is_feasible() && b.is_feasible() => {
            a.cost - b.cost > SMALL_GAIN * edge * edge * a.cost.abs().max(b.cost.abs())
        }
        (Some(a), Some(b)) if b.is_feasible() => !a.is_feasible(),
        (Some(a), Some(b)) => b.violation < 0.99 * a.violation,
        _ => false,
    }
}

// Every evaluation of a start goes through its ledger: it scales, counts, remembers and says when
// to end.

/// A point and what it is worth.
#[derive(Debug, Clone, PartialEq)]
pub struct Point {
    /// Where, in the units of the bounds.
    pub at: Vec<f64>,
    /// What it is worth.
    pub judged: Judged,
}

/// How far a start had come.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Traced {
    /// Evaluations so far.
    pub evaluations: usize,
    /// Best feasible cost so far.
    pub cost: f64,
}

/// Why a start ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum EndedBy {
    #[error("settled")]
    /// Simplices down to the least size gained no more.
    Settled,
    #[error("evaluations are spent")]
    /// Its evaluations were spent.
    Budget,
    #[error("an end was asked for")]
    /// Ctrl-C.
    Interrupted,
}

struct Book {
    evaluations: usize,
    best: Option<(Vec<f64>, Judged)>,
    trace: Vec<Traced>,
    halt: Option<EndedBy>,
}

/// The ledger of a start. Points are in the unit cube.
pub(super) struct Ledger<'a, F> {
    bounds: &'a [[f64; 2]],
    judge: &'a F,
    watch: &'a dyn Watcher,
    most: usize,
    book: RefCell<Book>,
}

impl<'a, F: Fn(&[f64]) -> Judged> Ledger<'a, F> {
    pub fn new(bounds: &'a [[f64; 2]], judge: &'a F, watch: &'a dyn Watcher, most: usize) -> Self {
        Self {
            bounds,
            judge,
            watch,
            most,
            book: RefCell::new(Book { evaluations: 0, best: None, trace: Vec::new(), halt: None }),
        }
    }

    /// A point of the unit cube in the units of the bounds; what is outside the cube is brought to
    /// its face.
    pub fn real(&self, unit: &[f64]) -> Vec<f64> {
        unit.iter()
            .zip(self.bounds)
            .map(|(u, [low, high])| if *u >= 1.0 { *high } else { low + u.max(0.0) * (high - low) })
            .collect()
    }

    /// The reverse.
    pub fn unit(&self, real: &[f64]) -> Vec<f64> {
        real.iter().zip(self.bounds).map(|(x, [low, high])| ((x - low) / (high - low)).clamp(0.0, 1.0)).collect()
    }

    pub fn judge(&self, unit: &[f64]) -> Result<Judged, EndedBy> {
        let halt = if self.watch.stops() {
            Some(EndedBy::Interrupted)
        } else if self.book.borrow().evaluations >= self.most {
            Some(EndedBy::Budget)
        } else {
            None
        };
        if let Some(halt) = halt {
            self.book.borrow_mut().halt = Some(halt);
            return Err(halt);
        }
        let real = self.real(unit);
        let judged = (self.judge)(&real);
        self.watch.judged(&real, &judged);
        let mut book = self.book.borrow_mut();
        book.evaluations += 1;
        let better = book.best.as_ref().is_none_or(|b| judged.beats(&b.1));
        if better {
            let inside: Vec<f64> = unit.iter().map(|u| u.clamp(0.0, 1.0)).collect();
            book.best = Some((inside, judged));
            if judged.is_feasible() {
                let evaluations = book.evaluations;
                book.trace.push(Traced { evaluations, cost: judged.cost });
            }
        }
        Ok(judged)
    }

    /// The best point so far, in the unit cube.
    pub fn best(&self) -> Option<(Vec<f64>, Judged)> {
        self.book.borrow().best.clone()
    }

    pub fn evaluations(&self) -> usize {
        self.book.borrow().evaluations
    }

    /// Evaluations that are left.
    pub fn left(&self) -> usize {
        self.most.saturating_sub(self.evaluations())
    }

    /// Marks the evaluations as spent.
    pub fn spent(&self) -> EndedBy {
        self.book.borrow_mut().halt = Some(EndedBy::Budget);
        EndedBy::Budget
    }

    pub fn halt(&self) -> Option<EndedBy> {
        self.book.borrow().halt
    }

    pub fn trace(&self) -> Vec<Traced> {
        self.book.borrow().trace.clone()
    }
}
