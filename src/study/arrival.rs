//! From how a ramp ended to how a study goes on: jumps, findings, refusals.

use super::result::{Jump, Mode, Outcome};
use crate::math::{lower, rotation_vector, upper};
use crate::mechanics::{Arrival, Certificate, Controls, Pose, Settings, Solver, State};
use crate::model::Case;

/// Turns the solver's leaps into findings.
pub(super) fn note_jumps(solver: &mut Solver<'_>, jumps: &mut Vec<Jump>, during: &str) {
    jumps.extend(solver.leaps.drain(..).map(|leap| Jump {
        during: during.to_owned(),
        shift: upper(&leap.twist).norm(),
        turn: lower(&leap.twist).norm().to_degrees(),
    }));
}

/// The fraction reached, or how the study ends.
pub(super) fn arrived(case: &Case, arrival: Arrival, during: &str) -> Result<f64, Outcome> {
    let during = during.to_owned();
    match arrival {
        Arrival::Arrived(fraction) => Ok(fraction),
        Arrival::Lost(pose) => Err(not_held(mode(case, &pose), during, &pose)),
        Arrival::Free(pose) => Err(not_held(Mode::Free, during, &pose)),
        Arrival::Stuck { net_force, net_moment } => Err(Outcome::Uncertified { during, net_force, net_moment }),
    }
}

fn not_held(mode: Mode, during: String, pose: &Pose) -> Outcome {
    Outcome::NotHeld {
        mode,
        during,
        shift: pose.shift.into(),
        turn: rotation_vector(&pose.turn).map(f64::to_degrees).into(),
    }
}

/// How a lost fragment has gone: turned over, out of its bed, or along it.
fn mode(case: &Case, pose: &Pose) -> Mode {
    let off = pose.shift.dot(&case.fragment.normal);
    if rotation_vector(&pose.turn).norm() >= Settings::default().lost_turn {
        Mode::Turns
    } else if off > 0.5 * pose.shift.norm() {
        Mode::LiftOff
    } else {
        Mode::Slides
    }
}

/// Certifies a state, or says that it cannot be.
pub(super) fn check(solver: &mut Solver<'_>, state: &State, controls: &Controls, during: &str) -> Result<(), Outcome> {
    let certificate = solver.certify(state, controls);
    refusal(&certificate, during).map_or(Ok(()), Err)
}

/// Why a state whose certificate does not hold is refused; `None` when it holds.
pub(super) fn refusal(certificate: &Certificate, during: &str) -> Option<Outcome> {
    (!certificate.holds()).then(|| Outcome::Uncertified {
        during: during.to_owned(),
        net_force: certificate.net_force.max(certificate.net_node_force),
        net_moment: certificate.net_moment,
    })
}
