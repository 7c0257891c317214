//! Differences of the residual, and what they may miss the tangent by.

use nalgebra::{DMatrix, DVector};
use rimhold::mechanics::{Controls, Motion, Rig, Solver, State};

/// Step of the central differences, mm. Their error falls with h² (curvature over lengths of 0.5 mm
/// and more: below 1e-7 relative) and their rounding grows with 1/h.
pub const STEP: f64 = 1e-4;

/// Step of one-sided differences and of whole rigs, mm: so short that few of some hundred cells
/// pass a kink on the way.
pub const SHORT: f64 = 1e-6;

/// Turns are stepped by this share (rad for mm), as points lie some 10 mm from the centre.
const LEVER: f64 = 0.1;

/// Residual and tangent with a fresh memory of slipping turns, so that nothing depends on the order
/// of calls.
pub fn linearise(rig: &Rig, state: &State, controls: &Controls) -> (DVector<f64>, DMatrix<f64>) {
    Solver::new(rig).linearise(state, controls)
}

/// The residual after a move.
pub fn moved(rig: &Rig, state: &State, controls: &Controls, by: &[f64]) -> DVector<f64> {
    let mut state = state.clone();
    state.nudge(by);
    linearise(rig, &state, controls).0
}

/// Rows that a constraint replaces by `unknown = 0`.
pub fn pinned(controls: &Controls, row: usize, size: usize) -> bool {
    let first = size - 7;
    match controls.motion {
        Motion::Free => row == size - 1,
        Motion::Held => row >= first,
        Motion::Push { guided: true, .. } => (first + 3..first + 6).contains(&row),
        Motion::Push { .. } => false,
    }
}

/// A unit move of unknown `j`, times `h`.
fn unit(size: usize, j: usize, h: f64) -> Vec<f64> {
    let mut by = vec![0.0; size];
    by[j] = h;
    by
}

/// What a comparison found.
#[derive(Debug, Default)]
pub struct Found {
    /// Largest error relative to the largest entry.
    pub worst: f64,
    /// Columns compared.
    pub columns: usize,
    /// Columns left out because a kink lies within the step.
    pub kinked: usize,
}

/// Compares the tangent with central differences of step `h`, element by element.
///
/// The difference at h/2 is compared; it may miss the tangent by its distance from the difference
/// at h (three times its own h² error) and by the rounding of forces and moments, taken as 400 units
/// in the last place of the largest force, moment or stiffness times a millimetre, over h.
///
/// A column whose two differences, or those of its two sides, disagree by more than 1e-6 of the largest entry, or
/// that agrees at a tenth of the step alone, has a kink within the step; it is counted and left out.
pub fn compare(name: &str, rig: &Rig, state: &State, controls: &Controls, h: f64) -> Found {
    let (residual, tangent) = linearise(rig, state, controls);
    let size = residual.len();
    let first = size - 7;
    let largest = tangent.amax().max(residual.amax()).max(1.0);
    let mut found = Found::default();
    for j in 0..size {
        let free = matches!(controls.motion, Motion::Free | Motion::Held);
        if j == size - 1 && free {
            continue;
        }
        let h = if (first + 3..first + 6).contains(&j) { h * LEVER } else { h };
        let central = |h: f64| {
            let ahead = moved(rig, state, controls, &unit(size, j, h));
            let behind = moved(rig, state, controls, &unit(size, j, -h));
            (ahead - behind) / (2.0 * h)
        };
        let (coarse, fine) = (central(h), central(0.5 * h));
        let rounding = 400.0 * f64::EPSILON * largest / h;
        // A kink at the very place changes both central differences alike; those of one side, freed of their
        // curvature, tell it.
        let ahead = |h: f64| (moved(rig, state, controls, &unit(size, j, h)) - &residual) / h;
        let side = |h: f64| ahead(0.5 * h) * 2.0 - ahead(h);
        let kinked = (side(h) - side(-h)).amax() > 1e-6 * largest + 8.0 * rounding;
        if kinked || (&coarse - &fine).amax() > 1e-6 * largest + rounding {
            found.kinked += 1;
            continue;
        }
        found.columns += 1;
        for i in 0..size {
            if pinned(controls, i, size) {
                let expected = if i == j { 1.0 } else { 0.0 };
                assert_eq!(tangent[(i, j)], expected, "{name}: pinned row {i}");
                continue;
            }
            let error = (fine[i] - tangent[(i, j)]).abs();
            found.worst = found.worst.max(error / largest);
            let allowed = (coarse[i] - fine[i]).abs() + rounding;
            // A wrong tangent is as wrong at a tenth of the step; one that is right there has kinks beyond.
            if error > allowed && (central(0.1 * h)[i] - tangent[(i, j)]).abs() < 0.1 * error {
                found.kinked += 1;
                found.columns -= 1;
                break;
            }
            assert!(
                error <= allowed,
                "{name}, row {i}, column {j} of {size}: difference {} tangent {} (allowed {allowed:e})",
                fine[i],
                tangent[(i, j)]
            );
        }
    }
    found
}

/// Compares and insists that no column was left out.
pub fn compare_all(name: &str, rig: &Rig, state: &State, controls: &Controls) {
    let found = compare(name, rig, state, controls, STEP);
    assert_eq!(found.kinked, 0, "{name}: a kink where none should be");
}

/// The one-sided derivative of the residual along a direction, to second order, and its allowance:
/// the third of h² times the third derivative (lengths of 0.5 mm and more), and the rounding of
/// forces and of places (times stiffness) over h.
pub fn one_sided(rig: &Rig, state: &State, controls: &Controls, direction: &[f64]) -> (DVector<f64>, f64) {
    let h = SHORT;
    let at = |s: f64| {
        let by: Vec<f64> = direction.iter().map(|d| d * s).collect();
        moved(rig, state, controls, &by)
    };
    let (here, near, far) = (at(0.0), at(h), at(2.0 * h));
    let (_, tangent) = linearise(rig, state, controls);
    let scale = here.amax().max(tangent.amax()).max(1.0);
    let slope = (near * 4.0 - here * 3.0 - far) / (2.0 * h);
    let rounding = 400.0 * f64::EPSILON * scale / h;
    let allowed = 1e-9 * slope.amax() + rounding;
    (slope, allowed)
}

/// At a kink: the tangent is the derivative along `own`, whereas along `other` the derivative is
/// another one than the tangent says.
pub fn kink(name: &str, rig: &Rig, state: &State, controls: &Controls, own: &[f64], other: &[f64]) {
    let (_, tangent) = linearise(rig, state, controls);
    let size = tangent.nrows();
    let miss = |direction: &[f64]| {
        let (slope, allowed) = one_sided(rig, state, controls, direction);
        let predicted = &tangent * DVector::from_column_slice(direction);
        let miss = (0..size)
            .filter(|i| !pinned(controls, *i, size))
            .map(|i| (slope[i] - predicted[i]).abs())
            .fold(0.0, f64::max);
        (miss, allowed, slope.amax().max(predicted.amax()))
    };
    let (error, allowed, _) = miss(own);
    assert!(error <= allowed, "{name}: {error:e} off on its own side (allowed {allowed:e})");
    let (error, _, scale) = miss(other);
    assert!(error > 0.01 * scale, "{name}: no kink here ({error:e} of {scale:e})");
}
