//! A pose of the rigid fragment: finite rotation and shift from the reduced one.

use crate::math::{Rotation, Vec3, Vec6, lower, rotation, rotation_vector, upper};

/// Where the fragment is: `x = reference + shift + turn · (X − reference)`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pose {
    /// Shift of the reference point from its reduced place, mm.
    pub shift: Vec3,
    /// Rotation from the reduced pose.
    pub turn: Rotation,
}

impl Default for Pose {
    fn default() -> Self {
        Self { shift: Vec3::zeros(), turn: Rotation::identity() }
    }
}

impl Pose {
    /// Where the material point `point` (mm, reduced) is now.
    #[inline]
    pub fn place(&self, reference: &Vec3, point: &Vec3) -> Vec3 {
        reference + self.shift + self.turn * (point - reference)
    }

    /// Moves by a twist (shift mm, turn rad): the rotation is multiplied from the left by
    /// `exp(turn)` and renormalised.
    pub fn advance(&mut self, twist: &Vec6) {
        self.shift += upper(twist);
        self.turn = rotation(&lower(twist)) * self.turn;
        self.turn.renormalize_fast();
    }

    /// The twist that leads from `earlier` to this pose.
    pub fn twist_from(&self, earlier: &Self) -> Vec6 {
        let turn = rotation_vector(&(self.turn * earlier.turn.inverse()));
        crate::math::stack(&(self.shift - earlier.shift), &turn)
    }
}
