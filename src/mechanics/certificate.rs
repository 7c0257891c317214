//! The certificate: evidence that a state is an equilibrium of the model, recomputed from the state.

use super::bed::CellLoad;
use super::equilibrium::Solver;
use super::limb::Strand;
use super::rig::{Controls, State};
use schemars::JsonSchema;
use serde::Serialize;

/// The evidence that a state is an equilibrium of the model. Carried by every result.
///
/// What can fail are the balances and `capstan_excess`. Pressures, shears, tensions and pulls of heads
/// are read back from laws that keep their limits by construction; they would show a law that was
/// changed for the worse.
#[derive(Debug, Clone, Default, PartialEq, Serialize, JsonSchema)]
pub struct Certificate {
    /// Net force on the fragment, N; at most 1e-6 or 1e-8 of the largest force.
    pub net_force: f64,
    /// Net moment on the fragment about its reference point, N·mm; at most 1e-5 or 1e-8 of the
    /// largest force times the bed's radius of gyration.
    pub net_moment: f64,
    /// Largest net force on an anchor or bite, N; same limit as `net_force`.
    pub net_node_force: f64,
    /// The largest single force in the balance, N: the scale of the relative limits.
    pub largest_force: f64,
    /// The bed's radius of gyration, mm: the lever of the relative limit on moments.
    pub arm: f64,
    /// Most negative cell pressure, MPa; never below zero.
    pub least_pressure: f64,
    /// Largest excess of a cell's shear over its friction limit, MPa; at most 1e-9.
    pub friction_excess: f64,
    /// Least strand tension, N; never below zero.
    pub least_tension: f64,
    /// Least pull of a screw's head, N; never below zero.
    pub least_head: f64,
    /// Largest excess of a tension over its capstan bound, relative to that tension (or to 1 N, if
    /// that is more); at most 1e-9. At least 1 where no sharing of material was found that keeps every
    /// bound and runs nowhere against its pull.
    pub capstan_excess: f64,
    /// Newton iterations spent from the start of the study up to this state.
    pub iterations: usize,
}

/// Tension (N) below which the excess over a capstan bound is no longer taken relative to it: a tension
/// carries the rounding of lengths times EA, up to some 1e-10 N, and on the verge of slack no ratio.
const LEAST_SCALE: f64 = 1.0;

impl Certificate {
    /// Net force that a state may always keep, N.
    pub const NET_FORCE: f64 = 1e-6;
    /// Net moment that a state may always keep, N·mm.
    pub const NET_MOMENT: f64 = 1e-5;
    /// Share of its largest force that a net force may be instead, where that is more; of that force
    /// times the bed's radius of gyration for a net moment.
    pub const SHARE: f64 = 1e-8;
    /// Shear of a cell that may lie beyond its friction limit, MPa.
    pub const FRICTION_EXCESS: f64 = 1e-9;
    /// Excess of a tension over its capstan bound, relative to that tension (or to 1 N).
    pub const CAPSTAN_EXCESS: f64 = 1e-9;

    /// The most that a net force of this state may be, N.
    pub fn force_limit(&self) -> f64 {
        (Self::SHARE * self.largest_force).max(Self::NET_FORCE)
    }

    /// The most that the net moment of this state may be, N·mm.
    pub fn moment_limit(&self) -> f64 {
        (Self::SHARE * self.largest_force * self.arm).max(Self::NET_MOMENT)
    }

    /// Whether every limit is kept.
    pub fn holds(&self) -> bool {
        self.net_force <= self.force_limit()
            && self.net_node_force <= self.force_limit()
            && self.net_moment <= self.moment_limit()
            && self.least_pressure >= 0.0
            && self.friction_excess <= Self::FRICTION_EXCESS
            && self.least_tension >= 0.0
            && self.least_head >= 0.0
            && self.capstan_excess <= Self::CAPSTAN_EXCESS
    }
}

/// The bed's part of a certificate, gathered cell by cell.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct BedCheck {
    least_pressure: f64,
    friction_excess: f64,
}

impl BedCheck {
    /// Looks at one cell's load under the friction coefficient `friction`.
    pub fn add(&mut self, load: &CellLoad, friction: f64) {
        let shear = (load.shear[0].powi(2) + load.shear[1].powi(2)).sqrt();
        self.least_pressure = self.least_pressure.min(load.pressure);
        self.friction_excess = self.friction_excess.max(shear - friction * load.pressure);
    }
}

impl Solver<'_> {
    /// The certificate of an accepted state under the controls that it was reached with.
    pub fn certify(&mut self, state: &State, controls: &Controls) -> Certificate {
        let rig = self.rig();
        let mut check = BedCheck::default();
        for load in rig.bed.loads(state.pose(), &rig.reference, &state.slip) {
            check.add(&load, rig.bed.law.friction);
        }
        self.certify_with(state, controls, &check)
    }

    /// The same with the bed's part already gathered, for a caller that has gone over the cells.
    pub fn certify_with(&mut self, state: &State, controls: &Controls, bed: &BedCheck) -> Certificate {
        let rig = self.rig();
        self.system.weigh(rig, state, controls, None);
        let (net_force, net_moment, net_node_force) = self.system.imbalance(controls);
        let mut certificate = Certificate {
            net_force,
            net_moment,
            net_node_force,
            largest_force: self.system.largest,
            arm: rig.bed.gyration,
            least_pressure: bed.least_pressure,
            friction_excess: bed.friction_excess,
            least_tension: 0.0,
            least_head: 0.0,
            capstan_excess: 0.0,
            iterations: self.iterations,
        };
        for k in 0..rig.screws.len() {
            let pull = self.screw_report(state, controls, k).axial;
            certificate.least_head = certificate.least_head.min(pull);
        }
        for (k, limb) in rig.limbs.iter().enumerate() {
            if state.strands[k] == Strand::Loose {
                continue;
            }
            let work = &self.system.limbs[k];
            if !work.strands.settled {
                certificate.capstan_excess = certificate.capstan_excess.max(1.0);
            }
            let n = limb.segments();
            let tension = &work.strands.tension[..n];
            for value in tension {
                certificate.least_tension = certificate.least_tension.min(*value);
            }
            // While a closed strand is pulled, the turn beside its tie end is where the pull enters.
            let turns = if limb.closed && state.strands[k] == Strand::Pulled { limb.turns() - 1 } else { limb.turns() };
            for j in 0..turns {
                let (a, b) = (tension[j], tension[(j + 1) % n]);
                if work.bounds[j].is_finite() && a.max(b) > 0.0 {
                    let beyond = a.max(b) - a.min(b) * libm::exp(work.bounds[j]);
                    let excess = beyond / a.max(b).max(LEAST_SCALE);
                    certificate.capstan_excess = certificate.capstan_excess.max(excess);
                }
            }
        }
        certificate
    }
}
