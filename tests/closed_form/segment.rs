//! The circular segment, and the section of the neck cone that is the bed.
//! Sources: Abramowitz & Stegun, Handbook of Mathematical Functions, 4.3 (circular functions) and
//! 4.6 (inverse hyperbolic functions); the segment formulas of any engineering handbook,
//! chord 2R sin(θ/2) and area R²(θ − sin θ)/2.

use crate::closed_form::rigging::{all_pass, near};
use rimhold::verify::closed_form;

#[test]
fn chord_area_and_share_of_a_quarter_width_segment() {
    all_pass(closed_form::segment);
}

#[test]
fn bed_is_the_hyperbolic_section_of_the_neck_cone() {
    all_pass(closed_form::bed_area);
}

#[test]
fn fragment_fills_the_segment_just_below_a_flat_face() {
    let f = closed_form::flat().unwrap();
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
