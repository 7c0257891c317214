//! Checked, ready values: what a case and a construct mean, in mm, N and rad.

use crate::anatomy::{Fragment, Place};
use crate::math::Vec3;
use serde::Serialize;
use std::collections::BTreeMap;

/// Which shoulder. Computation is the same; a left one is drawn mirrored.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(clap::ValueEnum))]
#[serde(rename_all = "snake_case")]
pub enum Side {
    /// Right shoulder: anterior to the right, seen en face.
    Right,
    /// Left shoulder: anterior to the left, seen en face.
    Left,
}

/// How a number is backed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, schemars::JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Tag {
    /// Read in a publication (nearly always its abstract).
    Seen,
    /// Recalled, not read again.
    Memory,
    /// Arithmetic on seen numbers.
    Derived,
    /// A placeholder without a publication: to be swept, never evidence.
    Assumed,
    /// Common practice without a source.
    Practice,
    /// Given by the user.
    Given,
}

/// A default that was taken because the file did not say.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct Taken {
    /// Dotted path of the value, e.g. `bed.friction`.
    pub path: String,
    /// Its value, as printed.
    pub value: String,
    /// Its unit.
    pub unit: String,
    /// How it is backed.
    pub tag: Tag,
    /// Where it comes from.
    pub source: String,
}

/// Something that is allowed but wants a look.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct Warning {
    /// What was found.
    pub message: String,
    /// What to do about it.
    pub advice: String,
}

/// The fracture bed.
#[derive(Debug, Clone, Copy, Default, PartialEq, Serialize)]
pub struct BedSpec {
    /// Friction coefficient μ of bone on bone.
    pub friction: f64,
    /// Normal stiffness k_n, MPa/mm.
    pub normal_stiffness: f64,
    /// Shear stiffness k_t, MPa/mm.
    pub shear_stiffness: f64,
    /// Crush strength, MPa.
    pub crush_strength: f64,
    /// Width of the broken edge over which support fades, mm.
    pub edge_width: f64,
    /// Angle at which the mated surfaces ride up on each other, degrees.
    pub asperity_angle: f64,
    /// Height of the asperities, mm.
    pub asperity_height: f64,
    /// Sliding over which their hollows are round, mm.
    pub asperity_rounding: f64,
    /// Number of cells aimed at.
    pub cells: usize,
}

/// Segments of a limb so short that they seat on bone.
#[derive(Debug, Clone, Copy, Default, PartialEq, Serialize)]
pub struct SeatSpec {
    /// Length below which a segment seats, mm.
    pub length: f64,
    /// Stiffness of a seated segment, N/mm.
    pub stiffness: f64,
}

/// Distances of anchors that are warned about below them, mm.
#[derive(Debug, Clone, Copy, Default, PartialEq, Serialize)]
pub struct AnchorLimits {
    /// Between two anchors.
    pub least_spacing: f64,
    /// Of a face anchor from the rim edge.
    pub least_rim_distance: f64,
    /// Of a face anchor from the fracture edge.
    pub least_fracture_distance: f64,
    /// Travel over which an anchor that pulls out loses its strength.
    pub pull_out: f64,
}

/// What a tied repair loses to relaxation and to cycles of load.
#[derive(Debug, Clone, Copy, Default, PartialEq, Serialize)]
pub struct SettlingSpec {
    /// Share of its force that a labral bite keeps.
    pub bite_kept: f64,
    /// Share of its tension that a strand keeps.
    pub strand_kept: f64,
    /// Set of a bite in its first cycle to 20 N, mm.
    pub bite_set: f64,
    /// Growth of a set with each tenfold of cycles, as a share of the first.
    pub set_growth: f64,
    /// Growth of a knotted loop with each tenfold of cycles, mm.
    pub knot_growth: f64,
    /// Slip of a knotless clamp with each tenfold of cycles, mm.
    pub clamp_growth: f64,
    /// Least load of a cycle, N.
    pub low: f64,
    /// Largest load of a cycle, N.
    pub high: f64,
    /// Number of cycles.
    pub cycles: f64,
}

/// A phase of rehabilitation: how often which load comes.
#[derive(Debug, Clone, PartialEq)]
pub struct PhaseSpec {
    /// Its name.
    pub name: String,
    /// Least load of a cycle, N.
    pub low: f64,
    /// Largest load of a cycle, N.
    pub high: f64,
    /// Cycles.
    pub cycles: u32,
    /// Direction of the load.
    pub direction: super::Direction,
    /// How it is backed.
    pub tag: Tag,
    /// Where it comes from.
    pub source: String,
}

/// The head on the socket, for the question what the joint has of a reduction.
#[derive(Debug, Clone, Copy, Default, PartialEq, Serialize, schemars::JsonSchema)]
pub struct JointSpec {
    /// Radius of the head, mm.
    pub head_radius: f64,
    /// Force that presses it on the socket along its axis, N.
    pub compression: f64,
    /// Confined modulus of cartilage, MPa.
    pub cartilage_modulus: f64,
    /// Thickness of cartilage, mm.
    pub cartilage_thickness: f64,
}

impl JointSpec {
    /// Pressure of cartilage per penetration, MPa/mm: modulus over thickness.
    pub fn foundation(&self) -> f64 {
        self.cartilage_modulus / self.cartilage_thickness
    }
}

/// Where the envelope is at rest.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Rest {
    /// Where tying starts, reduced or displaced.
    Start,
    /// In the reduced pose.
    Reduced,
    /// In the displaced pose.
    Displaced,
}

/// Soft tissue still attached: springs toward a rest pose.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct EnvelopeSpec {
    /// Translational stiffness, N/mm.
    pub shift_stiffness: f64,
    /// Rotational stiffness, N·mm/rad.
    pub turn_stiffness: f64,
    /// Where it is at rest.
    pub rest: Rest,
}

/// A tension-only spring with slack from the fragment to the scapula.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TetherSpec {
    /// Name.
    pub name: String,
    /// Point on the fragment, reduced, mm.
    pub fragment: Vec3,
    /// Point on the scapula, mm.
    pub scapula: Vec3,
    /// Stiffness, N/mm.
    pub stiffness: f64,
    /// Slack beyond its length in the reduced pose, mm.
    pub slack: f64,
}

/// A constant force at a fragment point.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LoadSpec {
    /// Name.
    pub name: String,
    /// Point on the fragment, reduced, mm.
    pub at: Vec3,
    /// Force, N.
    pub force: Vec3,
    /// Whether it already acts while the limbs are tied; otherwise it comes on after the last tie.
    pub during_tying: bool,
}

/// A displaced pose in bed axes, from the reduced one.
#[derive(Debug, Clone, Copy, Default, PartialEq, Serialize)]
pub struct Displacement {
    /// Inferiorly along the chord, mm.
    pub inferior: f64,
    /// Medially down the fracture plane, mm.
    pub medial: f64,
    /// Out of the bed along n, mm.
    pub out_of_bed: f64,
    /// Turn about the chord, rad, positive sitting up (rim lateral).
    pub tilt: f64,
    /// Turn about n, rad.
    pub spin: f64,
    /// Turn about d, rad.
    pub yaw: f64,
}

/// A checked case.
#[derive(Debug, Clone, PartialEq)]
pub struct Case {
    /// Name (file stem, or `name` in the file).
    pub name: String,
    /// Free description from the file.
    pub description: String,
    /// Which shoulder.
    pub side: Side,
    /// Socket and fragment.
    pub fragment: Fragment,
    /// Height of the whole socket, mm (drawn only).
    pub socket_height: f64,
    /// Bed.
    pub bed: BedSpec,
    /// Envelope; absent when both stiffnesses are zero.
    pub envelope: Option<EnvelopeSpec>,
    /// Tethers.
    pub tethers: Vec<TetherSpec>,
    /// Dead loads.
    pub loads: Vec<LoadSpec>,
    /// Displaced pose.
    pub displaced: Displacement,
    /// Seated segments.
    pub seat: SeatSpec,
    /// What anchors are warned about.
    pub anchors: AnchorLimits,
    /// What a tied repair loses.
    pub settling: SettlingSpec,
    /// Direction of the load of its cycles; that of the push where the file gives none.
    pub cycled: Option<super::Direction>,
    /// Phases of rehabilitation, in order; empty where the file gives none.
    pub phases: Vec<PhaseSpec>,
    /// The head on the socket.
    pub joint: JointSpec,
    /// Strand and anchor classes, knots, clamps and strand friction that the case sets for every
    /// construct tried on it.
    pub settings: super::Settings,
    /// Defaults taken.
    pub defaults: Vec<Taken>,
    /// Warnings.
    pub warnings: Vec<Warning>,
}

/// A strand.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct StrandSpec {
    /// Class name, e.g. `cord`.
    pub class: String,
    /// Axial rigidity EA, N.
    pub rigidity: f64,
    /// Diameter or width, mm (drawn only).
    pub width: f64,
    /// Strength, N, if one is known.
    pub strength: Option<f64>,
}

/// An anchor on a given case.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct AnchorSpec {
    /// Name.
    pub name: String,
    /// Class name, e.g. `all-suture`.
    pub class: String,
    /// Where it was asked to sit.
    pub place: Place,
    /// That place on this case, mm.
    pub point: Vec3,
    /// Stiffness of its seat, N/mm; rigid if absent.
    pub stiffness: Option<f64>,
    /// Holding load, N.
    pub holding: Option<f64>,
    /// Set in its first cycle to 25 N, mm.
    pub set: f64,
    /// Diameter of its hole, mm.
    pub diameter: f64,
    /// Depth of its hole, mm.
    pub depth: f64,
    /// Unit direction of its hole, into the bone, where the file gives one; otherwise along the guide that comes nearest
    /// to square.
    pub axis: Option<Vec3>,
    /// The portal through which it is drilled, where the file names one.
    pub portal: Option<String>,
}

/// A portal: the direction from the joint, elevated toward lateral, from which a guide comes, and how far a straight one
/// may point off it.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
#[schemars(rename = "Portal")]
pub struct PortalSpec {
    /// Name.
    pub name: String,
    /// Clock position, hours.
    pub clock: f64,
    /// Elevation above the plane of the face, degrees.
    pub elevation: f64,
    /// Half angle of its cone, degrees.
    pub half_angle: f64,
    /// By how much more a curved guide turns, degrees.
    pub turn: f64,
    /// How it is backed.
    pub tag: Tag,
}

/// What drilling must leave, by its path in a file, e.g. `drill.bridge`.
pub type DrillLimits = BTreeMap<&'static str, f64>;

/// Where a crossing turns.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Edge {
    /// Over the rim.
    Rim,
    /// Round the medial margin.
    Margin,
    /// Over another place on the fragment.
    Bone,
}

/// What the tissue of a labral bite bears.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct BiteSpec {
    /// Toe stiffness, N/mm.
    pub stiffness: f64,
    /// Stiffening, 1/mm.
    pub stiffening: f64,
    /// Force at which it begins to cut out, N.
    pub strength: f64,
    /// Travel over which it then loses its strength, mm.
    pub cut_out: f64,
}

/// One stop of a limb's path.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Stop {
    /// An anchor: an end of the limb, or an eyelet that it slides through.
    Anchor {
        /// Index in the construct's anchors.
        index: usize,
        /// Friction coefficient of the eyelet.
        friction: f64,
        /// Whether the strand is fixed there (no transfer).
        locked: bool,
    },
    /// A stitch through labrum.
    Bite {
        /// Where, on the reduced fragment, mm.
        point: Vec3,
        /// What the tissue bears there.
        bite: BiteSpec,
        /// Friction coefficient of strand on labrum.
        friction: f64,
        /// Whether the stitch is locked (no transfer).
        locked: bool,
    },
    /// A passage over bone, fixed to the fragment.
    Crossing {
        /// Over which edge.
        edge: Edge,
        /// Where, on the reduced fragment, mm; `None`: where the limb is shortest (taut).
        point: Option<Vec3>,
        /// Friction coefficient of strand on bone or cartilage.
        friction: f64,
        /// Whether the strand is held there (no transfer).
        locked: bool,
    },
}

impl Stop {
    /// Its point, mm, where it has one: an anchor's is given by its index.
    pub(crate) fn point(&self, anchor: impl Fn(usize) -> Option<Vec3>) -> Option<Vec3> {
        match self {
            Self::Anchor { index, .. } => anchor(*index),
            Self::Bite { point, .. } => Some(*point),
            Self::Crossing { point, .. } => *point,
        }
    }
}

/// How a limb is finished.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Fixing {
    /// A hand-tied knot.
    Knot,
    /// A knotless clamp in the anchor.
    Knotless,
}

impl Fixing {
    /// The table of the settings that hold for it.
    pub(crate) fn table(self) -> &'static str {
        match self {
            Self::Knot => "knot",
            Self::Knotless => "clamp",
        }
    }
}

/// A limb on a given case.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LimbSpec {
    /// Name.
    pub name: String,
    /// Group for share tables (`loop` when both ends share an anchor, otherwise `bridge`).
    pub group: String,
    /// The stops, tie end last.
    pub path: Vec<Stop>,
    /// Whether the last stop leads back to the first, as one closed sliding strand.
    pub closed: bool,
    /// Strand.
    pub strand: StrandSpec,
    /// Target tension, N.
    pub tension: f64,
    /// How it is finished.
    pub fixing: Fixing,
    /// Loop growth when it is locked, mm.
    pub knot_slack: f64,
    /// Knot (or clamp) load, N.
    pub knot_limit: f64,
}

/// A screw on a given case.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ScrewSpec {
    /// Name.
    pub name: String,
    /// Group for share tables (`screws` when not given).
    pub group: String,
    /// Where its head was asked to sit.
    pub place: Place,
    /// Seat of its head on the reduced fragment, mm.
    pub head: Vec3,
    /// Unit direction, head toward tip, on the reduced fragment.
    pub axis: Vec3,
    /// Outer diameter, mm.
    pub diameter: f64,
    /// Core diameter, mm.
    pub core: f64,
    /// Diameter of its head, mm.
    pub head_diameter: f64,
    /// Young's modulus, MPa.
    pub modulus: f64,
    /// Foundation modulus of the bone about it, MPa/mm.
    pub foundation: f64,
    /// Length from its head to the fracture plane, mm.
    pub grip: f64,
    /// Length from the fracture plane to its tip, mm.
    pub working_length: f64,
    /// Pull of its head when it is locked, N.
    pub preload: f64,
}

impl ScrewSpec {
    /// Where it passes the fracture plane, mm.
    pub fn crossing(&self) -> Vec3 {
        self.head + self.axis * self.grip
    }

    /// Its tip on the reduced anatomy, mm.
    pub fn tip(&self) -> Vec3 {
        self.head + self.axis * (self.grip + self.working_length)
    }
}

/// When a pull ends.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(clap::ValueEnum))]
#[serde(rename_all = "snake_case")]
pub enum StopRule {
    /// At the target tension.
    Tension,
    /// As soon as the watched point is back in its reduced place, the target tension being the cap.
    Reduced,
}

/// One tie.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct TieSpec {
    /// Indices of the limbs pulled together.
    pub limbs: Vec<usize>,
    /// Indices of the screws placed when the pull begins and tightened with it.
    pub screws: Vec<usize>,
    /// When the pull ends.
    pub stop: StopRule,
    /// Whether an instrument holds the fragment at its pose meanwhile.
    pub held: bool,
}

/// A checked construct on a given case.
#[derive(Debug, Clone, PartialEq)]
pub struct Construct {
    /// Name (file stem, or `name` in the file).
    pub name: String,
    /// Free description from the file.
    pub description: String,
    /// Anchors.
    pub anchors: Vec<AnchorSpec>,
    /// Limbs.
    pub limbs: Vec<LimbSpec>,
    /// Screws.
    pub screws: Vec<ScrewSpec>,
    /// Ties in order; every limb and every screw stands in exactly one.
    pub ties: Vec<TieSpec>,
    /// Portals through which holes can be drilled.
    pub portals: Vec<PortalSpec>,
    /// What drilling must leave.
    pub drill: DrillLimits,
    /// Defaults taken.
    pub defaults: Vec<Taken>,
    /// Warnings.
    pub warnings: Vec<Warning>,
}

impl Construct {
    /// Names of the limbs, then the screws, of a tie.
    pub fn names_of(&self, tie: &TieSpec) -> Vec<&str> {
        let limbs = tie.limbs.iter().map(|k| self.limbs[*k].name.as_str());
        let screws = tie.screws.iter().map(|k| self.screws[*k].name.as_str());
        limbs.chain(screws).collect()
    }
}
