//! Ties and pushes a rig, and checks what every answer must keep, whatever it is.

use rimhold::model::{Case, Construct, Stop};
use rimhold::study::{self, Direction, PushPlan, result::Certificate, result::Outcome, result::Start};

/// How a rig ended, and where.
#[derive(Debug, Clone, PartialEq)]
pub enum Verdict {
    /// Every state is certified to the end of the push.
    Certified,
    /// A named finding: the fragment is not held.
    NotHeld(String),
    /// A failure of the solver.
    Uncertified(String),
}

/// Ties from `start`, pushes by `plan`, and checks. The largest net force of any state that counts (N)
/// goes into `worst` when it is larger.
///
/// # Errors
/// A sentence for each promise that is broken.
pub fn verdict(
    case: &Case,
    construct: &Construct,
    start: Start,
    plan: &PushPlan,
    worst: &mut f64,
) -> Result<Verdict, String> {
    let mut note = |c: &Certificate| *worst = worst.max(c.net_force.max(c.net_node_force));
    let rig = study::rig(case, construct, start);
    let (hold, tied) = study::tie(case, construct, &rig, start);
    let bites =
        construct.limbs.iter().flat_map(|limb| &limb.path).filter(|stop| matches!(stop, Stop::Bite { .. })).count()
            as f64;
    let mut broken = Vec::new();
    for tie in &hold.ties {
        note(&tie.certificate);
        if !tie.certificate.holds() {
            broken.push(format!("tie of {:?}: {:?}", tie.limbs, tie.certificate));
        }
    }
    if hold.outcome.is_held() != (tied.is_some() && hold.tied.is_some()) {
        broken.push("a held outcome without a tied state, or the reverse".into());
    }
    if let Some(state) = &hold.tied
        && !state.certificate.holds()
    {
        broken.push(format!("tied: {:?}", state.certificate));
    }
    let mut outcome = hold.outcome.clone();
    if let Some(tied) = tied {
        let push = study::push(case, construct, &rig, &tied, plan);
        for (k, point) in push.curve.iter().enumerate() {
            note(&point.certificate);
            if !point.certificate.holds() {
                broken.push(format!("push, state {k}: {:?}", point.certificate));
            }
            // The shares are the forces of the certificate's balance, so they miss the load by its
            // net force; a limb's share counts the strand's pull on a bite, not the bite's spring, so
            // each bite adds its own net force. Sums of some hundred cells round at 1e-13 relative.
            let sum: f64 = point.shares.iter().sum();
            let certificate = &point.certificate;
            let allowed =
                certificate.net_force + bites * certificate.net_node_force + 1e-12 * (1.0 + certificate.largest_force);
            let miss = (sum - point.load).abs();
            if miss.is_nan() || miss > allowed {
                broken.push(format!("push, state {k}: shares miss the load by {miss:e} N"));
            }
            // The solver accepts a lag of 1e-12 mm; positions of some 10 mm are rounded at 2e-15.
            let command = plan.to * k as f64 / plan.steps as f64;
            let lag = (point.displacement - command).abs();
            if lag.is_nan() || lag > 2e-12 {
                broken.push(format!("push, state {k}: {lag:e} mm from the command"));
            }
        }
        if push.outcome.is_held() != (push.curve.len() == plan.steps + 1) {
            broken.push(format!("{} states of a push {:?}", push.curve.len(), push.outcome));
        }
        outcome = push.outcome;
    }
    if !broken.is_empty() {
        return Err(broken.join("\n"));
    }
    Ok(match outcome {
        Outcome::Held => Verdict::Certified,
        Outcome::NotHeld { mode, during, .. } => {
            let during = during.split(" of ").next().unwrap_or_default();
            Verdict::NotHeld(format!("{mode:?} during {during}"))
        }
        Outcome::Uncertified { during, net_force, net_moment } => {
            Verdict::Uncertified(format!("during {during}: {net_force:.3e} N, {net_moment:.3e} N·mm left"))
        }
    })
}

/// The plan of a push of 2 mm in 40 steps in a named direction.
pub fn plan(direction: &str, guided: bool) -> PushPlan {
    PushPlan { direction: Direction::parse(direction).expect("a named direction"), guided, ..PushPlan::default() }
}
