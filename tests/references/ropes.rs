//! A rigid body hung under gravity on inextensible ropes, settled in time by a general-purpose
//! rigid-body engine (rapier), against the equilibrium of very stiff strands under a dead load.

use crate::closed_form::rigging::{aloft, bone, limb, near, rest, rigid};
use rapier3d_f64::prelude::*;
use rimhold::math::Vec3;
use rimhold::mechanics::{Controls, DeadLoad, Pose as Lie, Solver, Strand};

/// Ropes: anchor, point on the body (its centre of mass at the origin), length. Metres there, mm
/// here: the pose has no scale.
type Rope = ([f64; 3], [f64; 3], f64);

/// Where the engine's body comes to rest, as places of its points.
fn settled(ropes: &[Rope]) -> Vec<Vec3> {
    let mut bodies = RigidBodySet::new();
    let mut joints = ImpulseJointSet::new();
    let vector = |p: [f64; 3]| Vector::new(p[0], p[1], p[2]);
    let fixed = bodies.insert(RigidBodyBuilder::fixed());
    let inertia = Vector::new(8.0, 8.0, 8.0);
    let body = bodies.insert(
        RigidBodyBuilder::dynamic()
            .additional_mass_properties(MassProperties::new(Vector::ZERO, 1.0, inertia))
            .linear_damping(2.0)
            .angular_damping(2.0)
            .can_sleep(false),
    );
    for (anchor, end, length) in ropes {
        let rope = RopeJointBuilder::new(*length).local_anchor1(vector(*anchor)).local_anchor2(vector(*end));
        joints.insert(fixed, body, rope, true);
    }
    let parameters =
        IntegrationParameters { dt: 1.0 / 400.0, num_solver_iterations: 16, ..IntegrationParameters::default() };
    let mut pipeline = PhysicsPipeline::new();
    let mut islands = IslandManager::new();
    let mut broad = DefaultBroadPhase::new();
    let mut narrow = NarrowPhase::new();
    let mut colliders = ColliderSet::new();
    let mut multibody = MultibodyJointSet::new();
    let mut ccd = CCDSolver::new();
    for _ in 0..20_000 {
        pipeline.step(
            Vector::new(0.0, 0.0, -9.81),
            &parameters,
            &mut islands,
            &mut broad,
            &mut narrow,
            &mut bodies,
            &mut colliders,
            &mut joints,
            &mut multibody,
            &mut ccd,
            &(),
            &(),
        );
    }
    let body = &bodies[body];
    // Its iterated constraints keep trembling a little; at these dampings (2/s) a speed of 1e-4/s
    // means that no more than some 1e-4 of the way is left.
    assert!(body.linvel().length() < 1e-4 && body.angvel().length() < 1e-4, "not at rest");
    ropes
        .iter()
        .map(|(_, end, _)| {
            let place = body.position().transform_point(vector(*end));
            Vec3::new(place.x, place.y, place.z)
        })
        .collect()
}

/// Where the fragment hangs on ever stiffer strands, up to EA = 1e6 N (stiffer ones round
/// the balance above what is certified), and their tensions.
fn hung(ropes: &[Rope]) -> (Vec<Vec3>, Vec<f64>) {
    let mut lie = Lie::default();
    let mut found = (Vec::new(), Vec::new());
    for rigidity in [1e3, 1e4, 1e5, 1e6] {
        let mut rig = aloft();
        for (anchor, end, _) in ropes {
            let path = vec![rigid(&mut rig, *anchor), bone(*end)];
            rig.add_limb(limb(path, 0.0, rigidity));
        }
        rig.loads.push(DeadLoad { point: Vec3::zeros(), force: Vec3::new(0.0, 0.0, -9.81), during_tying: true });
        let mut state = rig.laid(lie);
        for (strand, (_, _, length)) in state.strands.iter_mut().zip(ropes) {
            *strand = Strand::Tied { rest: vec![*length], feed: vec![0.0] };
        }
        let mut solver = Solver::new(&rig);
        let free = Controls::idle(ropes.len());
        rest(&mut solver, &mut state, &free);
        lie = *state.pose();
        let reports: Vec<_> = (0..ropes.len()).map(|k| solver.limb_report(&state, &free, k)).collect();
        found = (
            reports.iter().map(|report| report.places[1]).collect(),
            reports.iter().map(|report| report.tensions[0]).collect(),
        );
    }
    found
}

/// Lengths of the ropes as they are at the origin, and so much more.
fn lengths(ropes: &[([f64; 3], [f64; 3], f64)]) -> Vec<Rope> {
    ropes.iter().map(|(a, b, more)| (*a, *b, (Vec3::from(*a) - Vec3::from(*b)).norm() + more)).collect()
}

#[track_caller]
fn compare(ropes: &[Rope], slack: &[usize]) {
    let (places, tensions) = hung(ropes);
    for (k, tension) in tensions.iter().enumerate() {
        assert_eq!(*tension == 0.0, slack.contains(&k), "{tensions:?}");
    }
    // The strands' own stretch is 4 N × 10 mm/1e6 N = 4e-5 mm, and the trembling 1e-4.
    for (own, theirs) in places.iter().zip(settled(ropes)) {
        near((own - theirs).norm(), 0.0, 2e-4);
    }
}

#[test]
fn body_on_three_ropes() {
    compare(
        &lengths(&[
            ([-6.0, -4.0, 10.0], [-4.0, -3.0, 1.0], 0.0),
            ([7.0, -3.0, 9.0], [4.0, -2.0, 1.5], 0.3),
            ([0.0, 8.0, 11.0], [0.0, 4.0, 2.0], -0.2),
        ]),
        &[],
    );
}

#[test]
fn body_on_four_ropes_of_which_one_is_slack() {
    compare(
        &lengths(&[
            ([-6.0, -4.0, 10.0], [-4.0, -3.0, 1.0], 0.0),
            ([7.0, -3.0, 9.0], [4.0, -2.0, 1.5], 0.3),
            ([0.0, 8.0, 11.0], [0.0, 4.0, 2.0], -0.2),
            ([1.0, 1.0, 12.0], [0.0, 0.0, 3.0], 1.5),
        ]),
        &[3],
    );
}
