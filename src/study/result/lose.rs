//! What a repair hangs on.

use super::{Failure, Measures, Outcome, Start};
use schemars::JsonSchema;
use serde::Serialize;

/// Every part of a repair lost in turn.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Losses {
    /// Name of the case.
    pub case: String,
    /// Name of the construct.
    pub construct: String,
    /// Where tying started.
    pub from: Start,
    /// Name of the direction of the push.
    pub direction: String,
    /// Whether repairs were settled before they were pushed.
    pub settled: bool,
    /// With nothing lost.
    pub whole: Bearing,
    /// What can be lost, the one that leaves least at 1 mm first; empty where the whole repair does not hold.
    pub losses: Vec<Lost>,
    /// After which loss rescues were tried; empty where none was.
    pub rescued: Vec<LostPart>,
    /// What was tried, the one that restores most first.
    pub rescues: Vec<Rescue>,
}

impl Losses {
    /// Whether some loss leaves a failure load above that of the whole repair, each reached after more displacement.
    pub(crate) fn fails_later(&self) -> bool {
        let Some(whole) = &self.whole.failure else { return false };
        let all = self.losses.iter().flat_map(|l| [&l.after, &l.before]).filter_map(|b| b.failure.as_ref());
        let mut above = all.filter(|f| f.load > whole.load).peekable();
        above.peek().is_some() && above.all(|f| f.displacement > whole.displacement)
    }
}

/// What kind of part.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum PartKind {
    /// An anchor: pulled out.
    Anchor,
    /// A limb: cut, its knot gone, or a bite of it torn.
    Limb,
    /// A screw.
    Screw,
}

/// A part that can be lost.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct LostPart {
    /// Its kind.
    pub kind: PartKind,
    /// Its name.
    pub name: String,
}

/// What a repair bears.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Bearing {
    /// How it ended: tying, the loss, settling, the push to failure.
    pub outcome: Outcome,
    /// How the fragment lies as tied; absent where it was not held so far.
    pub measures: Option<Measures>,
    /// Compression as tied, N.
    pub compression: Option<f64>,
    /// Load at 1 mm, N; absent where the fragment is lost before.
    pub load: Option<f64>,
    /// Load to failure, and what gives; absent where no load had fallen when the push ended.
    pub failure: Option<Failure>,
}

impl Bearing {
    /// Load at 1 mm, N: nothing where it is not reached.
    pub fn bears(&self) -> f64 {
        self.load.unwrap_or(0.0)
    }

    /// The same for ranking: what could not be checked is last of what is lost.
    pub(crate) fn ranks(&self) -> f64 {
        if self.outcome.is_uncertified() { f64::INFINITY } else { self.bears() }
    }
}

/// What is left when parts are lost.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Lost {
    /// The parts: of several each alone takes the same along, unless they are lost together.
    pub parts: Vec<LostPart>,
    /// Whether all of them are lost, as was asked.
    pub together: bool,
    /// The limbs that bear nothing any more.
    pub limbs: Vec<String>,
    /// Lost after tying.
    pub after: Bearing,
    /// Never placed.
    pub before: Bearing,
}

/// What a rescue restores.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Rescue {
    /// Name of its construct.
    pub construct: String,
    /// The limbs and screws that it ties, in order.
    pub tied: Vec<String>,
    /// What it names as the repair does but has otherwise, and which stayed as it was there.
    pub kept: Vec<String>,
    /// Least distance of one of its new anchors from a hole that is there, used or pulled out, mm.
    pub from_hole: Option<f64>,
    /// What is borne then.
    pub bearing: Bearing,
}
