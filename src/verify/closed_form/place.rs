//! Where an anchor sits decides which way its limb draws; where the clock stands decides nothing.

use crate::anatomy::{Along, Fragment, FragmentShape, Place, Socket, clock_angle};
use crate::math::{Vec3, rotation, upper};
use crate::mechanics::{Anchor, Bed, Controls, Rig, Strand, Vertex};
use crate::model::ConstructFile;
use crate::study::result::Start;
use crate::study::{self, Direction, PushPlan};
use crate::verify::check::{Found, Sheet};
use crate::verify::refinement::held;
use crate::verify::rigging::{LAW, SEAT, laid, limb};
use crate::verify::scene::shipped;
use std::f64::consts::PI;

/// The middle of what CT series report: 26 mm circle, a quarter wide, at 4 o'clock.
fn fragment(tilt: f64) -> Found<Fragment> {
    Fragment::new(
        Socket { radius: 13.0, face_radius: Some(30.0) },
        FragmentShape { width: 6.5, direction: clock_angle(4.0), depth: 10.0, tilt: tilt.to_radians(), length: None },
    )
    .map_err(|e| e.to_string())
}

/// Force on the fragment of a limb of tension 1 N from `anchor` over crossings on the fragment to
/// an anchor on the face, as the engine has it and as the sum over its segments that leave bone.
fn pull(f: &Fragment, anchor: Place, crossings: &[Place]) -> Found<(Vec3, Vec3)> {
    let at = |place: &Place| f.locate(place).map_err(|e| format!("{e:?}"));
    let face = at(&Place::Face { along: Along::Mm(0.0), inset: 2.5 })?;
    let anchor = at(&anchor)?;
    let crossings: Vec<Vec3> = crossings.iter().map(at).collect::<Result<_, _>>()?;
    let mut rig = Rig::new(f.centroid, Bed::of_fragment(f, LAW, 0.5, 100), SEAT);
    let mut rigid = |place: Vec3| Vertex::Anchor(rig.add_anchor(Anchor { place, spring: None }));
    let mut path = vec![rigid(anchor)];
    path.extend(crossings.iter().map(|place| Vertex::Bone(*place)));
    path.push(rigid(face));
    rig.add_limb(limb(path, 0.0, 2000.0));
    let (mut solver, mut state) = laid(&rig);
    state.strands[0] = Strand::Pulled;
    let mut controls = Controls::idle(1);
    controls.pull[0] = 1.0;
    let found = upper(&solver.limb_report(&state, &controls, 0).wrench);
    let (first, last) = (crossings[0], crossings[crossings.len() - 1]);
    let expected = (anchor - first).normalize() + (face - last).normalize();
    Ok((found, expected))
}

/// A neck anchor draws medially and inward; a crater anchor, whose limb turns round the medial
/// margin, lifts laterally and inward.
pub fn places(s: &mut Sheet) -> Found<()> {
    s.law(
        "pull of a neck anchor and of a crater anchor, 1 N",
        "vector sum of a rope over pegs; the directions are a statement of the trade",
    );
    let (mut off, mut legs) = (Vec::new(), Vec::new());
    let (mut medial, mut inward, mut lifts, mut all) = (0, 0, 0, 0);
    for tilt in [0.0, 10.0, 20.0] {
        let f = fragment(tilt)?;
        for (t, beyond, deep) in [(0.0, 1.0, 5.0), (-4.0, 1.0, 3.0), (3.0, 4.0, 5.0)] {
            let along = Along::Mm(t);
            let (rim, margin) = (Place::Rim { along }, Place::Margin { along });
            let (neck, sum) = pull(&f, Place::Neck { along, beyond }, &[rim])?;
            off.push(((neck - sum).norm(), 0.0));
            let (crater, sum) = pull(&f, Place::Crater { along, deep }, &[margin, rim])?;
            off.push(((crater - sum).norm(), 0.0));
            // The leg in the crater lies in the bed: it lifts along the plane, presses nothing.
            let at = |place: &Place| f.locate(place).map_err(|e| format!("{e:?}"));
            let leg = at(&Place::Crater { along, deep })? - at(&margin)?;
            legs.push(((leg.normalize() + f.down).norm(), 0.0));
            all += 1;
            medial += usize::from(neck.z < -0.5);
            lifts += usize::from(crater.z > 0.5);
            let both_in = neck.dot(&f.outward) < -0.5 && crater.dot(&f.outward) < -0.5;
            inward += usize::from(both_in && neck.dot(&f.normal) < -0.5);
        }
    }
    s.within(1e-14, "roundings of numbers near 1");
    s.worst("force, off the vector sum by", "N", &off);
    s.within(1e-12, "roundings of a difference of two places");
    s.worst("leg in the crater, off the plane of the bed by", "", &legs);
    s.count("the neck anchor draws medially", medial, all);
    s.count("the crater anchor lifts laterally", lifts, all);
    s.count("both draw inward, the neck anchor onto the bed", inward, all);
    Ok(())
}

/// Loads of a case and construct turned about the socket's axis by `turn` with the push turned too.
fn loads_at(name: &str, turn: f64, start: Start) -> Found<Vec<f64>> {
    let (mut case, _) = shipped(name)?;
    let mut shape = case.fragment.shape;
    shape.direction += turn;
    case.fragment = Fragment::new(case.fragment.socket, shape).map_err(|e| e.to_string())?;
    let construct = ConstructFile::open(name).and_then(|file| file.fit(&case)).map_err(|p| p.to_string())?;
    let rig = study::rig(&case, &construct, start);
    let (_, tied) = held(name, study::tie(&case, &construct, &rig, start))?;
    let plan = PushPlan {
        direction: Direction::of_shoulder("turned", rotation(&(Vec3::z() * turn)) * -Vec3::y()),
        ..PushPlan::default()
    };
    let push = study::push(&case, &construct, &rig, &tied, &plan);
    Ok(push.curve.iter().map(|point| point.load).collect())
}

/// The clock position alone changes no load when the push turns with it.
pub fn clock(s: &mut Sheet) -> Found<()> {
    s.law(
        "whole studies at another clock position, pushed along the turned direction",
        "covariance of the balance of forces under rotations of space",
    );
    // The watch that ends a reducing pull stops within 1e-9 mm, times some 100 N/mm.
    s.within(1e-6, "a watched pull stops within 1e-9 mm, and stiffness is above 100 N/mm");
    for name in ["two-by-two-crossed", "single-row"] {
        let mut pairs = Vec::new();
        for start in [Start::Reduced, Start::Displaced] {
            let reference = loads_at(name, 0.0, start)?;
            let turned = loads_at(name, 1.9, start)?;
            if reference.len() != turned.len() {
                return Err(format!("{name}: the pushes end at different distances"));
            }
            pairs.extend(reference.into_iter().zip(turned));
        }
        s.worst(&format!("{name}: load at each step"), "N", &pairs);
    }
    Ok(())
}

// The circular segment, and the section of the neck cone that is the bed.

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
