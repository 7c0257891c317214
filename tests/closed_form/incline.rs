//! Block on an incline under its weight. Source: Coulomb, the angle of repose: it stays while
//! tan α ≤ μ. With a dead load nothing else can hold it, so sliding is a finding, not a number.

use crate::rigging::{SEAT, bed, let_go, near};
use rimhold::math::Vec3;
use rimhold::mechanics::{Arrival, BedLaw, Controls, DeadLoad, Pose, Rig, Solver};

const FRICTION: f64 = 0.5;
const WEIGHT: f64 = 100.0;

/// A block laid on its bed so that the pressure already bears the normal load, let go; with the
/// load inclined by α toward `heading` in the bed plane.
fn incline(tangent: f64, heading: f64, cells: (usize, usize)) -> (Arrival, [f64; 3]) {
    let law = BedLaw {
        normal: 10.0,
        shear: 3.0,
        friction: FRICTION,
    };
    let angle = tangent.atan();
    let (down, along) = (WEIGHT * angle.cos(), WEIGHT * angle.sin());
    let mut rig = Rig::new(Vec3::zeros(), bed(law, cells), SEAT);
    rig.loads.push(DeadLoad {
        point: Vec3::zeros(),
        force: Vec3::new(along * heading.cos(), along * heading.sin(), -down),
        during_tying: true,
    });
    let mut solver = Solver::new(&rig);
    let mut state = rig.laid(Pose {
        shift: Vec3::new(0.0, 0.0, -down / (law.normal * rig.bed.area)),
        ..Pose::default()
    });
    let controls = Controls::idle(0);
    let arrival = let_go(&mut solver, &mut state, &controls);
    if arrival == Arrival::Arrived(1.0) {
        assert!(solver.certify(&state, &controls).holds());
        // Inside the limit the friction bears exactly the load along the bed: balance to 2e-9 N.
        let (pressure, friction) = solver.bed_forces(&state);
        near(pressure.norm(), down, 2e-9);
        near(friction.norm(), along, 2e-9);
    }
    (arrival, state.pose().shift.into())
}

#[test]
fn stays_below_the_angle_of_repose_and_slides_above_it() {
    for heading in [0.0, 0.7, 2.5, -1.6] {
        for cells in [(8, 4), (20, 10)] {
            // One part in a million on either side: the balance is kept to 1e-11.
            for below in [0.1, 0.9, 1.0 - 1e-3, 1.0 - 1e-6] {
                let (arrival, shift) = incline(FRICTION * below, heading, cells);
                assert_eq!(arrival, Arrival::Arrived(1.0), "tan α = {below} μ");
                // It has only given elastically, by less than μp/k_t.
                assert!(shift[0].hypot(shift[1]) <= FRICTION * 0.5 / 3.0);
            }
            for above in [1.0 + 1e-6, 1.0 + 1e-3, 1.2, 2.0] {
                let (arrival, _) = incline(FRICTION * above, heading, cells);
                match arrival {
                    Arrival::Lost(pose) => {
                        // It has gone the way that the load points.
                        let gone = pose.shift.xy().normalize();
                        near(gone.x, heading.cos(), 1e-3);
                        near(gone.y, heading.sin(), 1e-3);
                    }
                    other => panic!("tan α = {above} μ must slide, found {other:?}"),
                }
            }
        }
    }
}
