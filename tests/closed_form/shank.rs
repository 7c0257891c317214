//! A screw's shank as a beam on an elastic foundation. Sources: Hetényi, Beams on Elastic Foundation
//! (1946): semi-infinite beam loaded at its end, y = 2Pλ/k + 2Mλ²/k (in magnitude), slope 2Pλ²/k + 4Mλ³/k;
//! a rigid rod on Winkler's foundation by statics; and, for lengths between, Hermite beam elements with
//! their consistent foundation matrix (any text on the finite-element method), which know nothing of
//! those formulas.

use crate::rigging::near;
use nalgebra::{DMatrix, DVector, Matrix2, Vector2};
use rimhold::mechanics::{Shank, end_flexibility};

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
fn a_long_beam_is_the_semi_infinite_one() {
    let lambda = (LINE / (4.0 * BENDING)).powf(0.25);
    // Beyond λL = 20 the far end is felt by e^(−2λL) < 1e-17; at 700 cosh² would overflow.
    for length in [20.0 / lambda, 60.0 / lambda, 800.0 / lambda] {
        let found = end_flexibility(BENDING, LINE, length);
        near(found.shift * LINE / (2.0 * lambda), 1.0, 1e-14);
        near(found.couple * LINE / (2.0 * lambda.powi(2)), 1.0, 1e-14);
        near(found.slope * LINE / (4.0 * lambda.powi(3)), 1.0, 1e-14);
    }
}

#[test]
fn a_stiff_beam_is_the_rigid_rod() {
    // Statics: under P at its end a rod sinks by 4P/(kL) there and turns by 6P/(kL²); under a couple Q
    // it turns by 12Q/(kL³). What bending adds is of the order (λL)⁴ = 1e-6 and less.
    let length = 6.0;
    for bending in [1e11, 1e13] {
        let found = end_flexibility(bending, LINE, length);
        near(found.shift * LINE * length / 4.0, 1.0, 1e-6);
        near(found.couple * LINE * length.powi(2) / 6.0, 1.0, 1e-6);
        near(found.slope * LINE * length.powi(3) / 12.0, 1.0, 1e-6);
    }
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

fn shank(grip: f64, working: f64) -> Shank {
    Shank {
        diameter: 2.7,
        core: 1.9,
        head: 5.0,
        modulus: 110_000.0,
        foundation: 40.0,
        grip,
        working,
    }
}

#[test]
fn long_equal_sides_resist_with_ei_lambda_cubed() {
    let long = shank(200.0, 200.0);
    let lambda = (long.line() / (4.0 * long.bending())).powf(0.25);
    let found = long.stiffness();
    near(found.shift / (long.bending() * lambda.powi(3)), 1.0, 1e-13);
    near(found.slope / (0.5 * long.bending() * lambda), 1.0, 1e-13);
    // Equal sides: by symmetry a shift asks for no couple.
    near(shank(7.0, 7.0).stiffness().couple, 0.0, 1e-12);
    assert!(shank(5.0, 16.0).stiffness().couple.abs() > 1.0);
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
    let mut stiffness = beam(bending, line, grip + working, n + m).0;
    let fragment = beam(bending, line, grip, n).1;
    let scapula = beam(bending, line, working, m).1;
    let inner = 2 * n + 2;
    let mut view = stiffness.view_mut((0, 0), (inner, inner));
    view += &fragment;
    let mut view = stiffness.view_mut((2 * n, 2 * n), (2 * m + 2, 2 * m + 2));
    view += &scapula;
    // Displacement of the fragment along its part: x from −grip to 0.
    let moved = |shift: f64, slope: f64| {
        DVector::from_fn(inner, |i, _| {
            let x = grip * ((i / 2) as f64 / n as f64 - 1.0);
            if i % 2 == 0 { shift + slope * x } else { slope }
        })
    };
    let (one, two) = (moved(1.0, 0.0), moved(0.0, 1.0));
    let solve = stiffness.lu();
    let mut joint = Matrix2::zeros();
    for (column, drive) in [&one, &two].into_iter().enumerate() {
        let push = &fragment * drive;
        let mut load = DVector::zeros(size);
        load.rows_mut(0, inner).copy_from(&push);
        let bent = solve.solve(&load).expect("two foundations hold it");
        let borne = &fragment * (drive - bent.rows(0, inner));
        joint.set_column(column, &Vector2::new(one.dot(&borne), two.dot(&borne)));
    }
    let found = shank.stiffness();
    // As above: elements of λl < 0.01, and the digits that solving loses.
    near(found.shift / joint[(0, 0)], 1.0, 1e-6);
    near(found.couple / joint[(0, 1)], 1.0, 1e-6);
    near(found.couple / joint[(1, 0)], 1.0, 1e-6);
    near(found.slope / joint[(1, 1)], 1.0, 1e-6);
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
