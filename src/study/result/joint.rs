//! What a head on the socket found.

use super::{Measures, Outcome, Start};
use crate::model::JointSpec;
use schemars::JsonSchema;
use serde::Serialize;

/// The joint in every state of the fragment, and against its step and gap.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Joint {
    /// Name of the case.
    pub case: String,
    /// Name of the construct that reduces the fragment; absent without one.
    pub construct: Option<String>,
    /// Where tying starts.
    pub from: Start,
    /// The head and the cartilage.
    pub head: JointSpec,
    /// Pressure of cartilage per penetration, MPa/mm.
    pub foundation: f64,
    /// How far the head is slid, mm: over the rim.
    pub to: f64,
    /// The range within which largest pressures are told, mm: up to where the intact joint resists most, in every state
    /// and direction.
    pub range: f64,
    /// How tying ended; absent without a construct.
    pub tied: Option<Outcome>,
    /// How settling ended; absent without a tied construct.
    pub settled: Option<Outcome>,
    /// The states.
    pub states: Vec<JointState>,
    /// The fragment lying with a step and a gap everywhere alike.
    pub map: StepMap,
    /// Evidence that heads are in balance and integrals resolved.
    pub certificate: JointCertificate,
}

/// What state the fragment's part of the face is in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum JointPose {
    /// Unbroken.
    Intact,
    /// The fragment is gone.
    Missing,
    /// It lies where the case says that it was displaced to.
    Displaced,
    /// It lies as tied.
    Tied,
    /// It lies as relaxation and cycles leave it.
    Settled,
}

/// The joint in one state.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct JointState {
    /// The state.
    pub state: JointPose,
    /// How the fragment lies; absent where it is whole or gone.
    pub measures: Option<Measures>,
    /// The head in the middle of the socket.
    pub centred: Centred,
    /// The head slid in each direction.
    pub slides: Vec<Slide>,
}

/// The head pressed on the middle of the socket.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct Centred {
    /// Area in contact, mm².
    pub area: f64,
    /// Largest pressure, MPa.
    pub pressure: f64,
}

/// The head slid from the middle of the socket in one direction.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Slide {
    /// Name of the direction.
    pub direction: String,
    /// Stability ratio: the largest force against the slide over the compression, 0 to 1 and beyond; never below zero.
    pub ratio: f64,
    /// Displacement at which it is reached, mm.
    pub at: f64,
    /// How high the head climbs over its height in the middle, mm.
    pub climb: f64,
    /// Area in contact where the ratio is reached, mm².
    pub area: f64,
    /// Largest pressure within the range, MPa.
    pub pressure: f64,
    /// Largest penetration within the range, as a share of the cartilage's thickness, 0 to 1 and beyond.
    pub strain: f64,
    /// Largest force on the fragment within the range, N.
    pub on_fragment: f64,
    /// Displacement beyond which nothing bears the head; absent where something does as far as it is slid.
    pub leaves: Option<f64>,
    /// The slide in steps.
    pub curve: Vec<SlidePoint>,
}

/// The head at rest on the way.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct SlidePoint {
    /// Displacement from the middle of the socket, mm.
    pub displacement: f64,
    /// Force that holds the head there against the slide, N; below zero it would run on by itself.
    pub force: f64,
    /// Height of the head over that in the middle, mm.
    pub height: f64,
    /// Area in contact, mm².
    pub area: f64,
    /// Largest pressure, MPa.
    pub pressure: f64,
}

/// The joint against a step and a gap of the fragment, both alike along the whole fracture line, without a turn.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct StepMap {
    /// Name of the direction of the slide: of those asked for, the one that runs most toward the fragment.
    pub direction: String,
    /// Steps, mm, lateral positive.
    pub steps: Vec<f64>,
    /// Gaps along the normal of the fracture plane, mm.
    pub gaps: Vec<f64>,
    /// Every step with every gap, the gap running fastest.
    pub cells: Vec<MapCell>,
    /// The reduced fragment: step and gap zero.
    pub reduced: MapCell,
    /// By what share a ratio must fall to be noticed, 0 to 1: our choice, assumed.
    pub fallen: f64,
    /// By what share a pressure must rise to be noticed, 0 to 1 and beyond: our choice, assumed.
    pub risen: f64,
    /// From which recessed step on, without a gap, the joint notices.
    pub recessed: Notice,
    /// From which proud step on.
    pub proud: Notice,
}

/// One step with one gap.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct MapCell {
    /// Step, mm, lateral positive.
    pub step: f64,
    /// Gap, mm.
    pub gap: f64,
    /// Stability ratio.
    pub ratio: f64,
    /// Largest pressure within the range, MPa.
    pub pressure: f64,
}

/// Steps on one side from which on the joint notices, mm, lateral positive; absent where it does not within the map.
#[derive(Debug, Clone, Copy, Default, PartialEq, Serialize, JsonSchema)]
pub struct Notice {
    /// The stability ratio has fallen by more than the share.
    pub ratio: Option<f64>,
    /// The largest pressure has risen by more than the share.
    pub pressure: Option<f64>,
}

impl Notice {
    /// Whichever comes first.
    pub fn first(&self) -> Option<f64> {
        self.ratio.into_iter().chain(self.pressure).min_by(|a, b| a.abs().total_cmp(&b.abs()))
    }
}

/// Evidence that heads are in balance and integrals resolved.
#[derive(Debug, Clone, Copy, Default, PartialEq, Serialize, JsonSchema)]
pub struct JointCertificate {
    /// By how much the compression is missed at most, N; at most 1e-6.
    pub imbalance: f64,
    /// Largest change of a stability ratio when every ring is taken at twice as many chords; at most 1e-5.
    pub refinement: f64,
    /// States of the head that were solved.
    pub states: usize,
}

impl JointCertificate {
    /// Compression that may be missed, N.
    pub const IMBALANCE: f64 = 1e-6;
    /// Change of a ratio that finer rings may make.
    pub const REFINEMENT: f64 = 1e-5;

    /// Whether both limits are kept.
    pub fn holds(&self) -> bool {
        self.imbalance <= Self::IMBALANCE && self.refinement <= Self::REFINEMENT
    }
}

impl Joint {
    /// A state, where it was asked for and there is one.
    pub fn state(&self, state: JointPose) -> Option<&JointState> {
        self.states.iter().find(|s| s.state == state)
    }
}

impl Slide {
    /// Whether the head was borne at all, by cartilage that is not pressed beyond its thickness: otherwise none of the
    /// numbers means anything.
    pub fn is_borne(&self) -> bool {
        !self.curve.is_empty() && self.strain < 1.0
    }
}

impl JointState {
    /// The slide in a direction.
    pub fn slide(&self, direction: &str) -> Option<&Slide> {
        self.slides.iter().find(|s| s.direction == direction)
    }
}
