//! One start: a swarm, then simplices.

use super::ledger::{Halt, Ledger, Point, Traced};
use super::{Judged, Plan, Watcher, simplex, swarm};
use rand_xoshiro::Xoshiro256PlusPlus;
use rand_xoshiro::rand_core::SeedableRng;

/// Gain of a whole descent, relative to the cost and to the square of its edge, below which the next one
/// is smaller.
const SMALL_GAIN: f64 = 1e-2;
/// How much smaller the next simplex is.
const SMALLER: f64 = 0.4;
/// Penalty on the square of a violation, in costs of the best point, times the edge: the least merit is
/// then beyond a constraint by a small share of the edge, and the simplex still sees the cost along it.
const PENALTY: f64 = 10.0;

/// Why a start ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stopped {
    /// Simplices down to the least edge gained no more.
    Settled,
    /// Its evaluations were spent.
    Budget,
    /// An end was asked for.
    Asked,
}

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
    pub stopped: Stopped,
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
            break ended(halt);
        }
        if edge < plan.least_edge {
            break Stopped::Settled;
        }
        let before = ledger.best();
        restarts += 1;
        if let Err(halt) = simplex::descend(&ledger, edge, PENALTY / edge, restarts) {
            break ended(halt);
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

fn ended(halt: Halt) -> Stopped {
    match halt {
        Halt::Budget => Stopped::Budget,
        Halt::Asked => Stopped::Asked,
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
