//! A tether: a band of tissue from a point of the fragment to a point of the scapula.

use crate::math::{Mat3, Vec3, Vec6, stack};
use crate::mechanics::element::{At, Element, FRAGMENT, Point};
use crate::mechanics::pose::Pose;
use crate::mechanics::solver::Balance;

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

    /// Force on the fragment at `pose`, N, and its tangent by the place of the fragment's point.
    pub(crate) fn force(&self, point: &Vec3) -> (Vec3, Mat3) {
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
}

impl Element for Tether {
    fn add(&self, at: &At<'_>, balance: &mut Balance) {
        let point = at.place(FRAGMENT, &self.fragment);
        let (force, block) = self.force(&point);
        balance.push(Point::Body(FRAGMENT, point - at.centre(FRAGMENT)), &force, &block);
    }

    fn energy(&self, at: &At<'_>, _: &mut Balance) -> f64 {
        self.tension(at.pose(FRAGMENT), &at.rig.reference).powi(2) / (2.0 * self.stiffness)
    }

    fn wrench(&self, at: &At<'_>, _: &mut Balance) -> Vec6 {
        let point = at.place(FRAGMENT, &self.fragment);
        let force = self.force(&point).0;
        stack(&force, &(point - at.centre(FRAGMENT)).cross(&force))
    }
}
