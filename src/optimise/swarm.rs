//! The swarm of a start.

use super::Judged;
use super::ledger::Ledger;
use argmin::core::{CostFunction, Error, Executor, PopulationState};
use argmin::solver::particleswarm::{Particle, ParticleSwarm};
use rand_xoshiro::Xoshiro256PlusPlus;
use rand_xoshiro::rand_core::RngCore;

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
