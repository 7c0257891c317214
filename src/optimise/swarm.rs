//! The swarm of a start.

use super::Judged;
use super::start::{EndedBy, Ledger};
use argmin::core::{CostFunction, Error, Executor, PopulationState};
use argmin::solver::neldermead::NelderMead;
use argmin::solver::particleswarm::{Particle, ParticleSwarm};
use rand_xoshiro::Xoshiro256PlusPlus;
use rand_xoshiro::rand_core::RngCore;
use std::cell::RefCell;

/// Added to the violation of an infeasible point: far above any cost, which is squeezed below it.
const APART: f64 = 4.0;

/// One number that orders points as [`Judged::beats`] does: costs are squeezed into −1 to 1 without
/// losing their order, violations lie above.
fn ordered(judged: &Judged, scale: f64) -> f64 {
    if judged.is_feasible() {
        let cost = judged.cost / scale;
        // Odd, increasing, and straight near zero, where differences matter.
        cost / (1.0 + cost.abs())
    } else if judged.violation > 0.0 {
        APART + judged.violation
    } else {
        APART
    }
}

struct Cost<'a, 'b, F> {
    ledger: &'a Ledger<'b, F>,
    scale: f64,
}

impl<F: Fn(&[f64]) -> Judged> CostFunction for Cost<'_, '_, F> {
    type Param = Vec<f64>;
    type Output = f64;
    fn cost(&self, unit: &Vec<f64>) -> Result<f64, Error> {
        Ok(ordered(&self.ledger.judge(unit)?, self.scale))
    }
}

/// A number from 0 up to 1, of 53 bits.
fn uniform(rng: &mut Xoshiro256PlusPlus) -> f64 {
    (rng.next_u64() >> 11) as f64 / (1u64 << 53) as f64
}

/// Lets a swarm run over the cube; what it meets stands in the ledger. `first` is its first particle.
pub(super) fn run<F: Fn(&[f64]) -> Judged>(
    ledger: &Ledger<'_, F>,
    first: Option<Vec<f64>>,
    (particles, rounds): (usize, usize),
    dimensions: usize,
    mut rng: Xoshiro256PlusPlus,
) {
    let mut first = first;
    let mut laid = Vec::with_capacity(particles);
    for _ in 0..particles {
        let drawn: Vec<f64> = (0..dimensions).map(|_| uniform(&mut rng)).collect();
        // Half of what the box would allow: a swarm that leaps from wall to wall learns little.
        let velocity: Vec<f64> = (0..dimensions).map(|_| uniform(&mut rng) - 0.5).collect();
        let at = first.take().unwrap_or(drawn);
        let Ok(judged) = ledger.judge(&at) else {
            return;
        };
        laid.push((at, judged, velocity));
    }
    let scale = laid.iter().filter(|p| p.1.is_feasible()).map(|p| p.1.cost.abs()).fold(0.0, f64::max);
    let scale = if scale > 0.0 { scale } else { 1.0 };
    let population: Vec<Particle<Vec<f64>, f64>> =
        laid.into_iter().map(|(at, judged, velocity)| Particle::new(at, ordered(&judged, scale), velocity)).collect();
    let bounds = (vec![0.0; dimensions], vec![1.0; dimensions]);
    let solver = ParticleSwarm::new(bounds, particles).with_rng_generator(rng);
    // It ends early only when the ledger does, which says why.
    let _ = Executor::new(Cost { ledger, scale }, solver)
        .configure(|state: PopulationState<Particle<Vec<f64>, f64>, f64>| {
            state.population(population).max_iters(rounds as u64)
        })
        .run();
}

// One descent of a simplex.

/// Merit of a point that has no cost: above any other.
const NONE: f64 = 1e9;
/// Spread of merits over a simplex below which it has settled, as a share of the square of its first
/// edge, as costs vary near their least: a large simplex that creeps is better begun anew, smaller.
/// Never below the second, which costs that are themselves solved for cannot tell from nothing.
const SETTLED: [f64; 2] = [2e-2, 1e-12];
/// Halvings of the stretch from a feasible to an infeasible point: to a millionth of a small stretch.
const HALVINGS: usize = 14;

/// Step for the slope of a violation, as a share of the box.
const ASIDE: f64 = 1e-3;
/// How much longer than Newton's a step to a constraint is, and how many there are.
const TOO_LONG: f64 = 1.1;
const PULLS: usize = 5;

/// What a descent minimises.
struct Merit<'a, 'b, F> {
    ledger: &'a Ledger<'b, F>,
    scale: f64,
    penalty: f64,
    /// Whether any cost counts yet: before a feasible point is known, violations alone are descended.
    costs: bool,
    /// Corners judged already, until the solver has asked for each.
    corners: RefCell<Vec<(Vec<f64>, f64)>>,
    /// The point of least merit.
    least: RefCell<Option<(Vec<f64>, Judged, f64)>>,
}

impl<F: Fn(&[f64]) -> Judged> Merit<'_, '_, F> {
    fn of(&self, judged: &Judged) -> f64 {
        if !self.costs {
            return judged.violation;
        }
        if judged.cost.is_finite() {
            judged.cost / self.scale + self.penalty * judged.violation.powi(2)
        } else {
            NONE + judged.violation
        }
    }

    fn at(&self, unit: &[f64]) -> Result<f64, EndedBy> {
        let judged = self.ledger.judge(unit)?;
        // Outside the cube the nearest point of it is judged, and the way there is a violation too.
        let outside: f64 = unit.iter().map(|u| (u - u.clamp(0.0, 1.0)).abs()).sum();
        let merit = self.of(&judged) + self.penalty * outside.powi(2);
        let mut least = self.least.borrow_mut();
        if outside == 0.0 && least.as_ref().is_none_or(|l| merit < l.2) {
            *least = Some((unit.to_vec(), judged, merit));
        }
        Ok(merit)
    }
}

impl<F: Fn(&[f64]) -> Judged> CostFunction for &Merit<'_, '_, F> {
    type Param = Vec<f64>;
    type Output = f64;
    fn cost(&self, unit: &Vec<f64>) -> Result<f64, Error> {
        let known = self.corners.borrow().iter().position(|c| c.0 == *unit);
        if let Some(known) = known {
            return Ok(self.corners.borrow_mut().swap_remove(known).1);
        }
        Ok(self.at(unit)?)
    }
}

/// Descends from the best point of the ledger with a simplex of a given edge (share of the box), and
/// a penalty on the square of violations.
pub(super) fn descend<F: Fn(&[f64]) -> Judged>(
    ledger: &Ledger<'_, F>,
    edge: f64,
    penalty: f64,
    turn: usize,
) -> Result<(), EndedBy> {
    let Some((origin, judged)) = ledger.best() else {
        return Ok(());
    };
    let costs = judged.is_feasible();
    let merit = Merit {
        ledger,
        scale: if costs && judged.cost != 0.0 { judged.cost.abs() } else { 1.0 },
        penalty,
        costs,
        corners: RefCell::default(),
        least: RefCell::new(None),
    };
    let n = origin.len();
    let mut corners = vec![origin.clone()];
    for k in 0..n {
        let mut corner = origin.clone();
        // Turned about at each descent, and always into the box.
        let up = (turn + k).is_multiple_of(2);
        let step = if up { edge } else { -edge };
        corner[k] += if (0.0..=1.0).contains(&(corner[k] + step)) { step } else { -step };
        corners.push(corner);
    }
    // NelderMead judges its corners with an unwrap: a halt must not come there.
    for corner in &corners {
        let at = merit.at(corner)?;
        merit.corners.borrow_mut().push((corner.clone(), at));
    }
    let rest = ledger.left();
    if rest <= n + 2 {
        // Too little is left for a simplex: what was judged counts.
        return Err(ledger.spent());
    }
    // Expansion and shrinkage as Gao and Han (Comput Optim Appl 2012;51:259, from memory) set them for
    // many variables; argmin allows no contraction above one half.
    let many = n.max(2) as f64;
    let solver = NelderMead::new(corners)
        .with_sd_tolerance((SETTLED[0] * edge * edge).max(SETTLED[1]))
        .and_then(|s| s.with_gamma(1.0 + 2.0 / many))
        .and_then(|s| s.with_sigma(1.0 - 1.0 / many));
    let Ok(solver) = solver else {
        return Ok(());
    };
    let run = Executor::new(&merit, solver).configure(|state| state.max_iters(80 * n as u64)).run();
    if run.is_err()
        && let Some(halt) = ledger.halt()
    {
        return Err(halt);
    }
    let least = merit.least.borrow().clone();
    let (Some((below, judged, _)), Some((mut inside, best))) = (least, ledger.best()) else {
        return Ok(());
    };
    if costs && !judged.is_feasible() && judged.cost < best.cost {
        let mut outside = below;
        // From the least merit straight to the constraint; the best point so far lies along it, and the
        // stretch to there might miss what is feasible beside the least.
        if let Some(near) = pulled_in(ledger, &outside, judged.violation)? {
            inside = near;
        }
        // The feasible end is always a point that was judged so.
        for _ in 0..HALVINGS {
            let middle: Vec<f64> = inside.iter().zip(&outside).map(|(a, b)| 0.5 * (a + b)).collect();
            let judged = ledger.judge(&middle)?;
            if judged.is_feasible() {
                inside = middle;
            } else {
                outside = middle;
            }
        }
    }
    Ok(())
}

/// A feasible point beside an infeasible one: down the slope of the violation, by Newton's steps a
/// little too long. Absent when there is no slope, or it leads to none.
fn pulled_in<F: Fn(&[f64]) -> Judged>(
    ledger: &Ledger<'_, F>,
    from: &[f64],
    violation: f64,
) -> Result<Option<Vec<f64>>, EndedBy> {
    let mut slope = Vec::with_capacity(from.len());
    for k in 0..from.len() {
        let mut aside = from.to_vec();
        // Into the cube.
        let step = if aside[k] + ASIDE <= 1.0 { ASIDE } else { -ASIDE };
        aside[k] += step;
        slope.push((ledger.judge(&aside)?.violation - violation) / step);
    }
    let square: f64 = slope.iter().map(|s| s * s).sum();
    if !(square > 0.0 && square.is_finite()) {
        return Ok(None);
    }
    let (mut at, mut violation) = (from.to_vec(), violation);
    for _ in 0..PULLS {
        for (x, s) in at.iter_mut().zip(&slope) {
            *x = (*x - TOO_LONG * violation * s / square).clamp(0.0, 1.0);
        }
        let judged = ledger.judge(&at)?;
        if judged.is_feasible() {
            return Ok(Some(at));
        }
        violation = judged.violation;
    }
    Ok(None)
}
