//! What is drawn of a construct that holds its fragment.

use super::*;
use crate::show::chart::joined;

/// A construct that holds its fragment, with what was found of it.
#[derive(Debug, Clone, Copy)]
pub struct Subject<'a> {
    /// The construct on its case.
    pub construct: &'a Construct,
    /// As tied.
    pub tied: &'a TiedState,
    /// Its push.
    pub push: Option<&'a Push>,
    /// Loads at 1 mm round the plane of the bed; empty when not asked for.
    pub petals: &'a [Petal],
}

impl<'a> Subject<'a> {
    /// A construct with what was found of it; `None` where it does not hold.
    pub fn of(construct: &'a Construct, found: &'a Compared) -> Option<Self> {
        let (tied, petals) = (found.hold.tied.as_ref()?, found.rose.as_deref().unwrap_or_default());
        Some(Self { construct, tied, push: found.push.as_ref(), petals })
    }

    /// What pulls the fragment on its bed, in words.
    pub(super) fn what_pulls(&self) -> &'static str {
        limbs_or_screws(self.tied.limbs.len(), self.tied.screws.len())
    }
}

/// Components of a vector along the chord, down the plane and along n.
pub(super) fn in_bed(case: &Case, v: [f64; 3]) -> [f64; 3] {
    let f = &case.fragment;
    [f.along, f.down, f.normal].map(|axis| axis.x * v[0] + axis.y * v[1] + axis.z * v[2])
}

/// Names of the constructs.
pub(super) fn names(subjects: &[Subject<'_>]) -> Vec<String> {
    subjects.iter().map(|s| s.construct.name.clone()).collect()
}

/// Said of each construct in turn.
pub(super) fn each<'s>(subjects: &[Subject<'s>], of: impl Fn(&Subject<'s>) -> String) -> String {
    joined(subjects.iter().map(|s| format!("{}: {}", s.construct.name, of(s))), ". ")
}

/// What so many limbs and screws are together, in words.
pub(super) fn limbs_or_screws(limbs: usize, screws: usize) -> &'static str {
    match (limbs, screws) {
        (_, 0) => "limbs",
        (0, _) => "screws",
        _ => "limbs and screws",
    }
}

/// Said instead of a figure without a subject.
pub(super) const NONE: &str = "no construct stable as tied";
