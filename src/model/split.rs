//! Ties of several limbs taken apart.

use super::{Construct, LimbSpec, Stop, StopRule, TieSpec};

/// How ties are taken apart.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[cfg_attr(feature = "cli", derive(clap::ValueEnum))]
pub enum Split {
    /// Limbs of a tie whose tie ends sit in different anchors are tied one anchor after the other:
    /// a clamp fixes all limbs in its anchor at once.
    Anchor,
    /// Every limb and every screw alone.
    Limb,
}

impl Construct {
    /// The construct with its ties of several limbs taken apart, the parts in the order in which
    /// their first limbs stand in the tie, each with the tie's stop rule; then its screws, each alone.
    #[must_use]
    pub fn split(&self, by: Split) -> Self {
        let mut split = self.clone();
        split.ties = self.ties.iter().flat_map(|tie| self.parts(tie, by)).collect();
        split
    }

    fn parts(&self, tie: &TieSpec, by: Split) -> Vec<TieSpec> {
        let mut parts: Vec<TieSpec> = Vec::new();
        for &k in &tie.limbs {
            let end = tie_end(&self.limbs[k]);
            let same = |part: &&mut TieSpec| {
                by == Split::Anchor && end.is_some() && part.limbs.iter().all(|l| tie_end(&self.limbs[*l]) == end)
            };
            match parts.iter_mut().find(same) {
                Some(part) => part.limbs.push(k),
                None => parts.push(TieSpec { limbs: vec![k], screws: Vec::new(), ..tie.clone() }),
            }
        }
        parts.extend(tie.screws.iter().map(|&k| TieSpec {
            limbs: Vec::new(),
            screws: vec![k],
            stop: StopRule::Tension,
            held: tie.held,
        }));
        parts
    }
}

/// The anchor in which a limb's tie end sits; a closed strand has none.
fn tie_end(limb: &LimbSpec) -> Option<usize> {
    match limb.path.last() {
        Some(Stop::Anchor { index, .. }) if !limb.closed => Some(*index),
        _ => None,
    }
}
