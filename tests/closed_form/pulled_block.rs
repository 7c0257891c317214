//! A block pressed on a rough plane and pulled along it by a limb that also presses it. Source:
//! Coulomb friction and the balance of forces on a plane: a pull T at an angle θ to the plane, toward
//! it, moves the block when T cos θ > μ (N + T sin θ), that is beyond
//! T* = μN / (cos θ − μ sin θ); with tan θ ≥ 1/μ it never does.

use crate::closed_form::rigging::{SEAT, bed, bone, let_go, limb, near, rigid};
use rimhold::math::Vec3;
use rimhold::mechanics::{Arrival, BedLaw, Controls, DeadLoad, Pose, Ramp, Rig, Solver, State, Strand};
use rimhold::study::BedHold;

const LAW: BedLaw = BedLaw::plane(10.0, 3.0, 0.5);
const WEIGHT: f64 = 100.0;
/// The anchor is so far away (mm) that the limb keeps its direction to 1e-9 while the block slides:
/// nearer by, it would be pulled ever steeper and come to rest again.
const FAR: f64 = 1e11;

/// A block at rest under its weight, with a limb from its base's middle to a far anchor at `angle`
/// below the plane and `heading` in it: the pull passes through the middle of the bed, so that the
/// pressure stays even and all cells reach their limit at once.
fn block(angle: f64, heading: f64) -> (Rig, State) {
    let mut rig = Rig::new(Vec3::zeros(), bed(LAW, (8, 4)), SEAT);
    rig.loads.push(DeadLoad { point: Vec3::zeros(), force: Vec3::new(0.0, 0.0, -WEIGHT), during_tying: true });
    let way = Vec3::new(angle.cos() * heading.cos(), angle.cos() * heading.sin(), -angle.sin());
    let anchor = rigid(&mut rig, (way * FAR).into());
    rig.add_limb(limb(vec![bone([0.0; 3]), anchor], 0.0, 2000.0));
    let mut state =
        rig.laid(Pose { shift: Vec3::new(0.0, 0.0, -WEIGHT / (LAW.normal * rig.bed.area)), ..Pose::default() });
    let mut solver = Solver::new(&rig);
    let idle = Controls::idle(1);
    assert_eq!(let_go(&mut solver, &mut state, &idle), Arrival::Arrived(1.0));
    (rig, state)
}

fn pull(rig: &Rig, state: &State, tension: f64) -> (Arrival, State, f64) {
    let mut state = state.clone();
    state.strands[0] = Strand::Pulled;
    let mut solver = Solver::new(rig);
    let from = Controls::idle(1);
    let mut to = from.clone();
    to.pull[0] = tension;
    let ramp = Ramp { first: 0.1, largest: 0.2, continued: false, ..Ramp::EVEN };
    let arrival = solver.ramp(&mut state, &from, &to, ramp, None);
    if arrival == Arrival::Arrived(1.0) {
        assert!(solver.certify(&state, &to).holds());
    }
    (arrival, state, solver.friction_work)
}

#[test]
fn moves_exactly_beyond_what_friction_can_hold() {
    for degrees in [0.0f64, 10.0, 25.0, 40.0, 55.0] {
        for heading in [0.0, 0.9, -2.2] {
            let angle = degrees.to_radians();
            let threshold = LAW.friction * WEIGHT / (angle.cos() - LAW.friction * angle.sin());
            let (rig, start) = block(angle, heading);
            // One part in a million on either side, as far as the direction is known.
            for below in [0.3, 0.99, 1.0 - 1e-6] {
                let (arrival, state, work) = pull(&rig, &start, below * threshold);
                assert_eq!(arrival, Arrival::Arrived(1.0), "{degrees}° {below}");
                assert_eq!(state.bed, start.bed, "{degrees}° {below}: nothing has slipped");
                // What is not slip is rounding of the two cancelling terms, 1e-16 of some N·mm.
                near(work, 0.0, 1e-12);
            }
            for above in [1.0 + 1e-6, 1.01, 2.0] {
                match pull(&rig, &start, above * threshold).0 {
                    Arrival::Lost(pose) => {
                        let gone = pose.shift.xy().normalize();
                        // Nothing turns: the balance is kept to 1e-11 of the pull, and the anchor is
                        // far enough to keep its direction to 1e-9 of a slide of some mm.
                        near(gone.x, heading.cos(), 1e-9);
                        near(gone.y, heading.sin(), 1e-9);
                    }
                    other => panic!("{degrees}° {above}: must move, found {other:?}"),
                }
            }
        }
    }
}

#[test]
fn a_pull_inside_the_friction_cone_never_moves_it() {
    // tan θ ≥ 1/μ: every newton along brings more than it takes.
    let (rig, start) = block((1.0f64 / LAW.friction).atan() + 1e-3, 0.4);
    for tension in [100.0, 1e3, 1e4] {
        let (arrival, state, _) = pull(&rig, &start, tension);
        assert_eq!(arrival, Arrival::Arrived(1.0));
        assert_eq!(state.bed, start.bed);
    }
}

#[test]
fn the_lock_criterion_has_the_same_threshold() {
    for degrees in [0.0f64, 10.0, 25.0, 40.0, 55.0] {
        let angle = degrees.to_radians();
        let threshold = LAW.friction * WEIGHT / (angle.cos() - LAW.friction * angle.sin());
        let hold = BedHold { normal: Vec3::z(), friction: LAW.friction, compression: WEIGHT, force: Vec3::zeros() };
        let way = Vec3::new(angle.cos(), 0.0, -angle.sin());
        let lock = |share: f64| hold.against(&(way * (share * threshold)), Vec::new());
        assert!(lock(1.0 - 1e-6).locked && !lock(1.0 + 1e-6).locked);
        // The pull's own share of capacity: μ (N + T sin θ).
        let at = lock(1.0);
        near(at.pull, threshold * angle.cos(), 1e-12);
        near(at.capacity, LAW.friction * (WEIGHT + threshold * angle.sin()), 1e-12);
    }
    // What lies on the bed already counts with its direction: 30 N of it help or hinder.
    for (lying, needed) in [(30.0, 10.0), (-30.0, 70.0)] {
        let hold = BedHold {
            normal: Vec3::z(),
            friction: LAW.friction,
            compression: WEIGHT,
            force: Vec3::new(lying, 0.0, 0.0),
        };
        near(hold.against(&Vec3::new(40.0, 0.0, 0.0), Vec::new()).needed, needed, 1e-12);
    }
    // A pull that lifts takes from the compression, never below nothing.
    let hold = BedHold { normal: Vec3::z(), friction: LAW.friction, compression: WEIGHT, force: Vec3::zeros() };
    near(hold.against(&Vec3::new(0.0, 5.0, 40.0), Vec::new()).capacity, 30.0, 1e-12);
    let lifted = hold.against(&Vec3::new(0.0, 5.0, 140.0), Vec::new());
    assert!(lifted.capacity == 0.0 && !lifted.locked);
}

#[test]
fn work_against_friction_is_the_sliding_load_times_the_way_slid() {
    // Pushed by δ under a steady N, a block slides δ − μN/(k_t A) against μN; back again the elastic
    // part is passed twice.
    let (rig, start) = block(0.0, 0.0);
    let elastic = LAW.friction * WEIGHT / (LAW.shear * rig.bed.area);
    let mut state = start.clone();
    let mut solver = Solver::new(&rig);
    let mut controls = crate::closed_form::rigging::push_from(&rig, &state, &Controls::idle(1), [0.6, 0.8, 0.0], true);
    for (to, slid) in [
        (0.5 * elastic, 0.0),
        (0.9, 0.9 - elastic),
        (0.9 - elastic, 0.9 - elastic),
        (0.4, 0.9 - elastic + 0.5 - 2.0 * elastic),
    ] {
        crate::closed_form::rigging::push(&mut solver, &mut state, &mut controls, to, 7);
        // Balance of 2e-9 N over a millimetre.
        near(solver.friction_work, LAW.friction * WEIGHT * slid, 2e-9);
    }
}
