//! Where an anchor sits decides which way its limb draws the fragment. The statement is that of the
//! trade (a neck anchor draws medially and inward; a crater anchor, whose limb turns round the
//! medial margin, lifts laterally and inward); the force is the vector sum of a rope over pegs (any
//! handbook of mechanics).

use crate::rigging::{SEAT, limb, near};
use rimhold::anatomy::{Along, Fragment, FragmentShape, Place, Socket, clock_angle};
use rimhold::math::{Vec3, upper};
use rimhold::mechanics::{Anchor, Bed, BedLaw, Controls, Pose, Rig, Solver, Strand, Vertex};

/// The middle of what CT series report: 26 mm circle, a quarter wide, at 4 o'clock.
fn fragment(tilt: f64) -> Fragment {
    Fragment::new(
        Socket {
            radius: 13.0,
            face_radius: Some(30.0),
        },
        FragmentShape {
            width: 6.5,
            direction: clock_angle(4.0),
            depth: 10.0,
            tilt: tilt.to_radians(),
            length: None,
        },
    )
    .unwrap()
}

/// Force on the fragment of a limb of tension 1 N from `anchor` over crossings on the fragment to
/// an anchor on the face, as the engine has it and as the sum over its segments that leave bone.
fn pull(f: &Fragment, anchor: Place, crossings: &[Place]) -> (Vec3, Vec3) {
    let mm = |t| Along::Mm(t);
    let face = Place::Face {
        along: mm(0.0),
        inset: 2.5,
    };
    let at = |place: &Place| f.locate(place).unwrap();
    let law = BedLaw {
        normal: 10.0,
        shear: 3.0,
        friction: 0.5,
    };
    let mut rig = Rig::new(f.centroid, Bed::of_fragment(f, law, 0.5, 100), SEAT);
    let mut path = vec![Vertex::Anchor(rig.add_anchor(Anchor {
        place: at(&anchor),
        stiffness: None,
    }))];
    path.extend(crossings.iter().map(|place| Vertex::Bone(at(place))));
    path.push(Vertex::Anchor(rig.add_anchor(Anchor {
        place: at(&face),
        stiffness: None,
    })));
    rig.add_limb(limb(path, 0.0, 2000.0));
    let mut solver = Solver::new(&rig);
    let mut state = rig.laid(Pose::default());
    state.strands[0] = Strand::Pulled;
    let mut controls = Controls::idle(1);
    controls.pull[0] = 1.0;
    let found = upper(&solver.limb_report(&state, &controls, 0).wrench);
    let (first, last) = (at(&crossings[0]), at(crossings.last().unwrap()));
    let expected = (at(&anchor) - first).normalize() + (at(&face) - last).normalize();
    (found, expected)
}

#[test]
fn neck_anchor_draws_medially_and_inward() {
    for tilt in [0.0, 10.0, 20.0] {
        let f = fragment(tilt);
        for (along, beyond) in [(0.0, 1.0), (-4.0, 1.0), (3.0, 4.0)] {
            let along = Along::Mm(along);
            let rim = Place::Rim { along };
            let (found, expected) = pull(&f, Place::Neck { along, beyond }, &[rim]);
            near((found - expected).norm(), 0.0, 1e-14);
            assert!(found.z < -0.5, "medial: {found}");
            assert!(found.dot(&f.outward) < -0.5, "inward: {found}");
            // It presses the fragment into its bed.
            assert!(found.dot(&f.normal) < -0.5, "{found}");
        }
    }
}

#[test]
fn crater_anchor_lifts_laterally_and_inward() {
    for tilt in [0.0, 10.0, 20.0] {
        let f = fragment(tilt);
        for (along, deep) in [(0.0, 5.0), (-4.0, 3.0), (3.0, 5.0)] {
            let along = Along::Mm(along);
            let crossings = [Place::Margin { along }, Place::Rim { along }];
            let (found, expected) = pull(&f, Place::Crater { along, deep }, &crossings);
            near((found - expected).norm(), 0.0, 1e-14);
            assert!(found.z > 0.5, "lateral: {found}");
            assert!(found.dot(&f.outward) < -0.5, "inward: {found}");
            // The leg in the crater lies in the bed: it lifts along the plane and presses nothing.
            let margin = f.locate(&crossings[0]).unwrap();
            let crater = f.locate(&Place::Crater { along, deep }).unwrap();
            let leg = (crater - margin).normalize();
            near((leg + f.down).norm(), 0.0, 1e-12);
            near(leg.dot(&f.normal), 0.0, 1e-12);
        }
    }
}

#[test]
fn same_strand_changes_its_lift_with_its_medial_anchor() {
    let f = fragment(10.0);
    let along = Along::Mm(0.0);
    let rim = Place::Rim { along };
    let margin = Place::Margin { along };
    let (neck, _) = pull(&f, Place::Neck { along, beyond: 1.0 }, &[rim]);
    let (crater, _) = pull(&f, Place::Crater { along, deep: 5.0 }, &[margin, rim]);
    // Both press; the lift differs by nearly the two tensions of the medial leg.
    assert!(crater.z - neck.z > 1.5 && crater.dot(&f.normal) < 0.0);
}
