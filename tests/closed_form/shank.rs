//! A screw's shank as a beam on an elastic foundation. Sources: Hetényi, Beams on Elastic Foundation
//! (1946): semi-infinite beam loaded at its end, y = 2Pλ/k + 2Mλ²/k (in magnitude), slope 2Pλ²/k + 4Mλ³/k;
//! a rigid rod on Winkler's foundation by statics; and, for lengths between, Hermite beam elements with
//! their consistent foundation matrix (any text on the finite-element method), which know nothing of
//! those formulas.

use crate::closed_form::rigging::{SHANK, all_pass, near};
use nalgebra::{DMatrix, DVector, Matrix2, Vector2};
use rimhold::math::Vec3;
use rimhold::mechanics::{Screw, Shank, Stiffness};
use rimhold::verify::closed_form::{self, shank::end_flexibility};

const BENDING: f64 = 70_000.0;
const LINE: f64 = 108.0;

/// Stiffness of a free beam of `length` on its foundation, in `n` elements: bending and foundation.
fn beam(bending: f64, line: f64, length: f64, n: usize) -> (DMatrix<f64>, DMatrix<f64>) {
    let size = 2 * n + 2;
    let (mut bends, mut rests) = (DMatrix::zeros(size, size), DMatrix::zeros(size, size));
    let l = length / n as f64;
    let b = bending / l.powi(3);
    let f = line * l / 420.0;
    #[rustfmt::skip]
    let bend = [
        [12.0, 6.0 * l, -12.0, 6.0 * l],
        [6.0 * l, 4.0 * l * l, -6.0 * l, 2.0 * l * l],
        [-12.0, -6.0 * l, 12.0, -6.0 * l],
        [6.0 * l, 2.0 * l * l, -6.0 * l, 4.0 * l * l],
    ];
    #[rustfmt::skip]
    let rest = [
        [156.0, 22.0 * l, 54.0, -13.0 * l],
        [22.0 * l, 4.0 * l * l, 13.0 * l, -3.0 * l * l],
        [54.0, 13.0 * l, 156.0, -22.0 * l],
        [-13.0 * l, -3.0 * l * l, -22.0 * l, 4.0 * l * l],
    ];
    for e in 0..n {
        for i in 0..4 {
            for j in 0..4 {
                bends[(2 * e + i, 2 * e + j)] += b * bend[i][j];
                rests[(2 * e + i, 2 * e + j)] += f * rest[i][j];
            }
        }
    }
    (bends, rests)
}

#[test]
fn long_stiff_and_equal_sided_shanks_are_those_of_the_handbook() {
    all_pass(closed_form::shank);
    assert!(stiffness(shank(5.0, 16.0)).couple.abs() > 1.0);
}

#[test]
fn a_short_beam_turns_into_the_rigid_rod_without_a_step() {
    // On either side of where the formula changes over it is continuous: (λL)⁴ = 1.6e-7 of it.
    let at = |x: f64| end_flexibility(BENDING, LINE, x / (LINE / (4.0 * BENDING)).powf(0.25));
    let (before, after) = (at(0.02 * (1.0 - 1e-9)), at(0.02 * (1.0 + 1e-9)));
    near(before.shift / after.shift, 1.0, 3e-7);
    near(before.slope / after.slope, 1.0, 3e-7);
}

#[test]
fn beams_of_any_length_agree_with_beam_elements() {
    for length in [1.0, 4.0, 9.0, 16.0, 40.0] {
        let found = end_flexibility(BENDING, LINE, length);
        let n = (8.0 * length) as usize;
        let (bends, rests) = beam(BENDING, LINE, length, n);
        let inverse = (bends + rests).lu();
        let under = |row: usize| {
            let mut load = DVector::zeros(2 * n + 2);
            load[row] = 1.0;
            inverse.solve(&load).expect("a foundation holds it")
        };
        let (force, couple) = (under(0), under(1));
        // Elements of λl = 0.017 err by (λl)⁴/720 and less; solving them loses digits as (λl)⁻⁴ grows.
        let close = |a: f64, b: f64| near(a / b, 1.0, 1e-6);
        close(found.shift, force[0]);
        close(-found.couple, force[1]);
        close(-found.couple, couple[0]);
        close(found.slope, couple[1]);
    }
}

fn stiffness(shank: Shank) -> Stiffness {
    Screw::new(Vec3::zeros(), Vec3::z(), shank).stiffness()
}

fn shank(grip: f64, working: f64) -> Shank {
    Shank { grip, working, ..SHANK }
}

#[test]
fn unequal_sides_agree_with_one_beam_over_a_broken_foundation() {
    // One shank over both sides, the foundation under its first part moved by δ + τx: what that
    // foundation must be held with is the joint's stiffness, coupling included.
    let (grip, working) = (5.0, 16.0);
    let shank = shank(grip, working);
    let (n, m) = (100, 320);
    let size = 2 * (n + m) + 2;
    let (bending, line) = (shank.bending(), shank.line());
    let mut whole = beam(bending, line, grip + working, n + m).0;
    let fragment = beam(bending, line, grip, n).1;
    let scapula = beam(bending, line, working, m).1;
    let inner = 2 * n + 2;
    let mut view = whole.view_mut((0, 0), (inner, inner));
    view += &fragment;
    let mut view = whole.view_mut((2 * n, 2 * n), (2 * m + 2, 2 * m + 2));
    view += &scapula;
    // Displacement of the fragment along its part: x from −grip to 0.
    let moved = |shift: f64, slope: f64| {
        DVector::from_fn(inner, |i, _| {
            let x = grip * ((i / 2) as f64 / n as f64 - 1.0);
            if i % 2 == 0 { shift + slope * x } else { slope }
        })
    };
    let (one, two) = (moved(1.0, 0.0), moved(0.0, 1.0));
    let solve = whole.lu();
    let mut joint = Matrix2::zeros();
    for (column, drive) in [&one, &two].into_iter().enumerate() {
        let push = &fragment * drive;
        let mut load = DVector::zeros(size);
        load.rows_mut(0, inner).copy_from(&push);
        let bent = solve.solve(&load).expect("two foundations hold it");
        let borne = &fragment * (drive - bent.rows(0, inner));
        joint.set_column(column, &Vector2::new(one.dot(&borne), two.dot(&borne)));
    }
    let found = stiffness(shank);
    // The screw's own elements are of λl = 0.14: some (λl)⁴/200.
    near(found.shift / joint[(0, 0)], 1.0, 3e-6);
    near(found.couple / joint[(0, 1)], 1.0, 3e-6);
    near(found.couple / joint[(1, 0)], 1.0, 3e-6);
    near(found.slope / joint[(1, 1)], 1.0, 3e-6);
}

#[test]
fn along_its_axis_head_shank_and_thread_are_in_series() {
    // A short, stiff screw in soft bone: the thread tends to kL, the shank to nothing, and a rigid punch
    // of diameter d on half-space of E' = E/(1 − ν²) gives E'd (Boussinesq), E' = k/0.65 (Vesić).
    let mut soft = shank(5.0, 10.0);
    soft.foundation = 1e-3;
    let line = 2.7e-3;
    let series = 1.0 / (5.0 * line / 0.65) + 1.0 / (10.0 * line);
    // EA is 3e5 N: (L²k/EA)/3 and the shank's share are 1e-7 and less.
    near(soft.axial() * series, 1.0, 1e-6);
    // A long one hands its pull over within √(EA/k): √(k EA), pile under axial load.
    let long = shank(5.0, 5000.0);
    let area = 110_000.0 * std::f64::consts::PI * 1.9 * 1.9 / 4.0;
    let series = 0.65 / (5.0 * 108.0) + 5.0 / area + 1.0 / (108.0 * area).sqrt();
    near(long.axial() * series, 1.0, 1e-12);
}

#[test]
fn bone_yields_along_a_rigid_pile_as_in_uniform_ground() {
    all_pass(closed_form::pile);
}
