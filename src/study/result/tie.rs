//! What each tie did.

use super::{Certificate, Measures};
use schemars::JsonSchema;
use serde::Serialize;

/// Why a pull ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum PullEnd {
    /// The target tension was reached.
    Tension,
    /// The watched point came back to its reduced place before the cap.
    Reduced,
    /// The cap was reached before the watched point was back.
    Cap,
    /// This limb does not reduce this pose (the watched point was not short of its place at the
    /// start): pulled to the target.
    NotReducing,
}

/// Whether friction locks the fragment against the next tie, computed from the state before it: the
/// next tie's limbs and screws, pulled to their targets at this pose, bring a force of which one part
/// lies along the bed and another presses on it (or lifts).
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Lock {
    /// The limbs and screws of the next tie.
    pub limbs: Vec<String>,
    /// Shear that friction can hold then, N: μ times the compression, that of the next tie's own
    /// pull included, never below zero.
    pub capacity: f64,
    /// The shear that the next tie brings along the bed at its target tension, N.
    pub pull: f64,
    /// The shear that the bed would have to hold against it: the pull together with what limbs,
    /// tissue and loads already ask of it, N.
    pub needed: f64,
    /// Whether that stays below the capacity, so that the fragment cannot follow by sliding bodily.
    pub locked: bool,
}

impl TieRecord {
    /// Names of the limbs and screws of the tie.
    pub fn names(&self) -> Vec<String> {
        [self.limbs.as_slice(), &self.screws].concat()
    }

    /// What each of them holds after it, N: tensions at the tie end, then pulls of heads.
    pub fn holds(&self, screws: &[String]) -> Vec<f64> {
        let heads = screws.iter().zip(&self.heads);
        let own = heads.filter(|(name, _)| self.screws.contains(name));
        let own: Vec<f64> = own.map(|(_, pull)| *pull).collect();
        [self.locked.as_slice(), &own].concat()
    }
}

/// The points that a reducing tie watches: how far they are beyond their reduced places along the
/// pull, mm; negative is short of it. Of several limbs the one that is farthest short.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct Watch {
    /// Before the pull.
    pub before: f64,
    /// When the pull ended, before the limbs were locked.
    pub after: f64,
}

/// What one tie did.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct TieRecord {
    /// Names of the limbs pulled together.
    pub limbs: Vec<String>,
    /// Names of the screws tightened together with them.
    pub screws: Vec<String>,
    /// Why the pull ended.
    pub end: PullEnd,
    /// The largest target of its limbs (of its screws, when it has no limbs), N: what the pull would
    /// have gone to.
    pub target: f64,
    /// What a reducing tie watched; absent where it stops at its tension.
    pub watch: Option<Watch>,
    /// Tension at the tie end when it was locked, N; the largest of its limbs (or pull of a head, when
    /// screws alone are tightened).
    pub pulled: f64,
    /// Tension at the tie end after locking and knot slack, N, of each limb of the tie.
    pub locked: Vec<f64>,
    /// Tension at the tie end of every limb after this tie, N; zero when not tied yet.
    pub tensions: Vec<f64>,
    /// Pull of every screw's head after this tie, N; zero when not placed yet.
    pub heads: Vec<f64>,
    /// How the fragment lies after it.
    pub measures: Measures,
    /// What this tie changed in each of the `tensions`, N; the tie's own limbs count from zero.
    pub changes: Vec<f64>,
    /// Points of every limb's path after it, mm, limbs in the construct's order; a limb that is not
    /// tied yet has none.
    pub paths: Vec<Vec<[f64; 3]>>,
    /// Bed compression after it, N.
    pub compression: f64,
    /// Work done against friction of the bed during it, from the first pull to the settled knot,
    /// N·mm.
    pub friction_work: f64,
    /// What the bed can hold against the next tie; absent after the last, and once a screw is placed:
    /// its shank holds the fragment sideways, whatever friction does.
    pub lock: Option<Lock>,
    /// Certificate of the state after it.
    pub certificate: Certificate,
}
