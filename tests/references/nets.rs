//! Cable nets: the equilibrium of tension-only elastic cables between sprung points is the minimum
//! of their potential energy, a convex program: with extension e ≥ Σ lengths − S, e ≥ 0 and each
//! length at least the distance of its ends (second-order cones),
//! minimise Σ ½ EA/S e² + Σ ½ k |x − home|² − F·x.
//! Source: the variational principle of cable networks (Kanno, Ohsaki & Ito 2002; recalled).

use crate::closed_form::rigging::{against_turning, aloft, limb, near, rest, sprung};
use rimhold::math::Vec3;
use rimhold::mechanics::{Controls, DeadLoad, Limb, Pose, Rig, Solver, Spring, State, Strand, Vertex};
use rimhold::verify::cone::Program;

/// Stiffness against turning, N·mm/rad, so high that the fragment only shifts: moments of 1e3 N·mm
/// turn it 1e-7 rad, which moves its points by 1e-6 mm.
const UPRIGHT: f64 = 1e10;

/// A net: anchors (place, stiffness), cables (path, rest length), a force on the fragment.
struct Net {
    rig: Rig,
    rest: Vec<f64>,
    force: Vec3,
}

/// Where the program puts the fragment and the sprung points (anchors, then bites, as they come).
struct Minimum {
    shift: Vec3,
    tensions: Vec<f64>,
}

fn minimum(net: &Net) -> Minimum {
    let mut program = Program::new();
    // Sprung points are measured from home, so that the objective is the energy alone.
    let give =
        |program: &mut Program, stiffness: f64| -> [usize; 3] { [0, 1, 2].map(|_| program.variable(stiffness, 0.0)) };
    let shift = [0, 1, 2].map(|axis| program.variable(0.0, -net.force[axis]));
    type Spot = (Option<[usize; 3]>, Vec3);
    let anchors: Vec<Spot> = net
        .rig
        .anchors
        .iter()
        .map(|anchor| match anchor.spring.map(|spring| spring.toe) {
            Some(k) => (Some(give(&mut program, k)), anchor.place),
            None => (None, anchor.place),
        })
        .collect();
    let mut extensions = Vec::new();
    for (cable, rest) in net.rig.limbs.iter().zip(&net.rest) {
        let spots: Vec<Spot> = cable
            .path
            .iter()
            .map(|vertex| match *vertex {
                Vertex::Anchor(k) => anchors[k],
                Vertex::Bone(p) => (Some(shift), p),
                Vertex::Bite { point: p, spring } => {
                    let offset = give(&mut program, spring.toe);
                    let place = [0, 1, 2].map(|axis| {
                        let x = program.variable(0.0, 0.0);
                        program.equal(vec![(x, 1.0), (shift[axis], -1.0), (offset[axis], -1.0)], 0.0);
                        x
                    });
                    (Some(place), p)
                }
            })
            .collect();
        let extension = program.variable(cable.rigidity / rest, 0.0);
        let mut total = vec![(extension, 1.0)];
        for pair in spots.windows(2) {
            let length = program.variable(0.0, 0.0);
            total.push((length, -1.0));
            let mut cone = vec![(vec![(length, 1.0)], 0.0)];
            for axis in 0..3 {
                let mut terms = Vec::new();
                for (spot, sign) in [(&pair[0], -1.0), (&pair[1], 1.0)] {
                    if let Some(x) = spot.0 {
                        terms.push((x[axis], sign));
                    }
                }
                if let [(a, _), (b, _)] = terms[..]
                    && a == b
                {
                    terms.clear();
                }
                cone.push((terms, pair[1].1[axis] - pair[0].1[axis]));
            }
            program.norm_at_most_first(&cone);
        }
        program.at_least_zero(&total, *rest);
        program.at_least_zero(&[(extension, 1.0)], 0.0);
        extensions.push((extension, cable.rigidity / rest));
    }
    let x = program.solve(1e-9).expect("a bounded net has a minimum");
    Minimum {
        shift: Vec3::new(x[shift[0]], x[shift[1]], x[shift[2]]),
        tensions: extensions.iter().map(|(e, k)| k * x[*e]).collect(),
    }
}

/// The engine's equilibrium of the same net, from the reduced pose.
fn equilibrium(net: &Net) -> (Rig, State) {
    let mut rig = net.rig.clone();
    rig.envelope = Some(against_turning(UPRIGHT));
    rig.loads.push(DeadLoad { point: rig.reference, force: net.force, during_tying: true });
    let mut state = rig.laid(Pose::default());
    for (k, rest) in net.rest.iter().enumerate() {
        let count = rig.limbs[k].segments();
        state.strands[k] = Strand::Tied { rest: vec![rest / count as f64; count], feed: vec![0.0; count] };
    }
    let mut solver = Solver::new(&rig);
    rest(&mut solver, &mut state, &Controls::idle(rig.limbs.len()));
    (rig.clone(), state)
}

#[track_caller]
fn compare(net: &Net) -> Vec<f64> {
    let reference = minimum(net);
    let (rig, state) = equilibrium(net);
    let mut solver = Solver::new(&rig);
    // The interior point stops at a gap of 1e-9 of an energy of some 100 N·mm; at a minimum of
    // curvature 50 N/mm and more that leaves √(2 × 1e-7/50) ≈ 6e-5 mm, and with EA/S of 80 N/mm
    // some 5e-3 N.
    near((state.pose().shift - reference.shift).norm(), 0.0, 6e-5);
    let controls = Controls::idle(rig.limbs.len());
    for (k, tension) in reference.tensions.iter().enumerate() {
        let own = solver.limb_report(&state, &controls, k).tensions[0];
        near(own, *tension, 5e-3);
    }
    reference.tensions
}

fn cable(path: Vec<Vertex>) -> Limb {
    limb(path, 0.0, 1200.0)
}

fn at(place: [f64; 3]) -> Vertex {
    Vertex::Bone(place.into())
}

#[test]
fn fragment_hung_on_cables_some_of_them_slack() {
    let mut rig = aloft();
    let anchors = [
        ([-14.0, 2.0, 12.0], None),
        ([13.0, 3.0, 14.0], Some(30.0)),
        ([1.0, -15.0, 11.0], Some(75.0)),
        ([2.0, 16.0, 13.0], None),
        ([0.0, 1.0, -15.0], None),
    ]
    .map(|(place, stiffness)| sprung(&mut rig, place, stiffness));
    let ends = [[-4.0, 0.0, 1.0], [4.0, 1.0, 2.0], [0.0, -3.0, 1.0], [0.0, 3.0, 1.5], [0.0, 0.0, -2.0]];
    for (anchor, end) in anchors.into_iter().zip(ends) {
        rig.add_limb(cable(vec![anchor, at(end)]));
    }
    let tensions = compare(&Net { rig, rest: vec![14.0, 15.0, 15.2, 18.0, 14.0], force: Vec3::new(3.0, -2.0, -40.0) });
    assert!(tensions[0] > 5.0 && tensions[4] < 5e-3, "{tensions:?}");
}

#[test]
fn net_of_loops_bites_and_a_shared_anchor() {
    let mut rig = aloft();
    let shared = sprung(&mut rig, [-12.0, 0.0, 9.0], Some(40.0));
    let right = sprung(&mut rig, [12.0, 1.0, 8.0], Some(60.0));
    let back = sprung(&mut rig, [0.0, 13.0, 7.0], None);
    let front = sprung(&mut rig, [1.0, -12.0, 10.0], Some(25.0));
    let bite = |point: [f64; 3]| Vertex::Bite { point: point.into(), spring: Spring::linear(15.0) };
    rig.add_limb(cable(vec![shared, at([-3.0, 1.0, 2.0]), at([3.0, 1.0, 2.5]), right]));
    rig.add_limb(cable(vec![shared, bite([-2.0, -2.0, 1.0]), shared]));
    rig.add_limb(cable(vec![back, bite([0.0, 3.0, 1.0]), right]));
    rig.add_limb(cable(vec![front, at([0.0, -3.0, 0.0])]));
    let tensions = compare(&Net { rig, rest: vec![28.0, 22.0, 27.0, 12.0], force: Vec3::new(-4.0, 5.0, -60.0) });
    assert!(tensions.iter().filter(|t| **t > 1.0).count() >= 3, "{tensions:?}");
}
