//! What the checks build their rigs from, and how they bring them to rest.
#![allow(dead_code)] // Two test programs share this file; neither uses all of it.

use rimhold::math::{Mat3, Vec3};
use rimhold::mechanics::{
    Anchor, Arrival, Bed, BedLaw, Controls, Envelope, Limb, LimbReport, Motion, Passage, Pose,
    Ramp, Rig, Seat, Solver, State, Strand, Vertex,
};

/// Steps of a quarter, and never more than a half.
pub const GENTLE: Ramp = Ramp {
    first: 0.25,
    largest: 0.5,
    continued: false,
};

/// A seat that no segment of ordinary length touches.
pub const SEAT: Seat = Seat {
    length: 1.0,
    stiffness: 200.0,
};

/// A bed of 20 × 10 mm in the plane z = 0, cut into these cells.
pub fn bed(law: BedLaw, cells: (usize, usize)) -> Bed {
    Bed::rectangle(Vec3::zeros(), axes(), law, (20.0, 10.0), cells)
}

/// Bed axes: t along x, m along y, normal along z (right-handed).
pub fn axes() -> Mat3 {
    Mat3::identity()
}

/// A rig whose bed bears nothing: what hangs in the air. The bed's extent still scales moments.
pub fn aloft() -> Rig {
    let nothing = BedLaw {
        normal: 0.0,
        shear: 0.0,
        friction: 0.0,
    };
    Rig::new(Vec3::zeros(), bed(nothing, (4, 2)), SEAT)
}

/// Adds a rigid anchor.
pub fn rigid(rig: &mut Rig, place: [f64; 3]) -> Vertex {
    sprung(rig, place, None)
}

/// Adds an anchor with (or without) give.
pub fn sprung(rig: &mut Rig, place: [f64; 3], stiffness: Option<f64>) -> Vertex {
    Vertex::Anchor(rig.add_anchor(Anchor {
        place: place.into(),
        stiffness,
    }))
}

/// A vertex on the fragment's bone.
pub fn bone(place: [f64; 3]) -> Vertex {
    Vertex::Bone(place.into())
}

/// A limb that slides over every vertex with one friction coefficient.
pub fn limb(path: Vec<Vertex>, friction: f64, rigidity: f64) -> Limb {
    Limb {
        passages: vec![Passage::Sliding(friction); path.len()],
        path,
        closed: false,
        rigidity,
    }
}

/// A strand tied at the given tension in every segment at the present geometry of limb `k`.
pub fn tie_at(solver: &mut Solver<'_>, state: &mut State, k: usize, tension: f64) {
    let idle = Controls::idle(solver.rig().limbs.len());
    let rigidity = solver.rig().limbs[k].rigidity;
    let lengths = solver.limb_report(state, &idle, k).lengths;
    let rest: Vec<f64> = lengths
        .iter()
        .map(|length| length * rigidity / (rigidity + tension))
        .collect();
    let feed = vec![0.0; rest.len()];
    state.strands[k] = Strand::Tied { rest, feed };
}

/// Rest material of a tied limb, mm.
pub fn material(state: &State, k: usize) -> Vec<f64> {
    match &state.strands[k] {
        Strand::Tied { rest, .. } => rest.clone(),
        other => panic!("limb {k} is not tied: {other:?}"),
    }
}

/// Holds the fragment where it lies until strands and sprung points are at rest.
pub fn hold(solver: &mut Solver<'_>, state: &mut State, controls: &Controls) {
    let held = Controls {
        motion: Motion::Held,
        ..controls.clone()
    };
    let arrival = solver.ramp(state, &held, &held, GENTLE, None);
    assert_eq!(arrival, Arrival::Arrived(1.0));
}

/// Carries the held fragment to `shift` in one go and reports limb `k` there.
pub fn carry(solver: &mut Solver<'_>, state: &mut State, shift: [f64; 3], k: usize) -> LimbReport {
    let idle = Controls::idle(solver.rig().limbs.len());
    state.configuration.pose = Pose {
        shift: shift.into(),
        ..Pose::default()
    };
    hold(solver, state, &idle);
    solver.limb_report(state, &idle, k)
}

/// Lets a held fragment go gradually: the instrument that held it bears less and less.
pub fn let_go(solver: &mut Solver<'_>, state: &mut State, controls: &Controls) -> Arrival {
    hold(solver, state, controls);
    let mut from = controls.clone();
    from.instrument -= solver.net_wrench(state, controls);
    solver.ramp(state, &from, controls, GENTLE, None)
}

/// Lets a held fragment go and insists that it comes to certified rest.
pub fn rest(solver: &mut Solver<'_>, state: &mut State, controls: &Controls) {
    let arrival = let_go(solver, state, controls);
    assert_eq!(arrival, Arrival::Arrived(1.0));
    certified(solver, state, controls);
}

/// Insists on a certificate.
pub fn certified(solver: &mut Solver<'_>, state: &State, controls: &Controls) {
    let certificate = solver.certify(state, controls);
    assert!(certificate.holds(), "{certificate:?}");
}

/// Controls that push the reference point along `direction`, at distance zero from where it is.
pub fn push_from(
    rig: &Rig,
    state: &State,
    controls: &Controls,
    direction: [f64; 3],
    guided: bool,
) -> Controls {
    Controls {
        motion: Motion::Push {
            direction: Vec3::from(direction).normalize(),
            point: rig.reference,
            from: state.pose().place(&rig.reference, &rig.reference),
            distance: 0.0,
            guided,
        },
        ..controls.clone()
    }
}

/// Pushes on to `to` mm in `steps` equal steps; the load there, certified.
pub fn push(
    solver: &mut Solver<'_>,
    state: &mut State,
    controls: &mut Controls,
    to: f64,
    steps: usize,
) -> f64 {
    let share = 1.0 / steps as f64;
    let even = Ramp {
        first: share,
        largest: share,
        continued: false,
    };
    let mut target = controls.clone();
    if let Motion::Push { distance, .. } = &mut target.motion {
        *distance = to;
    }
    let arrival = solver.ramp(state, controls, &target, even, None);
    assert_eq!(arrival, Arrival::Arrived(1.0));
    *controls = target;
    certified(solver, state, controls);
    state.configuration.load
}

/// An envelope that only resists turning.
pub fn against_turning(stiffness: f64) -> Envelope {
    Envelope {
        shift_stiffness: 0.0,
        turn_stiffness: stiffness,
        rest: Pose::default(),
    }
}

/// Insists that two numbers agree to `tolerance`.
#[track_caller]
pub fn near(found: f64, expected: f64, tolerance: f64) {
    assert!(
        (found - expected).abs() <= tolerance,
        "found {found}, expected {expected} ± {tolerance:e} (off by {:e})",
        found - expected
    );
}

/// The root of a falling function between `low` and `high`, by bisection to the last bit.
pub fn root(mut low: f64, mut high: f64, f: impl Fn(f64) -> f64) -> f64 {
    assert!(f(low) > 0.0 && f(high) < 0.0, "no root between");
    for _ in 0..200 {
        let middle = 0.5 * (low + high);
        if f(middle) > 0.0 {
            low = middle;
        } else {
            high = middle;
        }
    }
    0.5 * (low + high)
}
