//! From how a ramp ended to how a study goes on: jumps, findings, refusals.

use super::result::{Jump, Lies, Mode, Outcome};
use crate::math::{lower, rotation_vector, upper};
use crate::mechanics::{Arrival, Certificate, Controls, Pose, Settings, Solver, State};
use crate::model::{Case, Construct};

/// Turns the solver's leaps into findings.
pub(super) fn note_jumps(construct: &Construct, solver: &mut Solver<'_>, jumps: &mut Vec<Jump>, during: &str) {
    for leap in std::mem::take(&mut solver.leaps) {
        let [from, to] = [&leap.before, &leap.after].map(|state| *state.pose());
        let twist = to.twist_from(&from);
        let mut taut = |state| {
            let mut tension = |k| solver.limb_report(state, &leap.controls, k).tensions.into_iter().fold(0.0, f64::max);
            (0..construct.limbs.len()).map(|k| tension(k) > 0.0).collect::<Vec<_>>()
        };
        let (were, are) = (taut(&leap.before), taut(&leap.after));
        let gone = construct.limbs.iter().zip(were.iter().zip(are)).filter(|(_, (was, is))| **was && !is);
        let let_go = gone.map(|(limb, _)| limb.name.clone()).collect();
        let pressed = |state: &State| solver.bed_totals(state).contact(&solver.rig().bed);
        jumps.push(Jump {
            during: during.to_owned(),
            shift: upper(&twist).norm(),
            turn: lower(&twist).norm().to_degrees(),
            from: Lies::of(&from),
            to: Lies::of(&to),
            let_go,
            contact: [pressed(&leap.before), pressed(&leap.after)],
        });
    }
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
