//! Where the next step of a ramp most likely ends.

use crate::math::{Vec6, lower, stack, upper};
use crate::mechanics::rig::{Configuration, Rig};

/// The last two accepted increments, for predicting the next: unknowns in the solver's order.
#[derive(Clone)]
pub(super) struct Increment {
    /// Span of the last; zero where there is none.
    span: f64,
    last: Vec<f64>,
    /// Span of the one before it; zero where there is none.
    span_before: f64,
    before: Vec<f64>,
}

impl Increment {
    pub fn none() -> Self {
        Self { span: 0.0, last: Vec::new(), span_before: 0.0, before: Vec::new() }
    }

    pub fn forget(&mut self) {
        (self.span, self.span_before) = (0.0, 0.0);
    }

    pub fn learn(&mut self, span: f64, from: &Configuration, to: &Configuration) {
        std::mem::swap(&mut self.last, &mut self.before);
        (self.span_before, self.span) = (self.span, span);
        self.last.clear();
        for (now, was) in to.nodes.iter().zip(&from.nodes) {
            self.last.extend_from_slice((now - was).as_slice());
        }
        self.last.extend_from_slice(to.pose.twist_from(&from.pose).as_slice());
        self.last.push(to.load - from.load);
    }

    /// How far a step strays from the path that ever smaller steps would take, mm (turns times the bed's radius of
    /// gyration): slip is taken along the way that the fragment moves at the end of a step, so what counts is how far
    /// it turns aside from the way of the step before. Nothing after no step.
    pub fn stray(&self, span: f64, from: &Configuration, to: &Configuration, rig: &Rig) -> f64 {
        if self.span <= 0.0 {
            return 0.0;
        }
        let scaled = |twist: Vec6| stack(&upper(&twist), &(lower(&twist) * rig.bed.gyration));
        let before = scaled(Vec6::from_column_slice(&self.last[3 * to.nodes.len()..][..6]));
        let now = scaled(to.pose.twist_from(&from.pose));
        let squared = before.norm_squared();
        let ahead = if squared > 0.0 { (now.dot(&before) / squared).max(0.0) } else { 0.0 };
        (now - before * ahead).norm() * span / (span + self.span)
    }

    /// Goes on as the last two increments went: a parabola through them, a line through one.
    pub fn predict(&mut self, span: f64, trial: &mut Configuration) {
        if self.span <= 0.0 {
            return;
        }
        let ratio = span / self.span;
        trial.advance(&self.last, ratio);
        if self.span_before > 0.0 {
            // The change of the rate between them goes on as well.
            let bend = ratio * (span + self.span) / (self.span + self.span_before);
            trial.advance(&self.last, bend);
            trial.advance(&self.before, -bend * self.span / self.span_before);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::math::{Mat3, Vec3};
    use crate::mechanics::Pose;
    use crate::mechanics::bed::{Bed, BedLaw};
    use crate::mechanics::limb::Seat;

    fn at(x: f64, y: f64) -> Configuration {
        Configuration { pose: Pose { shift: Vec3::new(x, y, 0.0), ..Pose::default() }, nodes: Vec::new(), load: 0.0 }
    }

    /// Along a line nothing strays, however fast; at a right angle all of the step counts, by the rule for steps of
    /// one length a half of it. A parabola is predicted exactly from steps of any length.
    #[test]
    fn what_turns_aside_strays_and_a_parabola_is_foreseen() {
        let law = BedLaw::plane(40.0, 20.0, 0.5);
        let bed = Bed::rectangle(Vec3::zeros(), Mat3::identity(), law, (10.0, 5.0), (4, 4));
        let rig = Rig::new(Vec3::zeros(), bed, Seat { length: 1.0, stiffness: 200.0 });
        let mut last = Increment::none();
        assert_eq!(last.stray(1.0, &at(0.0, 0.0), &at(1.0, 0.0), &rig), 0.0);
        last.learn(1.0, &at(0.0, 0.0), &at(1.0, 0.0));
        assert!(last.stray(1.0, &at(1.0, 0.0), &at(4.0, 0.0), &rig) < 1e-15);
        assert!((last.stray(1.0, &at(1.0, 0.0), &at(1.0, 0.2), &rig) - 0.1).abs() < 1e-15);
        // Back is aside too.
        assert!((last.stray(1.0, &at(1.0, 0.0), &at(0.8, 0.0), &rig) - 0.1).abs() < 1e-15);
        let on = |s: f64| at(s * s + s, 0.0);
        let mut last = Increment::none();
        last.learn(0.5, &on(0.0), &on(0.5));
        last.learn(0.25, &on(0.5), &on(0.75));
        let mut trial = on(0.75);
        last.predict(0.6, &mut trial);
        assert!((trial.pose.shift.x - on(1.35).pose.shift.x).abs() < 1e-14);
    }
}
