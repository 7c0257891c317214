//! Crushing: pressure cannot pass the bed's crush strength p_c; beyond it the level at which a cell rests yields.

use crate::mechanics::lane::{Lane, Mask};

/// The crush strength in lanes, MPa; infinite where nothing crushes.
pub(crate) struct Crush<L> {
    pub strength: L,
}

impl<L: Lane> Crush<L> {
    /// The pressure that is borne of a trial one (MPa), and where it yields.
    #[inline(always)]
    pub fn cap(&self, trial: L) -> (L, L::Mask) {
        let yields = trial.is_above(self.strength);
        (yields.choose(self.strength, trial), yields)
    }
}
