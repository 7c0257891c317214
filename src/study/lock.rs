//! Whether friction locks the fragment against a pull that is yet to come.
//!
//! Coulomb friction on a bed that is pressed by C and already bears the friction force f: a pull F
//! presses by F·(−n) on top of that and asks for the shear |F_t − f| in all, because f balances what
//! limbs, tissue and loads bring along the bed already. The fragment cannot follow by sliding bodily
//! while that stays below μ (C + F·(−n)). It may still spin, or slide where the pressure is uneven.
//! Once a screw is placed the question is idle, and is not asked: its shank holds sideways.

use super::result::Lock;
use crate::math::Vec3;
use crate::mechanics::{Solver, State};
use crate::model::{Construct, TieSpec};

/// What a bed bears: its normal into the fragment, friction coefficient, compression (N) and the
/// friction force on the fragment (N).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BedHold {
    /// Unit normal n.
    pub normal: Vec3,
    /// Friction coefficient μ.
    pub friction: f64,
    /// Compression, N.
    pub compression: f64,
    /// Friction force on the fragment, N.
    pub force: Vec3,
}

impl BedHold {
    /// The lock against a pull (its force on the fragment, N) of some limbs.
    pub fn against(&self, pull: &Vec3, limbs: Vec<String>) -> Lock {
        let square = pull.dot(&self.normal);
        let along = pull - self.normal * square;
        let capacity = (self.friction * (self.compression - square)).max(0.0);
        let needed = (along - self.force).norm();
        Lock { limbs, capacity, pull: along.norm(), needed, locked: needed < capacity }
    }
}

/// What the bed can hold at `state` against `next`, its limbs and screws pulled to their targets at
/// this pose.
pub(super) fn against(construct: &Construct, solver: &Solver<'_>, state: &State, next: &TieSpec) -> Lock {
    let rig = solver.rig();
    let (pressure, force) = solver.bed_forces(state);
    let limbs = next.limbs.iter().map(|&k| solver.unit_pull(state, k) * construct.limbs[k].tension);
    // A screw is drilled along the axis that it has in the fragment as that lies, and its head presses
    // that way.
    let heads = next.screws.iter().map(|&k| state.pose().turn * rig.screws[k].axis * construct.screws[k].preload);
    let pull = limbs.chain(heads).sum();
    let names = construct.names_of(next);
    let names = names.into_iter().map(str::to_owned).collect();
    BedHold { normal: rig.bed.normal(), friction: rig.bed.law.friction, compression: pressure.norm(), force }
        .against(&pull, names)
}
