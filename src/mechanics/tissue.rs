//! Soft tissue and loads: the envelope, tethers and dead loads. Each adds its wrench about the
//! moved reference point, and its tangent.

use super::bed::add_block;
use super::pose::Pose;
use crate::math::{Mat3, Mat6, Vec3, Vec6, cross, inverse_left_jacobian, rotation_vector, stack};

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

    /// Stored energy, N·mm.
    pub fn energy(&self, pose: &Pose) -> f64 {
        0.5 * self.shift_stiffness * (pose.shift - self.rest.shift).norm_squared()
            + 0.5 * self.turn_stiffness * self.rotation(pose).norm_squared()
    }

    fn rotation(&self, pose: &Pose) -> Vec3 {
        rotation_vector(&(pose.turn * self.rest.turn.inverse()))
    }

    pub(super) fn add(&self, pose: &Pose, wrench: &mut Vec6, tangent: &mut Mat6) {
        *wrench += self.wrench(pose);
        let turning = inverse_left_jacobian(&self.rotation(pose));
        add_block(tangent, 0, 0, &(-Mat3::identity() * self.shift_stiffness));
        add_block(tangent, 3, 3, &(-turning * self.turn_stiffness));
    }
}

/// A tension-only spring with slack: an intact hinge, a labral continuity.
#[derive(Debug, Clone, PartialEq)]
pub struct Tether {
    /// Point on the reduced fragment, mm.
    pub fragment: Vec3,
    /// Point on the scapula, mm.
    pub scapula: Vec3,
    /// Stiffness, N/mm.
    pub stiffness: f64,
    /// Slack beyond the reduced length, mm.
    pub slack: f64,
}

impl Tether {
    /// Length beyond which it pulls, mm.
    pub fn free_length(&self) -> f64 {
        (self.scapula - self.fragment).norm() + self.slack
    }

    /// Its tension at `pose`, N.
    pub fn tension(&self, pose: &Pose, reference: &Vec3) -> f64 {
        let length = (self.scapula - pose.place(reference, &self.fragment)).norm();
        self.stiffness * (length - self.free_length()).max(0.0)
    }

    /// Stored energy, N·mm.
    pub fn energy(&self, pose: &Pose, reference: &Vec3) -> f64 {
        self.tension(pose, reference).powi(2) / (2.0 * self.stiffness)
    }

    /// Force on the fragment at `pose`, N, and its tangent by the place of the fragment's point.
    pub(super) fn force(&self, point: &Vec3) -> (Vec3, Mat3) {
        let line = self.scapula - point;
        let length = line.norm();
        let free = self.free_length();
        if length < free || length == 0.0 {
            let block = if free == 0.0 { -Mat3::identity() * self.stiffness } else { Mat3::zeros() };
            return (Vec3::zeros(), block);
        }
        let u = line / length;
        let tension = self.stiffness * (length - free);
        let along = u * u.transpose();
        let block = -along * self.stiffness - (Mat3::identity() - along) * (tension / length);
        (u * tension, block)
    }

    pub(super) fn add(&self, pose: &Pose, reference: &Vec3, wrench: &mut Vec6, tangent: &mut Mat6) {
        let point = pose.place(reference, &self.fragment);
        let arm = point - reference - pose.shift;
        let (force, block) = self.force(&point);
        add_point_force(&arm, &force, &block, wrench, tangent);
    }
}

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
    pub(super) fn add(&self, pose: &Pose, reference: &Vec3, factor: f64, wrench: &mut Vec6, tangent: &mut Mat6) {
        let arm = pose.turn * (self.point - reference);
        add_point_force(&arm, &(self.force * factor), &Mat3::zeros(), wrench, tangent);
    }
}

/// Adds a force at `arm` from the moved reference point, whose derivative by its place is `block`.
pub(super) fn add_point_force(arm: &Vec3, force: &Vec3, block: &Mat3, wrench: &mut Vec6, tangent: &mut Mat6) {
    let hat = cross(arm);
    *wrench += stack(force, &arm.cross(force));
    add_block(tangent, 0, 0, block);
    add_block(tangent, 0, 3, &(-block * hat));
    add_block(tangent, 3, 0, &(hat * block));
    add_block(tangent, 3, 3, &(-hat * block * hat + cross(force) * hat));
}
