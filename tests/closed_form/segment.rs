//! The circular segment, and the section of the neck cone that is the bed.
//! Sources: Abramowitz & Stegun, Handbook of Mathematical Functions, 4.3 (circular functions) and
//! 4.6 (inverse hyperbolic functions); the segment formulas of any engineering handbook,
//! chord 2R sin(θ/2) and area R²(θ − sin θ)/2.

use crate::rigging::near;
use rimhold::anatomy::{Fragment, FragmentShape, Socket};
use rimhold::mechanics::{Bed, BedLaw};
use std::f64::consts::PI;

const LAW: BedLaw = BedLaw {
    normal: 10.0,
    shear: 3.0,
    friction: 0.5,
};

fn flat() -> Fragment {
    Fragment::new(
        Socket {
            radius: 13.0,
            face_radius: None,
        },
        FragmentShape {
            width: 6.5,
            direction: -0.3,
            depth: 10.0,
            tilt: 0.0,
            length: None,
        },
    )
    .unwrap()
}

#[test]
fn chord_area_and_share_of_a_quarter_width_segment() {
    let f = flat();
    // The handbook numbers as printed: half a unit of their last digit.
    near(f.chord(), 22.517, 5e-4);
    near(f.segment_area(), 103.80, 5e-3);
    near(100.0 * f.segment_share(), 19.55, 5e-3);
    // The other form of the same formulas, by the central angle θ = 2 acos(1/2) = 2π/3:
    // a handful of roundings of numbers near 100.
    let theta = 2.0 * PI / 3.0;
    near(f.chord(), 26.0 * (theta / 2.0).sin(), 1e-13);
    near(f.segment_area(), 84.5 * (theta - theta.sin()), 1e-12);
}

#[test]
fn fragment_fills_the_segment_just_below_a_flat_face() {
    let f = flat();
    let n = 1200;
    let h = 26.0 / f64::from(n);
    let middle = |k: i32| -13.0 + h * (f64::from(k) + 0.5);
    let mut inside = 0u32;
    for i in 0..n {
        for j in 0..n {
            let point = rimhold::math::Vec3::new(middle(i), middle(j), -1e-9);
            if f.depth_inside(&point) > 0.0 {
                inside += 1;
            }
        }
    }
    // Counting squares of side h errs by at most the squares that the outline (length 50 mm)
    // crosses, and by far less when their errors have random sign: h·√(50 h) ≈ 0.02 mm².
    near(f64::from(inside) * h * h, 103.797, 0.05);
}

#[test]
fn bed_is_the_hyperbolic_section_of_the_neck_cone() {
    // With an upright fracture plane at distance a from the axis, a flat face and a wall of radius
    // R + z tan γ, the bed at t is (R − √(a² + t²))/tan γ deep, so
    // A = (R c − a² arsinh(c/a))/tan γ, with tan γ = w/H.
    let f = flat();
    let (r, a, c) = (13.0, 6.5, f.half_chord);
    let exact = (r * c - a * a * f64::asinh(c / a)) / 0.65;
    let error = |cells: usize| {
        let bed = Bed::of_fragment(&f, LAW, 0.5, cells);
        let first = bed.cells[0].t;
        let next = bed.cells.iter().find(|cell| cell.t != first).unwrap().t;
        (bed.area - exact, next - first)
    };
    let ((coarse, wide), (fine, narrow)) = (error(400), error(6400));
    // The columns are summed by the midpoint rule, whose error is (Euler–Maclaurin,
    // Abramowitz & Stegun 23.1; recalled) h² (f'(−c) − f'(c))/24, with f'(±c) = ∓c/(R tan γ), and
    // the next term of fourth order.
    let leading = |h: f64| h * h * 2.0 * c / (r * 0.65) / 24.0;
    near(coarse / leading(wide), 1.0, 1e-3);
    near(fine / leading(narrow), 1.0, 1e-4);
    // The rule for the bed: halving the cells changes its area by less than 0.5 %.
    assert!(coarse.abs() < 0.005 * exact);
}
