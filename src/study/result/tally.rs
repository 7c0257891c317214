//! What the certificates of many states say together.

use super::{Certificate, Compared, Hold, Outcome, Push};
use schemars::JsonSchema;
use serde::Serialize;

/// What the certificates of many states say together. Each state is judged by its own limits: those of
/// forces and moments grow with its largest force.
#[derive(Debug, Clone, Copy, Default, PartialEq, Serialize, JsonSchema)]
pub struct Tally {
    /// States that were looked at; one that was refused, and of which nothing is told, among them.
    pub states: usize,
    /// Those whose certificate holds.
    pub certified: usize,
    /// Largest net force on a fragment, anchor or bite, N.
    pub net_force: f64,
    /// The same as a share of what its state may have; at most 1.
    pub force_share: f64,
    /// Largest net moment on a fragment, N·mm.
    pub net_moment: f64,
    /// The same as a share of what its state may have; at most 1.
    pub moment_share: f64,
    /// Largest single force, N.
    pub largest_force: f64,
    /// Largest difference of a load and the sum of its shares, as a share of the net force that its
    /// state may have; at most 1.
    pub gap_share: f64,
    /// Most negative pressure of a cell, MPa; never below zero.
    pub least_pressure: f64,
    /// Most negative tension of a strand, N; never below zero.
    pub least_tension: f64,
    /// Most negative pull of a screw's head, N; never below zero.
    pub least_head: f64,
    /// Largest shear of a cell beyond its friction limit, MPa.
    pub friction_excess: f64,
    /// Largest tension beyond its capstan bound, relative to that tension (or to 1 N).
    pub capstan_excess: f64,
}

impl Tally {
    /// Of ties and tied state.
    pub fn of_hold(hold: &Hold) -> Self {
        let mut tally = Self::default();
        hold.ties.iter().for_each(|t| tally.add(&t.certificate));
        hold.tied.iter().for_each(|t| tally.add(&t.certificate));
        tally.end(&hold.outcome);
        tally
    }

    /// Of the states of a push.
    pub fn of_push(push: &Push) -> Self {
        let mut tally = Self::default();
        for point in &push.curve {
            tally.add(&point.certificate);
            let gap = (point.shares.iter().sum::<f64>() - point.load).abs();
            tally.gap_share = tally.gap_share.max(gap / point.certificate.force_limit());
        }
        tally.end(&push.outcome);
        tally
    }

    /// Of everything that was done with a construct: ties, push, and pushes round the bed plane.
    pub fn of(compared: &Compared) -> Self {
        let mut tally = Self::of_hold(&compared.hold);
        if let Some(push) = &compared.push {
            tally.join(&Self::of_push(push));
        }
        for petal in compared.rose.iter().flatten() {
            tally.join(&petal.tally);
        }
        tally
    }

    /// Whether every state is certified.
    pub fn is_whole(&self) -> bool {
        self.certified == self.states
    }

    /// With the states of another.
    pub fn join(&mut self, other: &Self) {
        self.states += other.states;
        self.certified += other.certified;
        for (value, more) in [
            (&mut self.net_force, other.net_force),
            (&mut self.force_share, other.force_share),
            (&mut self.net_moment, other.net_moment),
            (&mut self.moment_share, other.moment_share),
            (&mut self.largest_force, other.largest_force),
            (&mut self.gap_share, other.gap_share),
            (&mut self.friction_excess, other.friction_excess),
            (&mut self.capstan_excess, other.capstan_excess),
        ] {
            *value = value.max(more);
        }
        for (value, more) in [
            (&mut self.least_pressure, other.least_pressure),
            (&mut self.least_tension, other.least_tension),
            (&mut self.least_head, other.least_head),
        ] {
            *value = value.min(more);
        }
    }

    /// With one state more.
    pub fn add(&mut self, c: &Certificate) {
        let force = c.net_force.max(c.net_node_force);
        self.join(&Self {
            states: 1,
            certified: usize::from(c.holds()),
            net_force: force,
            force_share: force / c.force_limit(),
            net_moment: c.net_moment,
            moment_share: c.net_moment / c.moment_limit(),
            largest_force: c.largest_force,
            gap_share: 0.0,
            least_pressure: c.least_pressure,
            least_tension: c.least_tension,
            least_head: c.least_head,
            friction_excess: c.friction_excess,
            capstan_excess: c.capstan_excess,
        });
    }

    /// A study that ended because a state could not be certified: that state counts, though nothing
    /// is told of it.
    fn end(&mut self, outcome: &Outcome) {
        self.states += usize::from(matches!(outcome, Outcome::Uncertified { .. }));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn refused() -> Outcome {
        Outcome::Uncertified { during: "push".to_owned(), net_force: 1.0, net_moment: 0.0 }
    }

    #[test]
    fn each_state_is_judged_by_its_own_limit() {
        let mut tally = Tally::default();
        // 8e-6 N is nothing beside 1000 N, and too much beside 1 N, whatever other states have.
        for (largest_force, holds) in [(1e3, true), (1.0, false)] {
            let certificate = Certificate { net_node_force: 8e-6, largest_force, ..Certificate::default() };
            assert_eq!(certificate.holds(), holds);
            tally.add(&certificate);
        }
        assert_eq!((tally.states, tally.certified), (2, 1));
        assert!((tally.force_share - 8.0).abs() < 1e-12, "{tally:?}");
        assert!(!tally.is_whole());
    }

    #[test]
    fn what_was_refused_counts_and_is_never_certified() {
        let hold = Hold {
            construct: String::new(),
            from: super::super::Start::Reduced,
            outcome: Outcome::Held,
            ties: Vec::new(),
            jumps: Vec::new(),
            tied: None,
        };
        assert!(Tally::of_hold(&hold).is_whole());
        let hold = Hold { outcome: refused(), ..hold };
        let tally = Tally::of_hold(&hold);
        assert_eq!((tally.states, tally.certified), (1, 0));
        assert!(!tally.is_whole());
    }
}
