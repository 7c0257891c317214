//! From a case and a construct to a rig.

use super::taut;
use crate::math::Vec3;
use crate::mechanics::{
    Anchor, Asperity, Bed, BedLaw, DeadLoad, Envelope, Limb, Limits, Passage, Pose, Rig, Screw, Seat, Shank, Spring,
    Tether, Vertex,
};
use crate::model::{Case, Construct, Edge, LimbSpec, Rest, ScrewSpec, Stop};
use crate::study::result::{PointKind, Start};

/// The rig of a construct on a case, with the tissue as it is when tying starts from `from`.
pub fn rig(case: &Case, construct: &Construct, from: Start) -> Rig {
    let seat = Seat { length: case.seat.length, stiffness: case.seat.stiffness };
    let mut rig = Rig::new(case.fragment.centroid, bed(case), seat);
    rig.envelope = case.envelope.map(|envelope| Envelope {
        shift_stiffness: envelope.shift_stiffness,
        turn_stiffness: envelope.turn_stiffness,
        rest: match envelope.rest {
            Rest::Start => start_pose(case, from),
            Rest::Reduced => Pose::default(),
            Rest::Displaced => displaced_pose(case),
        },
    });
    rig.tethers = case
        .tethers
        .iter()
        .map(|tether| Tether {
            fragment: tether.fragment,
            scapula: tether.scapula,
            stiffness: tether.stiffness,
            slack: tether.slack,
        })
        .collect();
    rig.loads = case
        .loads
        .iter()
        .map(|load| DeadLoad { point: load.at, force: load.force, during_tying: load.during_tying })
        .collect();
    for anchor in &construct.anchors {
        let spring = anchor.stiffness.map(|stiffness| Spring {
            strength: anchor.holding.unwrap_or(f64::INFINITY),
            run_out: case.anchors.pull_out,
            ..Spring::linear(stiffness)
        });
        rig.add_anchor(Anchor { place: anchor.point, spring });
    }
    for spec in &construct.limbs {
        rig.add_limb(limb(case, construct, spec));
    }
    rig.screws = construct.screws.iter().map(|s| screw(s, case.bed.crush_strength)).collect();
    rig
}

/// The bed of a case.
pub(crate) fn bed(case: &Case) -> Bed {
    let bed = &case.bed;
    let law = BedLaw {
        normal: bed.normal_stiffness,
        shear: bed.shear_stiffness,
        friction: bed.friction,
        asperities: Asperity {
            angle: bed.asperity_angle.to_radians(),
            height: bed.asperity_height,
            rounding: bed.asperity_rounding,
        },
        crush: bed.crush_strength,
    };
    Bed::of_fragment(&case.fragment, law, bed.edge_width, bed.cells)
}

fn limb(case: &Case, construct: &Construct, spec: &LimbSpec) -> Limb {
    let places = taut::places(&case.fragment, construct, spec);
    let (path, passages) = spec
        .path
        .iter()
        .zip(places)
        .map(|(stop, place)| {
            let (vertex, friction, locked) = match *stop {
                Stop::Anchor { index, friction, locked } => (Vertex::Anchor(index), friction, locked),
                Stop::Bite { point, bite, friction, locked } => {
                    let spring = Spring {
                        toe: bite.stiffness,
                        stiffening: bite.stiffening,
                        strength: bite.strength,
                        run_out: bite.cut_out,
                    };
                    (Vertex::Bite { point, spring }, friction, locked)
                }
                Stop::Crossing { friction, locked, .. } => (Vertex::Bone(place), friction, locked),
            };
            let passage = if locked { Passage::Locked } else { Passage::Sliding(friction) };
            (vertex, passage)
        })
        .unzip();
    let limits = Limits { grip: spec.knot_limit, strength: spec.strand.strength.unwrap_or(f64::INFINITY) };
    Limb { path, passages, closed: spec.closed, rigidity: spec.strand.rigidity, limits }
}

/// A screw in bone that yields at `strength`, MPa.
fn screw(spec: &ScrewSpec, strength: f64) -> Screw {
    let shank = Shank {
        diameter: spec.diameter,
        core: spec.core,
        head: spec.head_diameter,
        modulus: spec.modulus,
        foundation: spec.foundation,
        strength,
        grip: spec.grip,
        working: spec.working_length,
    };
    Screw::new(spec.head, spec.axis, shank)
}

/// The pose in which tying starts.
pub fn start_pose(case: &Case, from: Start) -> Pose {
    match from {
        Start::Reduced => Pose::default(),
        Start::Displaced => displaced_pose(case),
    }
}

/// The displaced pose of a case: shifts in bed axes (inferior along the chord, medial down the
/// fracture plane, out of the bed along n) of the fragment's reference point, and one finite turn
/// whose rotation vector has the given components (tilt about the chord, positive sitting up).
pub fn displaced_pose(case: &Case) -> Pose {
    let (shift, turn) = case.displaced.motion(&case.fragment);
    Pose { shift, turn }
}

/// The kind of each point of a limb's path, for drawings and records.
pub fn point_kinds(spec: &LimbSpec) -> Vec<PointKind> {
    spec.path
        .iter()
        .map(|stop| match stop {
            Stop::Anchor { .. } => PointKind::Anchor,
            Stop::Bite { .. } => PointKind::Bite,
            Stop::Crossing { edge: Edge::Rim, .. } => PointKind::Rim,
            Stop::Crossing { edge: Edge::Margin, .. } => PointKind::Margin,
            Stop::Crossing { edge: Edge::Bone, .. } => PointKind::Bone,
        })
        .collect()
}

/// Components of a vector in bed axes: along the chord (superior), down the plane (medial), along n.
pub(super) fn in_bed_axes(case: &Case, v: &Vec3) -> [f64; 3] {
    let f = &case.fragment;
    [v.dot(&f.along), v.dot(&f.down), v.dot(&f.normal)]
}
