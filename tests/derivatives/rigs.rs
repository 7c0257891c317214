//! Hand-built rigs.

use nalgebra::{Matrix3, UnitQuaternion, Vector3};
use rimhold::mechanics::{
    Anchor, Bed, BedLaw, Controls, Limb, Limits, Passage, Pose, Rig, Seat, Solver, Spring, State, Strand, Vertex,
};
use rimhold::model::Case;

type Vec3 = Vector3<f64>;

const SEAT: Seat = Seat { length: 1.0, stiffness: 200.0 };

const RIGIDITY: f64 = 2000.0;

fn law(friction: f64) -> BedLaw {
    BedLaw::plane(10.0, 3.0, friction)
}

/// A bed of 12 × 6 mm on an endless plane with the normal z.
pub fn block(friction: f64) -> Bed {
    let axes = Matrix3::identity();
    Bed::rectangle(Vec3::zeros(), axes, law(friction), (12.0, 6.0), (6, 4))
}

pub fn case() -> Case {
    Case::open("quarter").expect("a built-in case")
}

/// The bed of the quarter-width fragment in 60 cells, and the fragment's reference point.
pub fn crater(friction: f64) -> (Bed, Vec3) {
    let fragment = case().fragment;
    let bed = Bed::of_fragment(&fragment, law(friction), 0.5, 60);
    (bed, fragment.centroid)
}

pub fn with_bed(bed: Bed, reference: Vec3) -> Rig {
    Rig::new(reference, bed, SEAT)
}

/// A pose that opens the block's bed and turns the fragment a little.
pub fn lifted() -> Pose {
    Pose { shift: Vec3::new(0.4, -0.7, 4.0), turn: UnitQuaternion::new(Vec3::new(0.05, -0.08, 0.1)) }
}

/// A pose that opens the block's bed at a turn of half a radian.
pub fn turned() -> Pose {
    Pose { shift: Vec3::new(-0.5, 0.3, 12.0), turn: UnitQuaternion::new(Vec3::new(0.3, -0.2, 0.35)) }
}

/// A limb with its anchors.
pub struct Path {
    pub anchors: Vec<(Vec3, Option<f64>)>,
    pub vertices: Vec<Vertex>,
    pub passages: Vec<Passage>,
    pub closed: bool,
}

/// The rig of one limb on the block, whose reference point is off the limb.
pub fn of(path: Path) -> Rig {
    let mut rig = with_bed(block(0.5), Vec3::new(1.0, 2.0, 3.0));
    for (place, stiffness) in path.anchors {
        rig.add_anchor(Anchor { place, spring: stiffness.map(Spring::linear) });
    }
    rig.add_limb(Limb {
        path: path.vertices,
        passages: path.passages,
        closed: path.closed,
        rigidity: RIGIDITY,
        limits: Limits::NONE,
    });
    rig
}

/// Anchor, one crossing, anchor.
pub fn bridge(friction: f64, stiffness: Option<f64>) -> Rig {
    of(Path {
        anchors: vec![(Vec3::new(-9.0, 1.0, -2.0), stiffness), (Vec3::new(3.0, 7.0, -11.0), stiffness)],
        vertices: vec![Vertex::Anchor(0), Vertex::Bone(Vec3::new(6.0, 3.0, 2.0)), Vertex::Anchor(1)],
        passages: vec![Passage::Sliding(friction); 3],
        closed: false,
    })
}

/// A crossing, a bite and an eyelet between two anchors, with friction at each.
pub fn long_path() -> Path {
    Path {
        anchors: vec![
            (Vec3::new(-9.0, 1.0, 8.0), Some(75.0)),
            (Vec3::new(0.0, -9.0, 3.0), Some(30.0)),
            (Vec3::new(-7.0, -3.0, 14.0), None),
        ],
        vertices: vec![
            Vertex::Anchor(0),
            Vertex::Bone(Vec3::new(5.0, 6.0, 2.0)),
            Vertex::Bite { point: Vec3::new(8.0, -4.0, 1.0), spring: Spring::linear(15.0) },
            Vertex::Anchor(1),
            Vertex::Anchor(2),
        ],
        passages: vec![
            Passage::Sliding(0.0),
            Passage::Sliding(0.1),
            Passage::Sliding(0.25),
            Passage::Sliding(0.15),
            Passage::Sliding(0.0),
        ],
        closed: false,
    }
}

/// One closed strand through two eyelets over two crossings.
pub fn closed(stiffness: Option<f64>) -> Rig {
    of(Path {
        anchors: vec![(Vec3::new(4.0, 0.0, -4.0), stiffness), (Vec3::new(-7.0, 1.0, 9.0), stiffness)],
        vertices: vec![
            Vertex::Anchor(0),
            Vertex::Bone(Vec3::new(6.0, 4.0, 2.0)),
            Vertex::Anchor(1),
            Vertex::Bone(Vec3::new(6.0, -5.0, 1.0)),
        ],
        passages: vec![Passage::Sliding(0.1); 4],
        closed: true,
    })
}

/// Ties limb 0 with such rest material that, before any slip, its segments carry `tensions`.
pub fn tied(rig: &Rig, state: &mut State, tensions: &[f64]) {
    let lengths = Solver::new(rig).limb_report(state, &Controls::idle(1), 0).lengths;
    let rest: Vec<f64> =
        lengths.iter().zip(tensions).map(|(length, tension)| length * RIGIDITY / (RIGIDITY + tension)).collect();
    state.strands[0] = Strand::Tied { feed: vec![0.0; rest.len()], rest };
}

/// Ratio of the second to the first segment's tension of limb 0.
pub fn ratio(rig: &Rig, state: &State) -> f64 {
    let tensions = Solver::new(rig).limb_report(state, &Controls::idle(1), 0).tensions;
    tensions[1] / tensions[0]
}
