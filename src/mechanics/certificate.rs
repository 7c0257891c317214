//! The certificate: evidence that a state is an equilibrium of the model, recomputed from the state.

use super::bed::BedTotals;
use super::element::At;
use super::rig::{Controls, State};
use super::solver::Solver;
use crate::math::most;
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
    /// Newton iterations, each with a tangent of its own, spent from the start of the study up to this state.
    pub iterations: usize,
}

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

impl Solver<'_> {
    /// The certificate of an accepted state under the controls that it was reached with.
    pub fn certify(&mut self, state: &State, controls: &Controls) -> Certificate {
        let bed = self.bed_totals(state);
        self.certify_with(state, controls, &bed)
    }

    /// The same for a caller that has read the bed's totals of this very state.
    pub(crate) fn certify_with(&mut self, state: &State, controls: &Controls, bed: &BedTotals) -> Certificate {
        let rig = self.rig();
        self.balance.weigh_with(rig, state, controls, &bed.wrench);
        let (net_force, net_moment, net_node_force) = self.balance.imbalance(controls);
        let mut certificate = Certificate {
            net_force,
            net_moment,
            net_node_force,
            largest_force: self.balance.largest,
            arm: rig.bed.gyration,
            least_pressure: bed.least_pressure.min(0.0),
            friction_excess: most(bed.friction_excess, 0.0),
            iterations: self.iterations,
            ..Certificate::default()
        };
        let (at, balance) = (At { rig, state, controls }, &self.balance);
        rig.all_but_bed(&mut |element| element.check(&at, balance, &mut certificate));
        certificate
    }
}
