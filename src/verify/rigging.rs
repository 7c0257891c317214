//! What the checks build their rigs from, and how they bring them to rest. Nothing here solves
//! anything by itself: it drives the solver through its public interface.

use super::check::Found;
use crate::math::{Mat3, Vec3};
use crate::mechanics::{
    Anchor, Arrival, Bed, BedLaw, Controls, DeadLoad, Envelope, Limb, LimbReport, Limits, Motion, Passage, Pose, Ramp,
    Rig, Seat, Shank, Solver, Spring, State, Strand, Vertex,
};

/// Steps of a quarter, and never more than a half.
pub const GENTLE: Ramp = Ramp { first: 0.25, largest: 0.5, continued: false, ..Ramp::EVEN };

/// A seat that no segment of ordinary length touches.
pub const SEAT: Seat = Seat { length: 1.0, stiffness: 200.0 };

/// A bed law of ordinary size: k_n 10 and k_t 3 MPa/mm, μ 0.5.
pub const LAW: BedLaw = BedLaw::plane(10.0, 3.0, 0.5);

/// A screw of ordinary size: 2.7 mm, titanium alloy, 6 mm in the fragment and 16 mm beyond.
pub const SHANK: Shank = Shank {
    diameter: 2.7,
    core: 1.9,
    head: 5.0,
    modulus: 110_000.0,
    foundation: 40.0,
    strength: f64::INFINITY,
    grip: 6.0,
    working: 16.0,
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
    let nothing = BedLaw::plane(0.0, 0.0, 0.0);
    Rig::new(Vec3::zeros(), bed(nothing, (4, 2)), SEAT)
}

/// Adds a rigid anchor at `place`, mm.
pub fn rigid(rig: &mut Rig, place: [f64; 3]) -> Vertex {
    sprung(rig, place, None)
}

/// Adds an anchor at `place` (mm) with a stiffness (N/mm) or without give.
pub fn sprung(rig: &mut Rig, place: [f64; 3], stiffness: Option<f64>) -> Vertex {
    Vertex::Anchor(rig.add_anchor(Anchor { place: place.into(), spring: stiffness.map(Spring::linear) }))
}

/// A vertex on the fragment's bone, mm.
pub fn bone(place: [f64; 3]) -> Vertex {
    Vertex::Bone(place.into())
}

/// A limb that slides over every vertex with one friction coefficient; rigidity EA in N.
pub fn limb(path: Vec<Vertex>, friction: f64, rigidity: f64) -> Limb {
    Limb { passages: vec![Passage::Sliding(friction); path.len()], path, closed: false, rigidity, limits: Limits::NONE }
}

/// A rig aloft with one limb: from a rigid anchor over places on bone to another rigid anchor.
pub fn strung([from, to]: [[f64; 3]; 2], over: &[[f64; 3]], friction: f64, rigidity: f64) -> Rig {
    let mut rig = aloft();
    let first = rigid(&mut rig, from);
    let mut path = vec![first];
    path.extend(over.iter().map(|place| bone(*place)));
    path.push(rigid(&mut rig, to));
    rig.add_limb(limb(path, friction, rigidity));
    rig
}

/// A rig on a bed that presses a load down on it: `force` (N) at `point` (mm), from the first.
pub fn loaded(bed: Bed, point: Vec3, force: Vec3) -> Rig {
    let mut rig = Rig::new(Vec3::zeros(), bed, SEAT);
    rig.loads.push(DeadLoad { point, force, during_tying: true });
    rig
}

/// A solver for a rig, and the rig's state with the fragment in its reduced pose.
pub fn laid(rig: &Rig) -> (Solver<'_>, State) {
    (Solver::new(rig), rig.laid(Pose::default()))
}

/// Ties limb `k` at the given tension (N) in every segment at its present geometry.
pub fn tie_at(solver: &mut Solver<'_>, state: &mut State, k: usize, tension: f64) {
    let idle = Controls::idle(solver.rig().limbs.len());
    let rigidity = solver.rig().limbs[k].rigidity;
    let lengths = solver.limb_report(state, &idle, k).lengths;
    let rest: Vec<f64> = lengths.iter().map(|length| length * rigidity / (rigidity + tension)).collect();
    let feed = vec![0.0; rest.len()];
    state.strands[k] = Strand::Tied { rest, feed };
}

/// Rest material of each segment of a tied limb, mm; none of one that is not tied.
pub fn material(state: &State, k: usize) -> Vec<f64> {
    match &state.strands[k] {
        Strand::Tied { rest, .. } => rest.clone(),
        Strand::Loose | Strand::Pulled => Vec::new(),
    }
}

/// Insists that a ramp arrived at its end.
///
/// # Errors
/// Where else it ended.
pub fn arrived(arrival: Arrival) -> Found<()> {
    match arrival {
        Arrival::Arrived(1.0) => Ok(()),
        other => Err(format!("the ramp ended otherwise: {other:?}")),
    }
}

/// Holds the fragment where it lies until strands and sprung points are at rest.
///
/// # Errors
/// When they come to none.
pub fn hold(solver: &mut Solver<'_>, state: &mut State, controls: &Controls) -> Found<()> {
    let held = Controls { motion: Motion::Held, ..controls.clone() };
    arrived(solver.ramp(state, &held, &held, GENTLE, None))
}

/// Carries the held fragment to `shift` (mm) in one go and reports limb `k` there.
///
/// # Errors
/// As [`hold`].
pub fn carry(solver: &mut Solver<'_>, state: &mut State, shift: [f64; 3], k: usize) -> Found<LimbReport> {
    let idle = Controls::idle(solver.rig().limbs.len());
    state.configuration.pose = Pose { shift: shift.into(), ..Pose::default() };
    hold(solver, state, &idle)?;
    Ok(solver.limb_report(state, &idle, k))
}

/// Lets a held fragment go gradually: the instrument that held it bears less and less.
///
/// # Errors
/// As [`hold`]; where the fragment goes is an [`Arrival`].
pub fn let_go(solver: &mut Solver<'_>, state: &mut State, controls: &Controls) -> Found<Arrival> {
    hold(solver, state, controls)?;
    let mut from = controls.clone();
    from.instrument -= solver.net_wrench(state, controls);
    Ok(solver.ramp(state, &from, controls, GENTLE, None))
}

/// Lets a held fragment go and insists that it comes to certified rest.
///
/// # Errors
/// When it does not.
pub fn rest(solver: &mut Solver<'_>, state: &mut State, controls: &Controls) -> Found<()> {
    arrived(let_go(solver, state, controls)?)?;
    certified(solver, state, controls)
}

/// Places every screw, tightens them together to `preload` N and locks them; the controls then.
///
/// # Errors
/// When the fragment comes to no rest under them.
pub fn tighten(solver: &mut Solver<'_>, state: &mut State, preload: f64) -> Found<Controls> {
    let rig = solver.rig();
    for k in 0..rig.screws.len() {
        solver.place_screw(state, k);
    }
    let mut controls = rig.idle();
    let from = controls.clone();
    controls.tighten.fill(preload);
    arrived(solver.ramp(state, &from, &controls, GENTLE, None))?;
    for k in 0..rig.screws.len() {
        solver.lock_screw(state, &controls, k);
    }
    rest(solver, state, &rig.idle())?;
    Ok(rig.idle())
}

/// Insists on a certificate.
///
/// # Errors
/// The certificate that does not hold.
pub fn certified(solver: &mut Solver<'_>, state: &State, controls: &Controls) -> Found<()> {
    let certificate = solver.certify(state, controls);
    if certificate.holds() { Ok(()) } else { Err(format!("the certificate does not hold: {certificate:?}")) }
}

/// Controls that push the reference point along `direction`, at distance zero from where it is.
pub fn push_from(rig: &Rig, state: &State, controls: &Controls, direction: [f64; 3], guided: bool) -> Controls {
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

/// Controls of a push at another distance, mm.
pub fn at_distance(controls: &Controls, to: f64) -> Controls {
    let mut target = controls.clone();
    if let Motion::Push { distance, .. } = &mut target.motion {
        *distance = to;
    }
    target
}

/// Pushes on to `to` mm in `steps` equal steps; the load there (N), certified.
///
/// # Errors
/// When the push does not arrive or its state has no certificate.
pub fn push(solver: &mut Solver<'_>, state: &mut State, controls: &mut Controls, to: f64, steps: usize) -> Found<f64> {
    let share = 1.0 / steps as f64;
    let even = Ramp { first: share, largest: share, continued: false, ..Ramp::EVEN };
    let target = at_distance(controls, to);
    arrived(solver.ramp(state, controls, &target, even, None))?;
    *controls = target;
    certified(solver, state, controls)?;
    Ok(state.configuration.load)
}

/// An envelope that only resists turning, N·mm/rad.
pub fn against_turning(stiffness: f64) -> Envelope {
    Envelope { shift_stiffness: 0.0, turn_stiffness: stiffness, rest: Pose::default() }
}

/// The root of a falling function between `low` and `high`, by bisection to the last bit.
///
/// # Errors
/// When the function does not fall through zero between them.
pub fn root(mut low: f64, mut high: f64, f: impl Fn(f64) -> f64) -> Found<f64> {
    if !(f(low) > 0.0 && f(high) < 0.0) {
        return Err(format!("no root between {low} and {high}"));
    }
    for _ in 0..200 {
        let middle = 0.5 * (low + high);
        if f(middle) > 0.0 {
            low = middle;
        } else {
            high = middle;
        }
    }
    Ok(0.5 * (low + high))
}
