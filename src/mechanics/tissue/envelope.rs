//! The envelope: what is still attached all round.

use crate::math::{Mat3, Vec3, Vec6, add_block, inverse_left_jacobian, rotation_vector, stack};
use crate::mechanics::element::{At, Element, FRAGMENT};
use crate::mechanics::pose::Pose;
use crate::mechanics::solver::Balance;

/// Capsule, labrum and periosteum still attached: springs toward a rest pose.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Envelope {
    /// Translational stiffness, N/mm.
    pub shift_stiffness: f64,
    /// Rotational stiffness, N·mm/rad.
    pub turn_stiffness: f64,
    /// Pose at which it is at rest.
    pub rest: Pose,
}

impl Envelope {
    /// Wrench on the fragment at `pose`.
    pub fn wrench(&self, pose: &Pose) -> Vec6 {
        stack(&((self.rest.shift - pose.shift) * self.shift_stiffness), &(-self.rotation(pose) * self.turn_stiffness))
    }

    fn rotation(&self, pose: &Pose) -> Vec3 {
        rotation_vector(&(pose.turn * self.rest.turn.inverse()))
    }
}

impl Element for Envelope {
    fn add(&self, at: &At<'_>, balance: &mut Balance) {
        let pose = at.pose(FRAGMENT);
        let body = &mut balance.bodies[FRAGMENT];
        body.wrench += self.wrench(pose);
        let turning = inverse_left_jacobian(&self.rotation(pose));
        add_block(&mut body.tangent, 0, 0, &(-Mat3::identity() * self.shift_stiffness));
        add_block(&mut body.tangent, 3, 3, &(-turning * self.turn_stiffness));
    }

    fn energy(&self, at: &At<'_>, _: &mut Balance) -> f64 {
        let pose = at.pose(FRAGMENT);
        0.5 * self.shift_stiffness * (pose.shift - self.rest.shift).norm_squared()
            + 0.5 * self.turn_stiffness * self.rotation(pose).norm_squared()
    }

    fn wrench(&self, at: &At<'_>, _: &mut Balance) -> Vec6 {
        self.wrench(at.pose(FRAGMENT))
    }
}
