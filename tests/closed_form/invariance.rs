//! What must not matter: where the scene stands, which way it is turned, whether it is seen in a
//! mirror, and the order in which limbs and anchors are listed. Source: the balance of forces is
//! covariant under isometries of space (a force is a vector, a moment an axial vector).

use crate::closed_form::rigging::{GENTLE, SEAT, all_pass, certified, near, push, push_from, rest};
use rimhold::math::{Mat3, Rotation, Vec3, lower, upper};
use rimhold::mechanics::{
    Anchor, Arrival, Bed, BedLaw, Controls, DeadLoad, Envelope, Limb, Limits, Passage, Pose, Rig, Solver, Spring,
    Strand, Tether, Vertex,
};
use rimhold::verify::closed_form;

/// An isometry: x ↦ Q x + c, with det Q = ±1.
struct Isometry {
    q: Mat3,
    c: Vec3,
}

impl Isometry {
    fn point(&self, x: f64, y: f64, z: f64) -> Vec3 {
        self.q * Vec3::new(x, y, z) + self.c
    }
    fn vector(&self, x: f64, y: f64, z: f64) -> Vec3 {
        self.q * Vec3::new(x, y, z)
    }
    /// An axial vector: a turn, a moment.
    fn axial(&self, v: Vec3) -> Vec3 {
        self.q * v * self.q.determinant()
    }
}

/// A rig with one of everything and no symmetry, moved by `by`; its limbs listed in `order`.
fn rig(by: &Isometry, order: &[usize]) -> Rig {
    let law = BedLaw::plane(10.0, 3.0, 0.4);
    let bed = Bed::rectangle(by.point(0.0, 0.0, 0.0), by.q, law, (18.0, 9.0), (16, 8));
    let mut rig = Rig::new(by.point(0.3, -0.2, 3.0), bed, SEAT);
    let anchors: Vec<Vertex> = [
        ([-11.0, 3.0, -4.0], Some(30.0)),
        ([2.0, 9.0, -1.0], Some(75.0)),
        ([9.0, -8.0, -2.0], None),
        ([-6.0, -9.0, -3.0], Some(40.0)),
    ]
    .into_iter()
    .map(|([x, y, z], stiffness)| {
        Vertex::Anchor(rig.add_anchor(Anchor { place: by.point(x, y, z), spring: stiffness.map(Spring::linear) }))
    })
    .collect();
    let bone = |x, y, z| Vertex::Bone(by.point(x, y, z));
    let bite = Vertex::Bite { point: by.point(-5.0, -2.0, 4.0), spring: Spring::linear(15.0) };
    let limbs = [
        (vec![anchors[0], bone(-4.0, 2.0, 5.0), bone(2.0, 3.0, 5.5), anchors[1]], 0.1),
        (vec![anchors[1], bone(5.0, 1.0, 6.0), anchors[2]], 0.15),
        (vec![anchors[3], bite, anchors[3]], 0.1),
        (vec![anchors[3], bone(0.0, -3.0, 5.0), bone(4.0, -2.0, 6.0), anchors[2]], 0.05),
    ];
    for &k in order {
        let (path, friction) = limbs[k].clone();
        rig.add_limb(Limb {
            passages: vec![Passage::Sliding(friction); path.len()],
            path,
            closed: false,
            rigidity: 1500.0 + 200.0 * k as f64,
            limits: Limits::NONE,
        });
    }
    rig.envelope = Some(Envelope {
        shift_stiffness: 1.0,
        turn_stiffness: 100.0,
        rest: Pose { shift: by.vector(0.2, -0.4, 0.1), turn: Rotation::new(by.axial(Vec3::new(0.02, 0.03, -0.05))) },
    });
    rig.tethers.push(Tether {
        fragment: by.point(-8.0, 0.0, 2.0),
        scapula: by.point(-12.0, 1.0, 1.0),
        stiffness: 20.0,
        slack: 0.1,
    });
    rig.loads.push(DeadLoad { point: by.point(3.0, 1.0, 4.0), force: by.vector(2.0, -5.0, 1.0), during_tying: true });
    rig
}

/// Everything that is compared: numbers that no isometry changes, and the motion brought back.
struct Answer {
    scalars: Vec<f64>,
    motion: Vec<f64>,
}

/// Ties all limbs, two by two in the order of their names, and pushes 1 mm.
fn solve(by: &Isometry, order: &[usize]) -> Answer {
    let rig = rig(by, order);
    let mut solver = Solver::new(&rig);
    let start = Pose { shift: by.vector(0.0, 0.0, -0.02), ..Pose::default() };
    let mut state = rig.laid(start);
    let n = order.len();
    let at = |limb: usize| order.iter().position(|k| *k == limb).unwrap();
    let mut controls = Controls::idle(n);
    rest(&mut solver, &mut state, &controls);
    for pair in [[0, 2], [1, 3]] {
        let mut to = controls.clone();
        for limb in pair {
            state.strands[at(limb)] = Strand::Pulled;
            to.pull[at(limb)] = 20.0 + 5.0 * limb as f64;
        }
        let arrival = solver.ramp(&mut state, &controls, &to, GENTLE, None);
        assert_eq!(arrival, Arrival::Arrived(1.0));
        controls = to;
        for limb in pair {
            let segments = rig.limbs[at(limb)].segments();
            let mut feed = vec![0.0; segments];
            feed[segments - 1] = 0.05;
            solver.lock(&mut state, &controls, at(limb), feed);
            controls.pull[at(limb)] = 0.0;
        }
        let mut grown = controls.clone();
        grown.feed = 1.0;
        let arrival = solver.ramp(&mut state, &controls, &grown, GENTLE, None);
        assert_eq!(arrival, Arrival::Arrived(1.0));
        controls = grown;
        certified(&mut solver, &state, &controls);
        solver.absorb_feed(&mut state, &mut controls);
    }
    let direction = by.vector(0.8, -0.6, 0.0).into();
    let mut controls = push_from(&rig, &state, &controls, direction, false);
    let mut answer = Answer { scalars: Vec::new(), motion: Vec::new() };
    for distance in [0.25, 0.5, 0.75, 1.0] {
        answer.scalars.push(push(&mut solver, &mut state, &mut controls, distance, 5));
        let (pressure, friction) = solver.bed_forces(&state);
        answer.scalars.extend([pressure.norm(), friction.norm()]);
        for limb in 0..n {
            let report = solver.limb_report(&state, &controls, at(limb));
            answer.scalars.extend(report.tensions);
            answer.scalars.extend(report.lengths);
            let back = by.q.transpose() * upper(&report.wrench);
            answer.motion.extend(back.iter());
            let back = by.axial_back(lower(&report.wrench));
            answer.motion.extend(back.iter());
        }
        let pose = state.pose();
        answer.motion.extend((by.q.transpose() * pose.shift).iter());
        answer.motion.extend(by.axial_back(pose.turn.scaled_axis()).iter());
    }
    answer
}

impl Isometry {
    fn axial_back(&self, v: Vec3) -> Vec3 {
        self.q.transpose() * v * self.q.determinant()
    }
}

/// The same path of accepted steps in other axes differs by rounding, which the condition of the
/// sliding bed (EA/k of a few hundred) raises from 1e-15 × 100 N: seen 1e-11, allowed 1e-8.
#[track_caller]
fn same(a: &Answer, b: &Answer) {
    assert_eq!(a.scalars.len(), b.scalars.len());
    for (x, y) in a.scalars.iter().zip(&b.scalars).chain(a.motion.iter().zip(&b.motion)) {
        near(*x, *y, 1e-8);
    }
}

const LISTED: [usize; 4] = [0, 1, 2, 3];

fn as_it_stands() -> Isometry {
    Isometry { q: Mat3::identity(), c: Vec3::zeros() }
}

#[test]
fn rotation_and_translation_of_the_whole_rig_change_no_number() {
    let reference = solve(&as_it_stands(), &LISTED);
    assert!(reference.scalars[0] > 1.0, "the push must meet something");
    for (turn, c) in [
        (Vec3::new(0.0, 0.0, 1.0), Vec3::new(5.0, -3.0, 40.0)),
        (Vec3::new(1.1, -2.0, 0.4), Vec3::new(-100.0, 20.0, 7.0)),
        (Vec3::new(0.0, 3.0, 0.0), Vec3::zeros()),
    ] {
        let moved = Isometry { q: *Rotation::new(turn).to_rotation_matrix().matrix(), c };
        same(&reference, &solve(&moved, &LISTED));
    }
}

#[test]
fn mirrored_rig_gives_the_mirrored_answer() {
    let reference = solve(&as_it_stands(), &LISTED);
    for normal in [Vec3::x(), Vec3::z(), Vec3::new(1.0, 2.0, -2.0) / 3.0] {
        let mirror = Isometry { q: Mat3::identity() - normal * normal.transpose() * 2.0, c: normal * 3.0 };
        same(&reference, &solve(&mirror, &LISTED));
    }
}

#[test]
fn order_in_which_limbs_are_listed_changes_nothing() {
    let reference = solve(&as_it_stands(), &LISTED);
    for order in [[3, 2, 1, 0], [2, 0, 3, 1]] {
        same(&reference, &solve(&as_it_stands(), &order));
    }
}

#[test]
fn clock_position_alone_changes_no_load() {
    all_pass(closed_form::clock);
}
