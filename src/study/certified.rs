//! The last gate before a reader. The studies certify each state that they accept; whatever could
//! not be certified all the same is taken out here, with every number of it.

use super::result::{Hold, Push};
use super::tie::refusal;

impl Hold {
    /// Takes out ties and tied state when one of their certificates does not hold, and says so as
    /// its outcome. Whether that was needed.
    pub fn clear_if_doubtful(&mut self) -> bool {
        let doubt = self
            .ties
            .iter()
            .map(|t| &t.certificate)
            .chain(self.tied.as_ref().map(|t| &t.certificate))
            .find_map(|c| refusal(c, "tying"));
        let Some(outcome) = doubt else {
            return false;
        };
        self.outcome = outcome;
        self.ties.clear();
        self.tied = None;
        true
    }
}

impl Push {
    /// Cuts the curve before the first state whose certificate does not hold, and everything that was
    /// read off it.
    pub fn cut_at_doubt(&mut self) {
        let doubt = |(k, c)| refusal(c, "push").map(|outcome| (k, outcome));
        let certificates = self.curve.iter().map(|p| &p.certificate).enumerate();
        let Some((k, outcome)) = { certificates }.find_map(doubt) else {
            return;
        };
        self.outcome = outcome;
        self.curve.truncate(k);
        self.load_at = super::MARKS.map(|mark| super::load_at(&self.curve, mark));
        let reach = self.curve.last().map_or(0.0, |p| p.displacement);
        self.events.retain(|e| e.displacement <= reach);
        self.peak = self
            .curve
            .iter()
            .max_by(|a, b| a.load.total_cmp(&b.load))
            .map(|p| [p.load, p.displacement]);
    }
}
