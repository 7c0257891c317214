//! Stiffness of a tied fragment against shifts along its bed.

use super::result::Stiffness;
use super::tie::Tied;
use crate::case::Case;
use crate::math::{Mat6, Vec3};
use crate::mechanics::{Rig, Solver};
use nalgebra::{Matrix2, SMatrix};

/// The stiffness along the bed of a tied state: the inverse of the part along the bed of the
/// compliance, so that turns and lift follow freely. `None` when some motion meets no resistance.
pub fn stiffness(case: &Case, rig: &Rig, tied: &Tied) -> Option<Stiffness> {
    let whole = Solver::new(rig).condensed_stiffness(&tied.state, &tied.controls)?;
    let (along, down) = (case.fragment.along, case.fragment.down);
    along_bed(whole, &along, &down)
}

fn along_bed(whole: Mat6, along: &Vec3, down: &Vec3) -> Option<Stiffness> {
    let compliance = whole.try_inverse()?;
    let mut axes = SMatrix::<f64, 6, 2>::zeros();
    for (column, axis) in [along, down].into_iter().enumerate() {
        axes.fixed_view_mut::<3, 1>(0, column).copy_from(axis);
    }
    let inside: Matrix2<f64> = axes.transpose() * compliance * axes;
    let stiffness = inside.try_inverse()?;
    // Slip makes the tangent unsymmetric; loads for unit shifts all round still lie on an ellipse,
    // whose half axes are the singular values and whose directions are the left vectors.
    let parts = stiffness.svd(true, true);
    let left = parts.u?;
    let [most, least] = [parts.singular_values[0], parts.singular_values[1]];
    let way = |k: usize| {
        let v = left.column(k);
        // A direction of an ellipse has no sign; the larger component is written positive.
        let sign = if v[0].abs() >= v[1].abs() { v[0] } else { v[1] }.signum();
        [sign * v[0], sign * v[1]]
    };
    let finite = least.is_finite() && most.is_finite() && least > 0.0;
    finite.then(|| Stiffness {
        columns: [0, 1].map(|k| [stiffness[(0, k)], stiffness[(1, k)]]),
        least,
        least_toward: way(1),
        most,
        most_toward: way(0),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

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
        let found = along_bed(whole, &Vec3::y(), &Vec3::x()).unwrap();
        let expected = 1.0 / (1.0 / k + a * a / c);
        assert!((found.least - expected).abs() < 1e-9, "{found:?}");
        assert!((found.most - 2.0 * k).abs() < 1e-9);
        assert!((found.least_toward[0] - 1.0).abs() < 1e-12);
        assert!(along_bed(Mat6::zeros(), &Vec3::y(), &Vec3::x()).is_none());
    }
}
