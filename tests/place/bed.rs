//! The best angle of a pull that holds a block on a rough bed.
//!
//! A rigid block on a flat, stiff bed with friction μ, pressed by a small force W and by a limb that
//! turns on it at the middle of its base and runs to two far anchors in one direction, at the angle α
//! above nothing: both legs pull with T toward the anchor, by T cos α along the bed and T sin α into
//! it. Pushed away from the anchor, the block slides when the push is
//!
//! ```text
//! λ(α) = 2T cos α + μ (W + 2T sin α)
//! ```
//!
//! (balance along the bed; Coulomb). `dλ/dα = 2T (−sin α + μ cos α) = 0` at `tan α = μ`: the best pull
//! leans atan(1/μ) from square to the bed, and `λ = 2T √(1 + μ²) + μ W`.

use rimhold::math::Vec3;
use rimhold::mechanics::{Arrival, BedLaw, Controls, DeadLoad, Motion, Pose, Ramp, Rig, Solver, Strand};
use rimhold::optimise::{Judged, Plan, seek};
use rimhold::verify::rigging::{SEAT, at_distance, bed, bone, limb, push_from, rigid};

const TENSION: f64 = 25.0;
const WEIGHT: f64 = 1.0;
/// So far away (mm) that the legs keep their direction to 1e-9 while the block moves a millimetre.
const FAR: f64 = 1e9;
/// Stiff: full friction is reached after μp/k_t, well under a millimetre.
const STIFF: f64 = 200.0;

const STEPS: Ramp = Ramp { first: 0.1, largest: 0.2, continued: false, ..Ramp::EVEN };

/// The push that slides the block, from the program's own solver.
fn load(angle: f64, friction: f64) -> f64 {
    let law = BedLaw::plane(STIFF, STIFF, friction);
    let mut rig = Rig::new(Vec3::zeros(), bed(law, (8, 4)), SEAT);
    rig.loads.push(DeadLoad { point: Vec3::zeros(), force: Vec3::new(0.0, 0.0, -WEIGHT), during_tying: true });
    let way = Vec3::new(angle.cos(), 0.0, -angle.sin()) * FAR;
    let ends = [0, 1].map(|_| rigid(&mut rig, way.into()));
    rig.add_limb(limb(vec![ends[0], bone([0.0; 3]), ends[1]], 0.0, 2000.0));
    let mut state = rig.laid(Pose { shift: Vec3::new(0.0, 0.0, -WEIGHT / (STIFF * rig.bed.area)), ..Pose::default() });
    state.strands[0] = Strand::Pulled;
    let mut solver = Solver::new(&rig);
    // Held where it lies while the limb is pulled, then pushed away from the anchor.
    let idle = Controls::idle(1);
    let still = push_from(&rig, &state, &idle, [-1.0, 0.0, 0.0], false);
    assert!(matches!(still.motion, Motion::Push { .. }));
    let mut pulled = still.clone();
    pulled.pull[0] = TENSION;
    let arrival = solver.ramp(&mut state, &still, &pulled, STEPS, None);
    assert_eq!(arrival, Arrival::Arrived(1.0));
    let away = at_distance(&pulled, 1.0);
    let arrival = solver.ramp(&mut state, &pulled, &away, STEPS, None);
    assert_eq!(arrival, Arrival::Arrived(1.0));
    assert!(solver.certify(&state, &away).holds());
    state.configuration.load
}

#[test]
fn the_best_pull_leans_by_the_angle_whose_tangent_is_one_over_friction() {
    for friction in [0.3, 0.5, 0.9] {
        let judge = |x: &[f64]| Judged { cost: -load(x[0].to_radians(), friction), violation: 0.0 };
        let plan = Plan { starts: 1, particles: 8, rounds: 4, evaluations: 200, least_edge: 1e-6, ..Plan::default() };
        let found = seek(&[[1.0, 89.0]], None, &judge, &plan, &());
        let best = 2.0 * TENSION * friction.hypot(1.0) + friction * WEIGHT;
        let reached = -found.point().judged.cost;
        // The solver's balance is 1e-9 N; the optimum is flat.
        assert!((reached - best).abs() < 1e-6, "{reached} {best}");
        let off_square = 90.0 - found.point().at[0];
        let expected = (1.0 / friction).atan().to_degrees();
        // A cost 1e-8 N short of 50 N is 2e-5 rad off; costs are told apart to about that.
        assert!((off_square - expected).abs() < 0.01, "{off_square} {expected}");
    }
}
