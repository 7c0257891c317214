//! A dead load: a force that keeps its size and direction.

use crate::math::{Vec3, Vec6, stack};
use crate::mechanics::element::{At, Element, FRAGMENT, Point};
use crate::mechanics::rig::Controls;
use crate::mechanics::solver::Balance;

/// A constant force at a fragment point.
#[derive(Debug, Clone, PartialEq)]
pub struct DeadLoad {
    /// Point on the reduced fragment, mm.
    pub point: Vec3,
    /// Force, N.
    pub force: Vec3,
    /// Whether it already acts while limbs are tied; otherwise it comes on afterwards.
    pub during_tying: bool,
}

impl DeadLoad {
    /// The force as far as it has come on, N.
    pub(crate) fn present(&self, controls: &Controls) -> Vec3 {
        self.force * if self.during_tying { 1.0 } else { controls.late_loads }
    }

    fn arm(&self, at: &At<'_>) -> Vec3 {
        at.pose(FRAGMENT).turn * (self.point - at.rig.reference)
    }
}

impl Element for DeadLoad {
    fn add(&self, at: &At<'_>, balance: &mut Balance) {
        let force = self.present(at.controls);
        balance.force(Point::Body(FRAGMENT, self.arm(at)), &force);
        balance.note(force.norm());
    }

    fn energy(&self, _: &At<'_>, _: &mut Balance) -> f64 {
        0.0
    }

    fn wrench(&self, at: &At<'_>, _: &mut Balance) -> Vec6 {
        let force = self.present(at.controls);
        stack(&force, &self.arm(at).cross(&force))
    }
}
