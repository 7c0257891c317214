//! Where the next step of a ramp most likely ends.

use crate::mechanics::rig::Configuration;

/// The last two accepted increments, for predicting the next: unknowns in the solver's order.
#[derive(Clone)]
pub(super) struct Increment {
    span: f64,
    last: Vec<f64>,
    before: Vec<f64>,
}

impl Increment {
    pub fn none() -> Self {
        Self { span: 0.0, last: Vec::new(), before: Vec::new() }
    }

    pub fn forget(&mut self) {
        self.span = 0.0;
        self.before.clear();
    }

    pub fn learn(&mut self, span: f64, from: &Configuration, to: &Configuration) {
        std::mem::swap(&mut self.last, &mut self.before);
        if self.span != span {
            self.before.clear();
        }
        self.span = span;
        self.last.clear();
        for (now, was) in to.nodes.iter().zip(&from.nodes) {
            self.last.extend_from_slice((now - was).as_slice());
        }
        self.last.extend_from_slice(to.pose.twist_from(&from.pose).as_slice());
        self.last.push(to.load - from.load);
    }

    /// Goes on as far as the last increment went, for its span; after two increments of the same span
    /// the change between them goes on as well.
    pub fn predict(&mut self, span: f64, trial: &mut Configuration) {
        if self.span <= 0.0 {
            return;
        }
        if span == self.span && self.before.len() == self.last.len() {
            for (before, last) in self.before.iter_mut().zip(&self.last) {
                *before = last - *before;
            }
            trial.advance(&self.before, 1.0);
            for (change, last) in self.before.iter_mut().zip(&self.last) {
                *change = last - *change;
            }
        }
        trial.advance(&self.last, span / self.span);
    }
}
