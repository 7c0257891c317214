//! What a push found.

use super::{Certificate, Jump, Measures, Outcome, Settling, Tally};
use schemars::JsonSchema;
use serde::Serialize;

/// What may take a share of the load.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Carrier {
    /// A suture limb.
    Limb,
    /// A screw.
    Screw,
    /// Bed friction.
    Friction,
    /// Bed pressure.
    Pressure,
    /// The soft-tissue envelope.
    Tissue,
    /// A tether (hinge or labral continuity).
    Tether,
    /// A dead load.
    Load,
}

/// One carrier of the load.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Contributor {
    /// Its name.
    pub name: String,
    /// Its group for tables (limbs and screws only carry their own).
    pub group: String,
    /// What it is.
    pub carrier: Carrier,
}

/// One state of a push.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct PushPoint {
    /// Displacement of the control point along the direction, mm.
    pub displacement: f64,
    /// Load that must be applied there, N.
    pub load: f64,
    /// Share of each contributor, N; they sum to the load.
    pub shares: Vec<f64>,
    /// Largest tension in each limb, N.
    pub tensions: Vec<f64>,
    /// Pull of each screw's head, N.
    pub heads: Vec<f64>,
    /// Bed compression, N.
    pub compression: f64,
    /// Share of the bed in contact, 0 to 1.
    pub contact: f64,
    /// Share of the contact that slides, 0 to 1.
    pub sliding: f64,
    /// Largest pressure, MPa.
    pub peak_pressure: f64,
    /// How the fragment lies.
    pub measures: Measures,
    /// Its certificate.
    pub certificate: Certificate,
}

// In the order of a figure's key.
/// What happened first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum EventKind {
    /// A limb has lost all its tension.
    LimbSlack,
    /// A limb's tension at its knot is above the knot's load.
    AboveKnot,
    /// A limb's tension is above its strand's strength.
    AboveStrand,
    /// The pull on an anchor is above its holding load.
    AboveAnchor,
    /// The tissue of a limb's bite tears.
    BiteTears,
    /// A screw's head has lost all its preload.
    ScrewLoose,
    /// Bone beside a screw's shank crushes: it yields at its strength.
    AboveBearing,
    /// A bite sits on bone.
    BiteSeated,
    /// The whole contact stands at its friction limit.
    BedSliding,
    /// Less than half of the bed is in contact.
    HalfContact,
    /// The largest pressure is above the bed's crush strength.
    AboveCrush,
    /// The articular step is above 2 mm.
    Step,
    /// The fragment jumped to another state.
    Jump,
}

/// The first time that something happens during a push.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Event {
    /// What.
    pub kind: EventKind,
    /// To which limb, screw or anchor; empty for the bed and the fragment.
    pub subject: String,
    /// Displacement, mm (zero: already so in the tied state).
    pub displacement: f64,
    /// Load there, N.
    pub load: f64,
}

/// The study of pushing a tied fragment.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Push {
    /// Name of the construct.
    pub construct: String,
    /// Name of the direction.
    pub direction: String,
    /// Unit vector of the direction.
    pub vector: [f64; 3],
    /// Whether turning was forbidden.
    pub guided: bool,
    /// How it ended.
    pub outcome: Outcome,
    /// Who can carry load, in the order of `shares`.
    pub contributors: Vec<Contributor>,
    /// The states, from the tied one on.
    pub curve: Vec<PushPoint>,
    /// Load at 0.5, 1 and 2 mm, N; absent beyond the range or where not held.
    pub load_at: [Option<f64>; 3],
    /// Tangent stiffness at the tied state in this direction, N/mm.
    pub stiffness: Option<f64>,
    /// Largest load, N, and the displacement where it stood, mm.
    pub peak: Option<[f64; 2]>,
    /// The failure load; absent where the load did not fall.
    pub failure: Option<Failure>,
    /// First events, in the order of their displacement.
    pub events: Vec<Event>,
    /// Jumps on the way.
    pub jumps: Vec<Jump>,
    /// How the repair was settled before; absent when it was pushed as tied.
    pub settling: Option<Settling>,
}

/// What a push to failure came to.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Ultimate {
    /// The failure load; absent where the load had not fallen when the push ended.
    pub failure: Option<Failure>,
    /// How it ended.
    pub outcome: Outcome,
    /// Largest load, N, and the displacement where it stood, mm.
    pub peak: Option<[f64; 2]>,
    /// Where it ended, mm.
    pub reached: f64,
    /// The parts that gave, in the order in which they did.
    pub sequence: Vec<Event>,
}

impl From<Push> for Ultimate {
    fn from(push: Push) -> Self {
        Self {
            failure: push.failure,
            outcome: push.outcome,
            peak: push.peak,
            reached: push.curve.last().map_or(0.0, |p| p.displacement),
            sequence: push.events.into_iter().filter(|e| e.kind.is_giving()).collect(),
        }
    }
}

/// The first peak after which the load falls by more than 2 %.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Failure {
    /// The load, N.
    pub load: f64,
    /// Its displacement, mm.
    pub displacement: f64,
    /// The part that gave last before the fall, and its name; absent where the fragment slid or turned out although
    /// every part held.
    pub gave: Option<(EventKind, String)>,
}

impl EventKind {
    /// Whether a part has reached the limit at which it gives.
    pub fn is_giving(self) -> bool {
        matches!(
            self,
            Self::AboveKnot
                | Self::AboveStrand
                | Self::AboveAnchor
                | Self::BiteTears
                | Self::AboveBearing
                | Self::AboveCrush
        )
    }
}

/// Load at 1 mm in one direction round the bed plane.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Petal {
    /// Angle in the bed plane from inferior (along the chord) toward medial, degrees.
    pub angle: f64,
    /// Unit vector.
    pub vector: [f64; 3],
    /// Load at 1 mm, N; absent where not held.
    pub load: Option<f64>,
    /// How it ended.
    pub outcome: Outcome,
    /// What the certificates of its states say together.
    pub tally: Tally,
}
