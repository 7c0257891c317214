//! On which terms constructs are compared: what each of them spends.

use super::{Construct, LimbSpec, Stop};

/// What is made equal by one factor on the tensions of a construct's bridge limbs, those that run from one anchor
/// to another. The lateral anchor of a limb is that of its tied end
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[cfg_attr(feature = "cli", derive(clap::ValueEnum))]
pub enum Equal {
    /// Bridge tension a lateral anchor, in the mean
    Anchor,
    /// Tension a bridge limb, in the mean
    Bridge,
    /// Bridge tension in all
    Total,
}

/// What a construct spends.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Terms {
    /// Anchors.
    pub anchors: usize,
    /// Limbs, loops and bridge limbs.
    pub strands: usize,
    /// Bridge limbs.
    pub limbs: usize,
    /// Their lateral anchors.
    pub lateral: usize,
    /// Their tension in all, N.
    pub tension: f64,
}

/// The anchor of a bridge limb's tied end.
fn lateral(limb: &LimbSpec) -> Option<usize> {
    match (limb.path.first()?, limb.path.last()?) {
        (Stop::Anchor { index: medial, .. }, Stop::Anchor { index, .. }) if medial != index && !limb.closed => {
            Some(*index)
        }
        _ => None,
    }
}

impl Terms {
    /// What a construct spends.
    pub fn of(construct: &Construct) -> Self {
        let bridge = || construct.limbs.iter().filter(|l| lateral(l).is_some());
        let mut anchors: Vec<usize> = bridge().filter_map(lateral).collect();
        anchors.sort_unstable();
        anchors.dedup();
        Self {
            anchors: construct.anchors.len(),
            strands: construct.limbs.len(),
            limbs: bridge().count(),
            lateral: anchors.len(),
            tension: bridge().map(|l| l.tension).sum(),
        }
    }

    /// Tension of what is made equal, N; absent without a bridge.
    pub fn tension(&self, equal: Equal) -> Option<f64> {
        let shared = match equal {
            Equal::Anchor => self.lateral,
            Equal::Bridge => self.limbs,
            Equal::Total => 1,
        };
        (self.limbs > 0).then(|| self.tension / shared as f64)
    }

    /// The factor on the tensions of each construct's bridge limbs that makes them equal to those of the first that
    /// has a bridge.
    pub fn factors(constructs: &[Construct], equal: Equal) -> Vec<f64> {
        let all: Vec<Option<f64>> = constructs.iter().map(|c| Self::of(c).tension(equal)).collect();
        let first = all.iter().flatten().next().copied();
        all.iter().map(|own| first.zip(*own).map_or(1.0, |(first, own)| first / own)).collect()
    }
}

/// Names and tensions of a construct's bridge limbs.
pub(super) fn bridge(construct: &Construct) -> impl Iterator<Item = (&str, f64)> {
    construct.limbs.iter().filter(|l| lateral(l).is_some()).map(|l| (l.name.as_str(), l.tension))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::spread::Subject;

    /// Two limbs of 25 N on one lateral anchor against four on two: 50 N an anchor in both, 50 against 100 N in all.
    #[test]
    fn what_was_made_equal_is_what_draws_start_from() {
        let names = ["one-by-one", "two-by-two-crossed"].map(str::to_owned);
        let mut subject = Subject::open("quarter", &names).unwrap();
        let spent =
            |subject: &Subject, equal| subject.constructs().map(|c| Terms::of(c).tension(equal)).collect::<Vec<_>>();
        assert_eq!(spent(&subject, Equal::Anchor), [Some(50.0); 2]);
        assert_eq!(spent(&subject, Equal::Total), [Some(50.0), Some(100.0)]);
        subject.equalise(Equal::Total).unwrap();
        assert_eq!(spent(&subject, Equal::Total), [Some(50.0); 2]);
        assert_eq!(spent(&subject, Equal::Bridge), [Some(25.0), Some(12.5)]);
        // The number that a factor of the spread multiplies.
        let known = subject.known();
        let input = known.iter().find(|k| k.path == "limb.bridge-rising.tension").unwrap();
        assert_eq!(input.places[0].1, 12.5);
    }
}
