//! The concave face of the inferior socket.

use crate::math::Vec3;

/// The inferior socket: a best-fit circle that carries a spherical (or flat) face.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Socket {
    /// Radius R of the inferior circle, mm.
    pub radius: f64,
    /// Radius of curvature ρ of the face, mm; `None` is a flat face. Must exceed `radius`.
    pub face_radius: Option<f64>,
}

impl Socket {
    /// Height of the face (mm, lateral positive) at distance `r` (mm) from the socket's centre:
    /// `ρ − √(ρ² − r²)`, zero on a flat face. `r` beyond the sphere is held at its equator.
    pub fn face_height(&self, r: f64) -> f64 {
        match self.face_radius {
            None => 0.0,
            Some(rho) => rho - (rho * rho - r * r).max(0.0).sqrt(),
        }
    }

    /// Height of the rim, mm: the face at the circle's radius.
    pub fn rim_height(&self) -> f64 {
        self.face_height(self.radius)
    }

    /// Distance from the centre (mm) at which the face has height `z` (mm); zero for `z ≤ 0`.
    /// On a flat face every height above zero is beyond the face: infinity.
    pub fn radius_at_height(&self, z: f64) -> f64 {
        if z <= 0.0 {
            return 0.0;
        }
        match self.face_radius {
            None => f64::INFINITY,
            Some(rho) => (rho * rho - (rho - z).powi(2)).max(0.0).sqrt(),
        }
    }

    /// The point of the face above (x, y), mm.
    pub fn on_face(&self, x: f64, y: f64) -> Vec3 {
        Vec3::new(x, y, self.face_height(libm::hypot(x, y)))
    }
}
