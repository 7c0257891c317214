//! Rigid rectangle on a bed of springs. Source: foundation engineering, rigid footing with
//! eccentric load: p = N/A ± M/W while the load stands inside the middle third (kern), and
//! p_max = 2N/(3 b (h/2 − e)) over a length 3 (h/2 − e) outside it.
//!
//! 20 mm along t, h = 10 mm down m, N = 100 N: N/A = 0.5 MPa and W = 20·10²/6 mm³.

use crate::rigging::{SEAT, bed, near, rest};
use rimhold::math::{Vec3, lower};
use rimhold::mechanics::{BedLaw, Controls, DeadLoad, Pose, Rig, Solver};

/// Shear in the bed only keeps the fragment from drifting; so soft, it moves no digit below 1e-8.
const LAW: BedLaw = BedLaw {
    normal: 10.0,
    shear: 1e-3,
    friction: 1.0,
};

/// What the footing shows: pressure at the loaded edge, at the far edge (negative: open by so much
/// times k_n), length in contact, share of the cells in contact.
struct Footing {
    peak: f64,
    far: f64,
    contact: f64,
    share: f64,
}

fn footing(eccentricity: f64, rows: usize) -> Footing {
    let mut rig = Rig::new(Vec3::zeros(), bed(LAW, (4, rows)), SEAT);
    rig.loads.push(DeadLoad {
        point: Vec3::new(0.0, eccentricity, 0.0),
        force: Vec3::new(0.0, 0.0, -100.0),
        during_tying: true,
    });
    let mut solver = Solver::new(&rig);
    let mut state = rig.laid(Pose {
        shift: Vec3::new(0.0, 0.0, -0.05),
        ..Pose::default()
    });
    rest(&mut solver, &mut state, &Controls::idle(0));
    let depth = |y: f64| {
        -state
            .pose()
            .place(&rig.reference, &Vec3::new(0.0, y, 0.0))
            .z
    };
    let (loaded, far) = (depth(5.0), depth(-5.0));
    let touching = rig
        .bed
        .loads(state.pose(), &rig.reference, &state.slip)
        .filter(|load| load.pressure > 0.0)
        .count();
    let moment = lower(&solver.net_wrench(&state, &Controls::idle(0)));
    near(moment.norm(), 0.0, 1e-8);
    Footing {
        peak: LAW.normal * loaded,
        far: LAW.normal * far,
        contact: 10.0 * (loaded / (loaded - far)).min(1.0),
        share: touching as f64 / rig.bed.cells.len() as f64,
    }
}

#[test]
fn inside_the_kern_pressure_is_linear_over_the_whole_base() {
    // A cell of height h/n carries its load at its middle, so the bed's section modulus is short by
    // the factor 1 − 1/n²: exactly the error of second order that is seen.
    for rows in [10, 20, 40, 80] {
        let square = (rows * rows) as f64;
        let found = footing(1.0, rows);
        // The soft shear and the arms that tilt with the base move 1e-8 of it.
        near(found.peak, 0.5 + 0.3 / (1.0 - 1.0 / square), 1e-7);
        near(found.far, 0.5 - 0.3 / (1.0 - 1.0 / square), 1e-7);
        near(found.share, 1.0, 0.0);
    }
    // The handbook's number, as the cells shrink (Richardson on 40 and 80 rows): what is left is of
    // fourth order, 0.3/80⁴ ≈ 1e-8, and the shear's 1e-8.
    let (coarse, fine) = (footing(1.0, 40).peak, footing(1.0, 80).peak);
    near((4.0 * fine - coarse) / 3.0, 0.800, 2e-7);
}

#[test]
fn outside_the_kern_the_base_opens() {
    let exact = 2.0 * 100.0 / (3.0 * 20.0 * (5.0 - 2.5));
    let error = |rows: usize| footing(2.5, rows).peak - exact;
    let (coarse, middle, fine) = (error(20), error(40), error(80));
    // The edge of contact, three quarters down, falls between cells here: second order.
    near((coarse / middle).log2(), 2.0, 0.05);
    near((middle / fine).log2(), 2.0, 0.02);
    let found = footing(2.5, 80);
    // 80 rows: the second-order term is p_max/(0.75·80)²/2 ≈ 2e-4.
    near(found.peak, 1.3333, 4e-4);
    near(found.contact, 7.5, 4e-3);
    near(found.share, 0.75, 0.0);
    near(exact + (4.0 * fine - middle) / 3.0, 4.0 / 3.0, 1e-6);
}

#[test]
fn kern_ends_at_a_sixth_of_the_base() {
    // On cells the kern's edge is h/6 (1 − 1/n²): there the far edge just touches, at p_max = 2N/A.
    let rows = 40;
    let edge = 10.0 / 6.0 * (1.0 - 1.0 / (rows * rows) as f64);
    let found = footing(edge, rows);
    near(found.peak, 1.0, 1e-6);
    near(found.far, 0.0, 1e-6);
    assert!(footing(edge - 0.01, rows).far > 1e-3);
    assert!(footing(edge + 0.01, rows).far < -1e-3);
    // The outermost row lifts off once the line of zero pressure passes its middle.
    near(
        footing(edge + 0.2, rows).share,
        1.0 - 4.0 / 40.0,
        2.0 / 40.0,
    );
}
