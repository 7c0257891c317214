//! Where an anchor sits decides which way its limb draws; where the clock stands decides nothing.

use crate::anatomy::{Along, Fragment, FragmentShape, Place, Socket, clock_angle};
use crate::math::{Vec3, rotation, upper};
use crate::mechanics::{Anchor, Bed, Controls, Rig, Strand, Vertex};
use crate::model::ConstructFile;
use crate::study::{self, Direction, PushPlan, result::Start};
use crate::verify::check::{Found, Sheet};
use crate::verify::refinement::held;
use crate::verify::rigging::{LAW, SEAT, laid, limb};
use crate::verify::scene::shipped;

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
    let mut rigid = |place: Vec3| Vertex::Anchor(rig.add_anchor(Anchor { place, stiffness: None }));
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
        direction: Direction { name: "turned".to_owned(), vector: rotation(&(Vec3::z() * turn)) * -Vec3::y() },
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
