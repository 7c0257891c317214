//! What drilling a construct comes to.

use crate::anatomy::Surface;
pub use crate::model::PortalSpec as Portal;
use crate::model::Tag;
use schemars::JsonSchema;
use serde::Serialize;

/// The holes of a construct: how each is reached, and what bone they leave.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Drilling {
    /// Name of the construct.
    pub construct: String,
    /// The holes: those of the anchors in their order, then those of the screws.
    pub holes: Vec<Hole>,
    /// Bone between each two holes.
    pub bridges: Vec<Bridge>,
    /// How far each limb runs over intact cartilage, taut on the reduced fragment.
    pub strands: Vec<OverCartilage>,
    /// The portals.
    pub portals: Vec<Portal>,
    /// What was asked of the holes, and what backs it.
    pub limits: Vec<DrillLimit>,
    /// Where that is not kept, the farthest beyond its limit first.
    pub violations: Vec<Violation>,
}

/// A hole.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Hole {
    /// Name of its anchor or screw.
    pub name: String,
    /// Whether it is a screw's.
    pub screw: bool,
    /// Where it enters the bone, mm.
    pub entry: [f64; 3],
    /// Unit direction from there into the bone.
    pub axis: [f64; 3],
    /// Its tip, mm.
    pub tip: [f64; 3],
    /// Diameter, mm.
    pub diameter: f64,
    /// Length, mm.
    pub depth: f64,
    /// The surface through which it enters; absent where a bare point lies inside the bone.
    pub through: Option<Surface>,
    /// Whether its direction is given; otherwise it is the one of the guide that comes nearest to square.
    pub given: bool,
    /// The portal that comes nearest to it; absent when there is none.
    pub portal: Option<String>,
    /// By how much a guide through that portal falls short of the direction wanted (the given one, or square to the
    /// bone), degrees.
    pub short: f64,
    /// By how much it leans from square to the bone that it enters, degrees.
    pub lean: Option<f64>,
    /// Whether it can be drilled: a given direction by a guide that falls short by nothing, any by one that does not
    /// lean too far.
    pub reached: bool,
    /// Bone left to the face, the intact rim, the fracture bed and the neck wall, mm; negative where it breaks through.
    /// To the surface that it enters by, what covers its tip.
    pub left: Vec<BoneLeft>,
    /// Surface through which it leaves the bone, the one that it leaves farthest.
    pub leaves: Option<Surface>,
    /// What would do instead, where something is not kept; not for screws.
    pub remedy: Option<Remedy>,
}

/// Bone left to a surface.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct BoneLeft {
    /// The surface.
    pub surface: Surface,
    /// Bone, mm.
    pub bone: f64,
    /// The point of the hole's axis where it is least, mm.
    pub at: [f64; 3],
}

/// Bone between two holes.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Bridge {
    /// One hole.
    pub first: String,
    /// The other.
    pub second: String,
    /// Bone between them, mm; negative where they run into each other.
    pub bone: f64,
    /// Distance of their mouths, from centre to centre, mm.
    pub spacing: f64,
    /// The points of both axes where the bone is thinnest, mm.
    pub at: [[f64; 3]; 2],
}

/// How far a limb runs over intact cartilage.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct OverCartilage {
    /// The limb.
    pub limb: String,
    /// Length, mm.
    pub length: f64,
}

/// What is asked of the holes.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct DrillLimit {
    /// Key.
    pub key: String,
    /// In words.
    pub label: String,
    /// The limit.
    pub limit: f64,
    /// Whether the value must be at least the limit; otherwise at most.
    pub at_least: bool,
    /// Unit.
    pub unit: String,
    /// How it is backed.
    pub tag: Tag,
    /// Where it comes from.
    pub source: String,
}

/// Where something is not kept.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Violation {
    /// Key of what is not kept.
    pub key: String,
    /// In words.
    pub label: String,
    /// What it concerns.
    pub subject: String,
    /// The value.
    pub value: f64,
    /// Its limit.
    pub limit: f64,
    /// Unit of both.
    pub unit: String,
    /// Indices of the holes that it concerns.
    pub holes: Vec<usize>,
    /// The nearest place of one of its anchors that mends this and breaks nothing else; absent where none was found near.
    pub nearest: Option<Nearest>,
}

/// The nearest place that would do.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Nearest {
    /// The anchor that is moved.
    pub hole: String,
    /// Its coordinates there.
    pub coordinates: Vec<Coordinate>,
    /// Distance from its present place, mm.
    pub distance: f64,
}

/// What would do instead, so that all is kept while every other hole stays: each alone does.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Remedy {
    /// The nearest place along the anchor's own coordinates; absent where none was found near.
    pub moved: Option<OtherPlace>,
    /// The least turn of the hole at its place; absent where none was found.
    pub turned: Option<OtherAxis>,
}

/// Another place.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct OtherPlace {
    /// Its coordinates.
    pub coordinates: Vec<Coordinate>,
    /// Distance from the present one, mm.
    pub distance: f64,
    /// The portal that then serves.
    pub portal: Option<String>,
    /// Depth of the hole, mm: as it is, or as little as is usual where it is too deep.
    pub depth: f64,
}

/// A coordinate of a place.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Coordinate {
    /// Key in the construct's file.
    pub key: String,
    /// Value.
    pub value: f64,
    /// Unit.
    pub unit: String,
}

/// Another direction.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct OtherAxis {
    /// Angle from the present one, degrees.
    pub by: f64,
    /// The portal through which it is drilled.
    pub portal: String,
    /// Unit direction into the bone.
    pub axis: [f64; 3],
    /// Depth of the hole, mm: as it is, or as little as is usual where it is too deep.
    pub depth: f64,
}

impl Drilling {
    /// The thinnest bone between two holes.
    pub fn thinnest(&self) -> Option<&Bridge> {
        self.bridges.iter().min_by(|a, b| a.bone.total_cmp(&b.bone))
    }

    /// How many holes can be reached.
    pub fn reached(&self) -> usize {
        self.holes.iter().filter(|h| h.reached).count()
    }

    /// The limit of a key.
    pub fn limit(&self, key: &str) -> Option<&DrillLimit> {
        self.limits.iter().find(|l| l.key == key)
    }
}
