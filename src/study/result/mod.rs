//! What a study found, as plain data. Every length is mm, force N, moment N·mm, pressure MPa,
//! stiffness N/mm; angles are degrees here, because these values are read by people. Vectors are
//! in the socket frame (x anterior, y superior, z lateral) unless a field says otherwise.

mod budget;
mod drill;
mod joint;
mod lose;
mod orders;
mod place;
mod push;
mod scatter;
mod screw;
mod settle;
mod stiffness;
mod sweep;
mod tally;
mod tie;

use crate::math::{Vec3, rotation, rotation_vector};
use crate::mechanics::Pose;

pub use crate::mechanics::Certificate;
pub use budget::{Budget, Phase, Within};
pub use drill::*;
pub use joint::*;
pub use lose::{Bearing, Losses, Lost, LostPart, PartKind, Rescue};
pub use orders::{OrderRun, OrderSweep, Orders, Sampled, SweepOver, SweepPoint, Worse, WorseIn};
pub use place::*;
pub use push::{Carrier, Contributor, Event, EventKind, Failure, Petal, Push, PushPoint, Ultimate};
pub use scatter::*;
use schemars::JsonSchema;
pub use screw::ScrewState;
use serde::Serialize;
pub use settle::{CyclePoint, Loss, Part, Settling};
pub use stiffness::Stiffness;
pub use sweep::{GridPoint, Sweep, SweepAxis, Swept};
pub use tally::Tally;
pub use tie::{Lock, PullEnd, TieRecord, Watch};

/// Where tying starts from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, serde::Deserialize, JsonSchema)]
#[cfg_attr(feature = "cli", derive(clap::ValueEnum))]
#[serde(rename_all = "snake_case")]
pub enum Start {
    /// The fragment lies in its bed.
    Reduced,
    /// The fragment lies where the case says that it was displaced to.
    Displaced,
}

/// A pose against the reduced one.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct Lies {
    /// Shift of the fragment's reference point, mm.
    pub shift: [f64; 3],
    /// Its rotation vector, degrees.
    pub turn: [f64; 3],
}

impl Lies {
    /// That of a pose.
    pub(crate) fn of(pose: &Pose) -> Self {
        Self { shift: pose.shift.into(), turn: rotation_vector(&pose.turn).map(f64::to_degrees).into() }
    }
}

/// A move to another state that no gentle loading could avoid.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Jump {
    /// During what it happened: a tie, relaxation, a load, the push.
    pub during: String,
    /// Distance that the reference point moved, mm.
    pub shift: f64,
    /// Angle that the fragment turned, degrees.
    pub turn: f64,
    /// Where it lay before.
    pub from: Lies,
    /// Where it came to rest.
    pub to: Lies,
    /// Limbs that were taut before and are slack after.
    pub let_go: Vec<String>,
    /// Share of the bed's area in contact, as [`BedState::contact`], before and after.
    pub contact: [f64; 2],
}

/// How the fragment escapes when it is not held.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Mode {
    /// It leaves its bed without coming to rest.
    LiftOff,
    /// It slides along its bed without coming to rest.
    Slides,
    /// It turns over without coming to rest.
    Turns,
    /// It lies where it can move without any resistance.
    Free,
}

impl Mode {
    /// The same in words, with the fragment as their subject.
    pub fn words(self) -> &'static str {
        match self {
            Mode::LiftOff => "lifts out of its bed",
            Mode::Slides => "slides away along its bed",
            Mode::Turns => "turns over",
            Mode::Free => "comes free of all that held it",
        }
    }
}

/// How a study ended.
#[derive(Debug, Clone, Default, PartialEq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case", tag = "status")]
pub enum Outcome {
    /// Every accepted state is certified.
    #[default]
    Held,
    /// A finding: the fragment has no state of rest within reach.
    NotHeld {
        /// How it escapes.
        mode: Mode,
        /// During what: release or a tie, relaxation, a load, the push.
        during: String,
        /// Shift of its reference point where it was given up, mm.
        shift: [f64; 3],
        /// Its rotation vector there, degrees.
        turn: [f64; 3],
    },
    /// The solver could not certify a state; no number of it is reported.
    Uncertified {
        /// During what: release or a tie, relaxation, a load, the push.
        during: String,
        /// Net force left, N.
        net_force: f64,
        /// Net moment left, N·mm.
        net_moment: f64,
    },
}

impl Outcome {
    /// Whether every state was certified.
    pub fn is_held(&self) -> bool {
        matches!(self, Self::Held)
    }

    /// Whether a state was refused, so that nothing is known.
    pub fn is_uncertified(&self) -> bool {
        matches!(self, Self::Uncertified { .. })
    }
}

/// What a limb's path does at one of its points.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum PointKind {
    /// An end or an eyelet on an anchor.
    Anchor,
    /// A stitch through labrum.
    Bite,
    /// Over the rim.
    Rim,
    /// Round the medial margin.
    Margin,
    /// Over the fragment at another given place.
    Bone,
}

/// A limb in a state.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct LimbState {
    /// Name in the construct.
    pub name: String,
    /// Group for the share table.
    pub group: String,
    /// Tension of each segment from first to last, N.
    pub tensions: Vec<f64>,
    /// Points of the path, mm, in its order.
    pub path: Vec<[f64; 3]>,
    /// Kind of each point.
    pub kinds: Vec<PointKind>,
    /// Force on the fragment, N.
    pub force: [f64; 3],
    /// Its part along −n (presses the fragment on its bed), N.
    pub compression: f64,
    /// Its part along the bed, N.
    pub shear: f64,
    /// Direction of that shear in bed axes (superior along the chord, medial down the plane), N.
    pub shear_along: [f64; 2],
    /// Whether a bite sits on bone (a segment shorter than the seat length).
    pub seated: bool,
    /// Length that crosses intact cartilage, mm.
    pub cartilage: f64,
}

/// An anchor in a state.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct AnchorState {
    /// Name in the construct.
    pub name: String,
    /// Where it was placed, mm.
    pub place: [f64; 3],
    /// Pull on it, N.
    pub force: f64,
    /// How far it gave, mm.
    pub give: f64,
    /// Published holding load of its class, N, if one is set.
    pub holding: Option<f64>,
}

/// One cell of the bed in a state.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct CellState {
    /// Position along the chord, mm.
    pub t: f64,
    /// Position down the plane, mm.
    pub m: f64,
    /// Area, mm².
    pub area: f64,
    /// Pressure, MPa.
    pub pressure: f64,
    /// Shear on the fragment along the chord and down the plane, MPa.
    pub shear: [f64; 2],
}

/// The bed in a state.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct BedState {
    /// Normal force, N.
    pub compression: f64,
    /// Magnitude of the resultant friction, N.
    pub friction: f64,
    /// `1 − |friction| / (μ · compression)`; absent without compression.
    pub reserve: Option<f64>,
    /// Largest pressure, MPa.
    pub peak_pressure: f64,
    /// Compression over the area in contact, MPa.
    pub mean_pressure: f64,
    /// Share of the bed's area in contact, 0 to 1.
    pub contact: f64,
    /// Share of the contact area that stands at its friction limit, 0 to 1.
    pub sliding: f64,
    /// Share of the bed's area pressed above its crush strength, 0 to 1.
    pub crushed: f64,
    /// Centre of pressure in bed coordinates (along the chord, down the plane), mm.
    pub centre: Option<[f64; 2]>,
    /// The cells.
    pub cells: Vec<CellState>,
}

/// A value with the place along the fracture line where it was found.
#[derive(Debug, Clone, Copy, Default, PartialEq, Serialize, JsonSchema)]
pub struct Extreme {
    /// The value of largest magnitude, mm, with its sign.
    pub value: f64,
    /// Where along the chord, mm, positive superior.
    pub at: f64,
}

/// How the fragment lies against the intact edge.
#[derive(Debug, Clone, Copy, Default, PartialEq, Serialize, JsonSchema)]
pub struct Measures {
    /// Articular step: lateral positive (proud), medial negative (sunk).
    pub step: Extreme,
    /// The same at the inferior, the middle and the superior station (−0.9, 0 and 0.9 of the half chord), mm.
    pub stations: [f64; 3],
    /// Gap along n, positive open.
    pub gap: Extreme,
    /// Inferior shift along the chord of the middle of the fracture line, mm.
    pub inferior_middle: f64,
    /// The same of its superior end, mm.
    pub inferior_superior_end: f64,
    /// The same of its inferior end, mm.
    pub inferior_inferior_end: f64,
    /// Shift down the plane of the middle of the fracture line, mm.
    pub down_plane: f64,
    /// Turn about the chord, degrees, positive sitting up (rim lateral).
    pub tilt: f64,
    /// Turn about n, degrees, right-handed.
    pub spin: f64,
    /// Turn about d (down the plane), degrees, right-handed.
    pub yaw: f64,
    /// Shift of the fragment's reference point in the shoulder's axes: anterior, superior, lateral, mm.
    pub shift: [f64; 3],
    /// The same in the bed's: along the fracture line toward its inferior end, down the plane, off the bed, mm.
    pub bed_shift: [f64; 3],
    /// Rotation vector of the fragment, degrees.
    pub turn: [f64; 3],
}

impl Measures {
    /// How the fragment's edge lies and how it is turned: numbers, each under a name with its unit.
    pub fn columns(&self) -> [(&'static str, f64); 17] {
        let ([x, y, z], [along, down, off]) = (self.shift, self.bed_shift);
        [
            ("step_mm", self.step.value),
            ("step_at_mm", self.step.at),
            ("gap_mm", self.gap.value),
            ("gap_at_mm", self.gap.at),
            ("inferior_inferior_end_mm", self.inferior_inferior_end),
            ("inferior_middle_mm", self.inferior_middle),
            ("inferior_superior_end_mm", self.inferior_superior_end),
            ("down_plane_mm", self.down_plane),
            ("tilt_deg", self.tilt),
            ("spin_deg", self.spin),
            ("yaw_deg", self.yaw),
            ("centroid_anterior_mm", x),
            ("centroid_superior_mm", y),
            ("centroid_lateral_mm", z),
            ("centroid_along_line_mm", along),
            ("centroid_down_plane_mm", down),
            ("centroid_off_bed_mm", off),
        ]
    }

    /// The pose that they describe.
    pub fn pose(&self) -> Pose {
        let turn = rotation(&Vec3::from(self.turn).map(f64::to_radians));
        Pose { shift: self.shift.into(), turn }
    }

    /// The inferior shift of largest magnitude of both ends and the middle of the fracture line, mm,
    /// positive inferior.
    pub fn largest_shift(&self) -> f64 {
        [self.inferior_inferior_end, self.inferior_middle, self.inferior_superior_end].into_iter().fold(
            0.0,
            |most: f64, shift| {
                if shift.abs() > most.abs() { shift } else { most }
            },
        )
    }
}

/// One of the softest motions of the held fragment.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Way {
    /// Stiffness, N/mm (turns scaled by the bed's radius of gyration).
    pub stiffness: f64,
    /// Direction of the reference point per unit motion.
    pub shift: [f64; 3],
    /// Turn per unit motion, scaled by the radius of gyration.
    pub turn: [f64; 3],
}

/// The tied state.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct TiedState {
    /// Limbs in the construct's order.
    pub limbs: Vec<LimbState>,
    /// Anchors in the construct's order.
    pub anchors: Vec<AnchorState>,
    /// Screws in the construct's order.
    pub screws: Vec<ScrewState>,
    /// The bed.
    pub bed: BedState,
    /// Angle between −n and what limbs and screw heads pull with together, degrees; absent when that
    /// is nothing. What shanks bear sideways only answers, and is left out.
    pub resultant_angle: Option<f64>,
    /// The friction angle atan μ, degrees.
    pub friction_angle: f64,
    /// That pull: total force of limbs and screw heads on the fragment, N.
    pub resultant: [f64; 3],
    /// How the fragment lies.
    pub measures: Measures,
    /// Total length of strand across intact cartilage, mm.
    pub cartilage: f64,
    /// The softest motions, softest first.
    pub weakest: Vec<Way>,
    /// Stiffness along the bed; absent when some motion meets no resistance.
    pub stiffness: Option<Stiffness>,
    /// Its certificate.
    pub certificate: Certificate,
}

/// The study of tying a construct.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Hold {
    /// Name of the construct.
    pub construct: String,
    /// Where tying started.
    pub from: Start,
    /// How it ended.
    pub outcome: Outcome,
    /// What each tie did, in order.
    pub ties: Vec<TieRecord>,
    /// Jumps on the way.
    pub jumps: Vec<Jump>,
    /// The tied state, when held.
    pub tied: Option<TiedState>,
}

/// One construct of a comparison.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Compared {
    /// The hold.
    pub hold: Hold,
    /// The push; absent when the tied state was not held.
    pub push: Option<Push>,
    /// Loads at 0.5, 1 and 2 mm of the same push of the repair as tied, N; absent when that is the push itself.
    pub as_tied: Option<[Option<f64>; 3]>,
    /// The same push to failure.
    pub ultimate: Option<Ultimate>,
    /// The rose, when asked for.
    pub rose: Option<Vec<Petal>>,
}
