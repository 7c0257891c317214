//! The one place for vector aliases and small algebra. Lengths mm, forces N, angles rad.

use nalgebra::{Matrix3, Matrix6, Quaternion, UnitQuaternion, Vector3, Vector6};

/// A point or vector in the socket frame (x anterior, y superior, z lateral).
pub type Vec3 = Vector3<f64>;
/// A 3 × 3 block of a tangent.
pub type Mat3 = Matrix3<f64>;
/// A wrench (force, moment) or a twist (shift, turn) on the fragment.
pub type Vec6 = Vector6<f64>;
/// The tangent of a wrench with respect to a twist.
pub type Mat6 = Matrix6<f64>;
/// A finite rotation of the fragment.
pub type Rotation = UnitQuaternion<f64>;

/// The matrix `[v]×` with `[v]× w = v × w`.
#[inline]
pub fn cross(v: &Vec3) -> Mat3 {
    Mat3::new(0.0, -v.z, v.y, v.z, 0.0, -v.x, -v.y, v.x, 0.0)
}

/// Stacks a force and a moment (or a shift and a turn).
#[inline]
pub fn stack(top: &Vec3, bottom: &Vec3) -> Vec6 {
    Vec6::new(top.x, top.y, top.z, bottom.x, bottom.y, bottom.z)
}

/// The greater of two numbers, and no number where one is none: `f64::max` would leave that out.
pub fn most(a: f64, b: f64) -> f64 {
    if a.is_nan() || a > b { a } else { b }
}

/// The force (or shift) part of a stacked vector.
#[inline]
pub fn upper(v: &Vec6) -> Vec3 {
    Vec3::new(v[0], v[1], v[2])
}

/// The moment (or turn) part of a stacked vector.
#[inline]
pub fn lower(v: &Vec6) -> Vec3 {
    Vec3::new(v[3], v[4], v[5])
}

/// The rotation by a rotation vector (axis times angle, rad).
pub fn rotation(vector: &Vec3) -> Rotation {
    let half = 0.5 * vector.norm();
    if half == 0.0 {
        return Rotation::identity();
    }
    let (sin, cos) = libm::sincos(half);
    Rotation::new_unchecked(Quaternion::from_parts(cos, vector * (0.5 * sin / half)))
}

/// The rotation vector (axis times angle, rad; at most π long) of a rotation.
pub fn rotation_vector(rotation: &Rotation) -> Vec3 {
    let along = if rotation.w >= 0.0 { rotation.imag() } else { -rotation.imag() };
    let sin = along.norm();
    if sin == 0.0 {
        return Vec3::zeros();
    }
    along / sin * (2.0 * libm::atan2(sin, rotation.w.abs()))
}

/// Angle between two vectors, rad; zero if either is zero.
pub fn angle_between(a: &Vec3, b: &Vec3) -> f64 {
    libm::atan2(a.cross(b).norm(), a.dot(b))
}

/// Inverse of the left Jacobian of the rotation group at the rotation vector `phi` (rad):
/// the change of the rotation vector is `J⁻¹ δθ` when the rotation is multiplied from the left by
/// `exp(δθ)`. Exact closed form; the series is used below 1e-4 rad, where its error is under 1e-17.
pub fn inverse_left_jacobian(phi: &Vec3) -> Mat3 {
    let angle = phi.norm();
    let hat = cross(phi);
    let k = if angle < 1e-4 {
        1.0 / 12.0 + angle * angle / 720.0
    } else {
        let half = 0.5 * angle;
        (1.0 - half / libm::tan(half)) / (angle * angle)
    };
    Mat3::identity() - hat * 0.5 + hat * hat * k
}

/// Any unit vector square to `v` (which need not be a unit vector, but must not be zero).
pub fn any_perpendicular(v: &Vec3) -> Vec3 {
    let axis = if v.x.abs() <= v.y.abs() && v.x.abs() <= v.z.abs() {
        Vec3::x()
    } else if v.y.abs() <= v.z.abs() {
        Vec3::y()
    } else {
        Vec3::z()
    };
    v.cross(&axis).normalize()
}

/// Adds a 3 × 3 block to a 6 × 6 tangent.
#[inline]
pub(crate) fn add_block(tangent: &mut Mat6, row: usize, column: usize, block: &Mat3) {
    let mut view = tangent.fixed_view_mut::<3, 3>(row, column);
    view += block;
}
