//! Stiffness of a tied fragment against shifts along its bed.

use super::result::Stiffness;
use crate::anatomy::Fragment;
use crate::math::{Mat6, Vec3, Vec6};
use nalgebra::{Matrix2, SMatrix};

/// Least stiffness of a motion against the stiffest, turns scaled by the bed's radius of gyration,
/// below which it counts as free: the tangent carries the rounding of sums of terms up to some
/// thousand times its own entries, 1e-13 relative; a hundredfold of that leaves two digits.
const FREE: f64 = 1e-11;

/// The stiffness along the bed from the condensed stiffness of a state: the inverse of the part along
/// the bed of the compliance, so that turns and lift follow freely. `None` when some motion meets no
/// resistance, or less than none.
pub(super) fn along_bed(whole: &Mat6, fragment: &Fragment, gyration: f64) -> Option<Stiffness> {
    let eigenvalues = scaled(whole, gyration).symmetric_eigenvalues();
    if eigenvalues.min() <= FREE * eigenvalues.max() {
        return None;
    }
    shifts(whole, &fragment.along, &fragment.down)
}

/// The symmetric part of a stiffness, turns scaled by the bed's radius of gyration.
pub(super) fn scaled(whole: &Mat6, gyration: f64) -> Mat6 {
    let turn = 1.0 / gyration;
    let scale = Mat6::from_diagonal(&Vec6::new(1.0, 1.0, 1.0, turn, turn, turn));
    scale * (whole + whole.transpose()) * 0.5 * scale
}

fn shifts(whole: &Mat6, along: &Vec3, down: &Vec3) -> Option<Stiffness> {
    let compliance = whole.try_inverse()?;
    let mut axes = SMatrix::<f64, 6, 2>::zeros();
    for (column, axis) in [along, down].into_iter().enumerate() {
        axes.fixed_view_mut::<3, 1>(0, column).copy_from(axis);
    }
    let inside: Matrix2<f64> = axes.transpose() * compliance * axes;
    let k = inside.try_inverse()?;
    // Slip makes the tangent unsymmetric; loads for unit shifts all round still lie on an ellipse,
    // whose half axes are the singular values and whose directions are the left vectors: of a turn
    // and a reflection that make the matrix up, the sum and the difference, and half the summed angles.
    let half = |a: f64, b: f64| 0.5 * (a + b);
    let turned = [half(k[(0, 0)], k[(1, 1)]), half(k[(1, 0)], -k[(0, 1)])];
    let mirrored = [half(k[(0, 0)], -k[(1, 1)]), half(k[(1, 0)], k[(0, 1)])];
    let [of_turn, of_mirror] = [turned, mirrored].map(|[x, y]| libm::hypot(x, y));
    let [most, least] = [of_turn + of_mirror, (of_turn - of_mirror).abs()];
    let (sin, cos) = libm::sincos(0.5 * (libm::atan2(turned[1], turned[0]) + libm::atan2(mirrored[1], mirrored[0])));
    let way = |v: [f64; 2]| {
        // A direction of an ellipse has no sign; the larger component is written positive.
        let sign = if v[0].abs() >= v[1].abs() { v[0] } else { v[1] }.signum();
        [sign * v[0], sign * v[1]]
    };
    Some(Stiffness {
        columns: [0, 1].map(|j| [k[(0, j)], k[(1, j)]]),
        least,
        least_toward: way([-sin, cos]),
        most,
        most_toward: way([cos, sin]),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::anatomy::{FragmentShape, Socket};

    #[test]
    fn springs_in_series_with_a_turn_are_softer() {
        // A spring k at a lever a from the reference point, its body on a turning spring c: a load at
        // the reference point feels k alone; one whose line passes the spring at a lever feels
        // 1/K = 1/k + a²/c (springs in series; handbook).
        let (k, c, a) = (100.0, 4000.0, 5.0);
        let mut whole = Mat6::from_diagonal_element(c);
        whole.fixed_view_mut::<3, 3>(0, 0).fill_with_identity();
        // Force along y at lever a along x: u_y + a·turn_z.
        whole[(1, 1)] = k;
        whole[(1, 5)] = k * a;
        whole[(5, 1)] = k * a;
        whole[(5, 5)] = c + k * a * a;
        whole[(0, 0)] = 2.0 * k;
        let found = shifts(&whole, &Vec3::y(), &Vec3::x()).unwrap();
        let expected = 1.0 / (1.0 / k + a * a / c);
        assert!((found.least - expected).abs() < 1e-9, "{found:?}");
        assert!((found.most - 2.0 * k).abs() < 1e-9);
        assert!((found.least_toward[0] - 1.0).abs() < 1e-12);
    }

    #[test]
    fn a_free_or_a_softening_motion_is_no_stiffness() {
        let socket = Socket { radius: 13.0, face_radius: Some(30.0) };
        let shape = FragmentShape { width: 6.0, direction: 0.0, depth: 9.0, tilt: 0.1, length: None };
        let fragment = Fragment::new(socket, shape).unwrap();
        let stiff = Mat6::from_diagonal_element(100.0);
        assert!(along_bed(&stiff, &fragment, 5.0).is_some());
        // Free along a direction of no axis, with the rounding of a computed tangent; and softening.
        let free = Vec6::new(1.0, 2.0, 3.0, 0.5, -0.5, 1.0).normalize();
        for (left, rounding) in [(0.0, 1e-14), (-0.01, 0.0)] {
            let lost = free * free.transpose() * (100.0 * (1.0 - left));
            let noise = Mat6::from_fn(|i, j| rounding * 100.0 * libm::sin((3 * i + 5 * j) as f64));
            assert!(along_bed(&(stiff - lost + noise), &fragment, 1.0).is_none());
        }
    }
}
