//! Progress with the best so far, and Ctrl-C.

use super::super::progress::Progress;
use super::super::stop;
use crate::optimise::{Judged, Watch};
use std::sync::Mutex;

/// Looks on for the user.
pub(super) struct Looker {
    progress: Progress,
    more_is_better: bool,
    unit: String,
    best: Mutex<Option<f64>>,
}

impl Looker {
    pub fn new(more_is_better: bool, unit: &str, quiet: bool) -> Self {
        Self {
            progress: Progress::open("designs looked at", quiet),
            more_is_better,
            unit: unit.to_owned(),
            best: Mutex::new(None),
        }
    }
}

impl Watch for Looker {
    fn judged(&self, _: &[f64], judged: &Judged) {
        self.progress.step();
        if !judged.is_feasible() {
            return;
        }
        let Ok(mut best) = self.best.lock() else {
            return;
        };
        if best.is_none_or(|b| judged.cost < b) {
            *best = Some(judged.cost);
            let value = if self.more_is_better { -judged.cost } else { judged.cost };
            self.progress.say(format!("best so far {value:.3} {}", self.unit));
        }
    }

    fn worked(&self) {
        self.progress.step();
    }

    fn ends(&self) -> bool {
        stop::asked()
    }
}
