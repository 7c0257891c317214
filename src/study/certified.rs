//! The last gate before a reader. The studies certify each state that they accept; whatever could
//! not be certified all the same is taken out here, with every number of it.

use super::arrival::refusal;
use super::result::Hold;

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
