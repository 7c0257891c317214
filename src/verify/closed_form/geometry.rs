//! The circular segment, and the section of the neck cone that is the bed.

use crate::anatomy::{Fragment, FragmentShape, Socket};
use crate::mechanics::Bed;
use crate::verify::check::{Found, Sheet};
use crate::verify::rigging::LAW;
use std::f64::consts::PI;

/// A fragment of a quarter of the width under a flat face.
///
/// # Errors
/// None: there is such bone.
pub fn flat() -> Found<Fragment> {
    Fragment::new(
        Socket { radius: 13.0, face_radius: None },
        FragmentShape { width: 6.5, direction: -0.3, depth: 10.0, tilt: 0.0, length: None },
    )
    .map_err(|e| e.to_string())
}

/// Chord, area and share of the segment of a quarter-width fragment on a flat face.
pub fn segment(s: &mut Sheet) -> Found<()> {
    s.law(
        "circular segment, D 26 mm, width 6.5 mm",
        "segment formulas of engineering handbooks: chord 2R sin(θ/2), area R²(θ − sin θ)/2",
    );
    let f = flat()?;
    s.within(5e-4, "half a unit of the last digit as printed");
    s.equal("chord as printed", "mm", f.chord(), 22.517);
    s.within(5e-3, "half a unit of the last digit as printed");
    s.equal("area as printed", "mm²", f.segment_area(), 103.80);
    s.equal("share as printed", "%", 100.0 * f.segment_share(), 19.55);
    let theta = 2.0 * PI / 3.0;
    s.within(1e-12, "a handful of roundings of numbers near 100");
    s.equal("chord, by θ = 2π/3", "mm", f.chord(), 26.0 * libm::sin(theta / 2.0));
    let area = 84.5 * (theta - libm::sin(theta));
    s.equal("area, by θ = 2π/3", "mm²", f.segment_area(), area);
    Ok(())
}

/// With an upright fracture plane at distance a from the axis, a flat face and a wall of radius
/// R + z tan γ, the bed at t is (R − √(a² + t²))/tan γ deep.
pub fn bed_area(s: &mut Sheet) -> Found<()> {
    s.law(
        "area of the bed as a section of the neck cone",
        "(R c − a² arsinh(c/a))/tan γ, Abramowitz & Stegun 4.6; error of the midpoint rule, 23.1 (recalled)",
    );
    let f = flat()?;
    let (r, a, c) = (13.0, 6.5, f.half_chord);
    let exact = (r * c - a * a * libm::asinh(c / a)) / 0.65;
    let error = |cells: usize| {
        let bed = Bed::of_fragment(&f, LAW, 0.5, cells);
        let first = bed.cells.first().map_or(0.0, |cell| cell.t);
        let next = bed.cells.iter().find(|cell| cell.t != first);
        (bed.area - exact, next.map_or(f64::NAN, |cell| cell.t - first))
    };
    let ((coarse, wide), (fine, narrow)) = (error(400), error(6400));
    // h² (f'(−c) − f'(c))/24 with f'(±c) = ∓c/(R tan γ).
    let leading = |h: f64| h * h * 2.0 * c / (r * 0.65) / 24.0;
    s.within(1e-3, "the next term of the error, of fourth order in the cell");
    s.equal("error over its leading term, 400 cells", "", coarse / leading(wide), 1.0);
    s.within(1e-4, "the next term of the error, of fourth order in the cell");
    s.equal("error over its leading term, 6400 cells", "", fine / leading(narrow), 1.0);
    s.within(0.005 * exact, "the rule for the bed: half a percent of its area");
    s.equal("area, 400 cells", "mm²", exact + coarse, exact);
    Ok(())
}
