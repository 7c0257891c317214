//! Rigid rectangle on a bed of springs, 20 mm along t and h = 10 mm down m, under 100 N at an
//! eccentricity: N/A = 0.5 MPa and W = 20·10²/6 mm³.

use crate::math::Vec3;
use crate::mechanics::{BedLaw, Controls, DeadLoad, Pose, Rig, Solver};
use crate::verify::check::{Found, Sheet};
use crate::verify::rigging::{SEAT, bed, rest};

/// Shear in the bed only keeps the fragment from drifting; so soft, it moves no digit below 1e-8.
const SOFT: BedLaw = BedLaw { normal: 10.0, shear: 1e-3, friction: 1.0 };

/// What the footing shows: pressure (MPa) at the loaded edge, at the far edge (negative: open by so
/// much times k_n), length in contact (mm), share of the cells in contact.
struct Footing {
    peak: f64,
    far: f64,
    contact: f64,
    share: f64,
}

fn pressed_at(eccentricity: f64, rows: usize) -> Found<Footing> {
    let mut rig = Rig::new(Vec3::zeros(), bed(SOFT, (4, rows)), SEAT);
    rig.loads.push(DeadLoad {
        point: Vec3::new(0.0, eccentricity, 0.0),
        force: Vec3::new(0.0, 0.0, -100.0),
        during_tying: true,
    });
    let mut solver = Solver::new(&rig);
    let mut state = rig.laid(Pose { shift: Vec3::new(0.0, 0.0, -0.05), ..Pose::default() });
    rest(&mut solver, &mut state, &Controls::idle(0))?;
    let depth = |y: f64| -state.pose().place(&rig.reference, &Vec3::new(0.0, y, 0.0)).z;
    let (loaded, far) = (depth(5.0), depth(-5.0));
    let touching = rig.bed.loads(state.pose(), &rig.reference, &state.slip).filter(|load| load.pressure > 0.0).count();
    Ok(Footing {
        peak: SOFT.normal * loaded,
        far: SOFT.normal * far,
        contact: 10.0 * (loaded / (loaded - far)).min(1.0),
        share: touching as f64 / rig.bed.cells.len() as f64,
    })
}

/// Pressure under an eccentric load, inside the kern and outside it, and the kern's edge.
pub fn footing(s: &mut Sheet) -> Found<()> {
    s.law(
        "rigid rectangle 20 × 10 mm on its bed, 100 N off its middle",
        "foundation engineering, rigid footing: N/A ± M/W inside the middle third, 2N/(3b(h/2 − e)) outside",
    );
    // A cell of height h/n carries its load at its middle, so the bed's section modulus is
    // short by the factor 1 − 1/n²: exactly the error of second order that is seen.
    let (mut edges, mut shares) = (Vec::new(), Vec::new());
    for rows in [10, 20, 40, 80] {
        let found = pressed_at(1.0, rows)?;
        let bending = 0.3 / (1.0 - 1.0 / (rows * rows) as f64);
        edges.extend([(found.peak, 0.5 + bending), (found.far, 0.5 - bending)]);
        shares.push((found.share, 1.0));
    }
    s.within(1e-7, "the soft shear, and arms that tilt with the base: 1e-8 of it");
    s.worst("e 1 mm: both edges, with the cells' section modulus", "MPa", &edges);
    s.within(0.0, "a count of cells");
    s.worst("e 1 mm: share in contact", "", &shares);
    let (coarse, fine) = (pressed_at(1.0, 40)?.peak, pressed_at(1.0, 80)?.peak);
    s.within(2e-7, "extrapolated from 40 and 80 rows: a fourth-order rest and the soft shear");
    s.equal("e 1 mm: p_max", "MPa", (4.0 * fine - coarse) / 3.0, 0.800);

    let exact = 2.0 * 100.0 / (3.0 * 20.0 * (5.0 - 2.5));
    let (twenty, forty) = (pressed_at(2.5, 20)?, pressed_at(2.5, 40)?);
    let eighty = pressed_at(2.5, 80)?;
    let errors = [&twenty, &forty, &eighty].map(|f| f.peak - exact);
    s.within(0.02, "the next term of the error");
    let order = libm::log2(errors[1] / errors[2]);
    s.equal("e 2.5 mm: order of convergence", "", order, 2.0);
    s.within(1e-6, "extrapolated from 40 and 80 rows");
    let extrapolated = (4.0 * eighty.peak - forty.peak) / 3.0;
    s.equal("e 2.5 mm: p_max", "MPa", extrapolated, 4.0 / 3.0);
    s.within(4e-3, "80 rows: their second-order error");
    s.equal("e 2.5 mm: length in contact of 10", "mm", eighty.contact, 7.5);
    s.within(0.0, "a count of cells");
    s.equal("e 2.5 mm: share of cells in contact", "", eighty.share, 0.75);

    // On cells the kern's edge is h/6 (1 − 1/n²): there the far edge just touches.
    let rows = 40;
    let edge = 10.0 / 6.0 * (1.0 - 1.0 / (rows * rows) as f64);
    let found = pressed_at(edge, rows)?;
    s.within(1e-6, "the soft shear");
    s.equal("kern's edge, h/6: p_max = 2N/A", "MPa", found.peak, 1.0);
    s.equal("kern's edge, h/6: far edge", "MPa", found.far, 0.0);
    s.within(0.0, "a sign");
    let inside = pressed_at(edge - 0.01, rows)?.far;
    let outside = pressed_at(edge + 0.01, rows)?.far;
    s.at_least("0.01 mm inside the kern: far edge pressed", "MPa", inside, 1e-3);
    s.at_most("0.01 mm outside the kern: far edge open", "MPa", outside, -1e-3);
    Ok(())
}
