//! Friction of the bed: a block pushed along it, and a block on an incline.

use crate::math::Vec3;
use crate::mechanics::{Arrival, Bed, BedLaw, Controls, Pose, Rig, Solver, State};
use crate::verify::check::{Found, Sheet};
use crate::verify::rigging::{LAW, axes, bed, certified, let_go, loaded, push, push_from, rest};

/// k_t A of the block, N/mm.
const STIFFNESS: f64 = 3.0 * 200.0;
/// The solver's balance: 1e-10 N and 1e-11 of 100 N, N.
const BALANCE: f64 = 2e-9;
const WHY_BALANCE: &str = "the solver's balance: 1e-10 N and 1e-11 of 100 N";

/// A block of `size` mm pressed by 100 N, already at rest.
fn pressed(size: (f64, f64)) -> (Rig, State) {
    let bed = Bed::rectangle(Vec3::zeros(), axes(), LAW, size, (8, 4));
    let depth = 100.0 / (LAW.normal * bed.area);
    let rig = loaded(bed, Vec3::zeros(), Vec3::new(0.0, 0.0, -100.0));
    let state = rig.laid(Pose { shift: Vec3::new(0.0, 0.0, -depth), ..Pose::default() });
    (rig, state)
}

const WAYS: [([f64; 3], bool); 4] =
    [([1.0, 0.0, 0.0], true), ([0.0, -1.0, 0.0], true), ([0.6, 0.8, 0.0], true), ([1.0, 0.0, 0.0], false)];

/// Block on the bed, pressed by 100 N and pushed along it, there and back.
pub fn block(s: &mut Sheet) -> Found<()> {
    s.law(
        "block pressed by 100 N and pushed along its bed",
        "Coulomb friction with an elastic spring before it: F = min(k_t A δ, μN), back along k_t A",
    );
    s.within(BALANCE, WHY_BALANCE);
    let (mut stuck, mut slid, mut friction, mut back) = (vec![], vec![], vec![], vec![]);
    for (direction, guided) in WAYS {
        let (rig, mut state) = pressed((20.0, 10.0));
        let mut solver = Solver::new(&rig);
        certified(&mut solver, &state, &Controls::idle(0))?;
        let mut controls = push_from(&rig, &state, &Controls::idle(0), direction, guided);
        let mut go = |state: &mut State, to: f64, steps: usize| push(&mut solver, state, &mut controls, to, steps);
        for distance in [0.01, 0.04, 0.08] {
            stuck.push((go(&mut state, distance, 1)?, STIFFNESS * distance));
        }
        // 50 N are reached at δ = 1/12 mm.
        for distance in [0.09, 0.3, 1.0] {
            slid.push((go(&mut state, distance, 4)?, 50.0));
            let (_, shear) = Solver::new(&rig).bed_forces(&state);
            friction.push((shear.dot(&Vec3::from(direction)), -50.0));
        }
        // Elastic along k_t A from the sliding load, through zero, to sliding the other way.
        for (distance, load) in [(0.99, 44.0), (0.95, 20.0), (0.9, -10.0), (0.8, -50.0), (0.5, -50.0), (0.55, -20.0)] {
            back.push((go(&mut state, distance, 1)?, load));
        }
    }
    s.worst("load while it sticks, k_t A δ", "N", &stuck);
    s.worst("load while it slides, μN", "N", &slid);
    s.worst("friction of the bed meanwhile", "N", &friction);
    s.worst("load on the way back", "N", &back);
    let mut areas = Vec::new();
    for size in [(20.0, 10.0), (10.0, 10.0), (20.0, 3.0)] {
        let (rig, mut state) = pressed(size);
        let mut solver = Solver::new(&rig);
        let mut controls = push_from(&rig, &state, &Controls::idle(0), [1.0, 0.0, 0.0], true);
        areas.push((push(&mut solver, &mut state, &mut controls, 0.8, 8)?, 50.0));
    }
    s.worst("sliding load on beds of other areas", "N", &areas);
    Ok(())
}

const WEIGHT: f64 = 100.0;

/// A block laid on its bed so that the pressure already bears the normal load, let go; with the
/// load inclined to slope `tangent` toward `heading` in the bed plane. Its bed forces when it rests.
fn inclined(tangent: f64, heading: f64, cells: (usize, usize)) -> Found<(Arrival, Vec3, [f64; 2], [f64; 2])> {
    let angle = libm::atan(tangent);
    let (down, along) = (WEIGHT * libm::cos(angle), WEIGHT * libm::sin(angle));
    let force = Vec3::new(along * libm::cos(heading), along * libm::sin(heading), -down);
    let rig = loaded(bed(LAW, cells), Vec3::zeros(), force);
    let mut solver = Solver::new(&rig);
    let mut state =
        rig.laid(Pose { shift: Vec3::new(0.0, 0.0, -down / (LAW.normal * rig.bed.area)), ..Pose::default() });
    let controls = Controls::idle(0);
    let arrival = let_go(&mut solver, &mut state, &controls)?;
    let (pressure, friction) = solver.bed_forces(&state);
    if arrival == Arrival::Arrived(1.0) {
        certified(&mut solver, &state, &controls)?;
    }
    let shift = state.pose().shift;
    Ok((arrival, shift, [pressure.norm(), down], [friction.norm(), along]))
}

/// Block on an incline under its weight: with a dead load nothing else can hold it, so that sliding
/// is a finding, not a number.
pub fn incline(s: &mut Sheet) -> Found<()> {
    s.law("block on an incline, μ 0.5", "Coulomb, angle of repose: it rests while tan α ≤ μ and slides beyond");
    let (mut rests, mut slides, mut all) = (0, 0, 0);
    let (mut forces, mut give, mut gone) = (Vec::new(), Vec::new(), Vec::new());
    for heading in [0.0, 0.7, 2.5, -1.6f64] {
        for cells in [(8, 4), (20, 10)] {
            // One part in a million on either side: the balance is kept to 1e-11.
            for share in [0.1, 0.9, 1.0 - 1e-3, 1.0 - 1e-6] {
                let tangent = LAW.friction * share;
                let (arrival, shift, normal, along) = inclined(tangent, heading, cells)?;
                rests += usize::from(arrival == Arrival::Arrived(1.0));
                all += 1;
                forces.push((normal[0], normal[1]));
                forces.push((along[0], along[1]));
                let slope = WEIGHT * libm::sin(libm::atan(tangent)) / STIFFNESS;
                give.push((shift.x, slope * libm::cos(heading)));
                give.push((shift.y, slope * libm::sin(heading)));
            }
            for share in [1.0 + 1e-6, 1.0 + 1e-3, 1.2, 2.0] {
                let (arrival, ..) = inclined(LAW.friction * share, heading, cells)?;
                if let Arrival::Lost(pose) = arrival {
                    slides += 1;
                    let way = pose.shift.xy().normalize();
                    gone.push((way.x, libm::cos(heading)));
                    gone.push((way.y, libm::sin(heading)));
                }
            }
        }
    }
    s.count("rests up to one part in a million below tan α = μ", rests, all);
    s.count("slides from one part in a million above", slides, all);
    s.within(BALANCE, WHY_BALANCE);
    s.worst("pressure and friction at rest", "N", &forces);
    s.worst("elastic give at rest, W sin α/(k_t A)", "mm", &give);
    s.within(
        1e-9,
        "nothing turns: W along the plane is balanced to 1e-11 of it, and a slide of over 1 mm tells its direction",
    );
    s.worst("direction in which it slides (cosines)", "", &gone);
    Ok(())
}

// Rigid rectangle on a bed of springs, 20 mm along t and h = 10 mm down m, under 100 N at an
// eccentricity: N/A = 0.5 MPa and W = 20·10²/6 mm³.

/// Shear in the bed only keeps the fragment from drifting; so soft, it moves no digit below 1e-8.
const SOFT: BedLaw = BedLaw::plane(10.0, 1e-3, 1.0);

/// What the footing shows: pressure (MPa) at the loaded edge, at the far edge (negative: open by so
/// much times k_n), length in contact (mm), share of the cells in contact.
struct Footing {
    peak: f64,
    far: f64,
    contact: f64,
    share: f64,
}

fn pressed_at(eccentricity: f64, rows: usize) -> Found<Footing> {
    let rig = loaded(bed(SOFT, (4, rows)), Vec3::new(0.0, eccentricity, 0.0), Vec3::new(0.0, 0.0, -100.0));
    let mut solver = Solver::new(&rig);
    let mut state = rig.laid(Pose { shift: Vec3::new(0.0, 0.0, -0.05), ..Pose::default() });
    rest(&mut solver, &mut state, &Controls::idle(0))?;
    let depth = |y: f64| -state.pose().place(&rig.reference, &Vec3::new(0.0, y, 0.0)).z;
    let (loaded, far) = (depth(5.0), depth(-5.0));
    let touching = rig.bed.loads(state.pose(), &rig.reference, &state.bed).filter(|load| load.pressure > 0.0).count();
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
