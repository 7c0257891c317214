//! What is asked of holes: each has a value, a limit, and whom it concerns.

use super::super::place::backed;
use super::super::{measure, taut};
use super::site::{Site, sites};
use crate::anatomy::{Surface, Vault};
use crate::model::{AnchorSpec, Case, Construct, DrillLimits, Tag, parameter, to_edges};

/// What is said of what is asked.
#[derive(Debug, Clone, Copy)]
pub struct Row {
    pub key: &'static str,
    /// In words.
    pub label: &'static str,
    pub unit: &'static str,
    /// Whether the value must be at least its limit; otherwise at most.
    pub at_least: bool,
}

impl Row {
    pub fn new(key: &'static str, label: &'static str, unit: &'static str, at_least: bool) -> Self {
        Self { key, label, unit, at_least }
    }

    /// By how much a value is beyond its limit; negative inside.
    pub fn excess(self, value: f64, limit: f64) -> f64 {
        if self.at_least { limit - value } else { value - limit }
    }

    /// The same as a share of the limit, where it has one.
    pub fn share(self, value: f64, limit: f64) -> f64 {
        self.excess(value, limit) / if limit > 0.0 { limit } else { 1.0 }
    }
}

/// What is asked.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ask {
    /// A guide comes within the cone of a portal.
    Reach,
    /// A hole does not lean too far from square.
    Lean,
    /// Bone is left between two holes.
    Bridge,
    /// Bone is left to the face.
    Face,
    /// Bone is left to the intact rim.
    Rim,
    /// Bone is left to the fracture bed.
    Bed,
    /// Bone is left to the neck wall.
    Wall,
    /// Anchors are not crowded.
    Spacing,
    /// An anchor on the face keeps off the rim.
    RimDistance,
    /// An anchor on the face keeps off the fracture edge.
    FractureDistance,
    /// No limb runs too far over cartilage.
    Cartilage,
}

impl Ask {
    /// All of them.
    pub const ALL: [Self; 11] = [
        Self::Reach,
        Self::Lean,
        Self::Bridge,
        Self::Face,
        Self::Rim,
        Self::Bed,
        Self::Wall,
        Self::Spacing,
        Self::RimDistance,
        Self::FractureDistance,
        Self::Cartilage,
    ];

    /// What is said of it.
    pub fn row(self) -> Row {
        match self {
            Self::Reach => Row::new("reach", "guide short of the direction", "deg", false),
            Self::Lean => Row::new("lean", "lean from square to the bone", "deg", false),
            Self::Bridge => Row::new("bridge", "bone between two holes", "mm", true),
            Self::Face => Row::new("to-face", "bone to the face", "mm", true),
            Self::Rim => Row::new("to-rim", "bone to the rim", "mm", true),
            Self::Bed => Row::new("to-bed", "bone to the fracture bed", "mm", true),
            Self::Wall => Row::new("to-wall", "bone to the neck wall", "mm", true),
            Self::Spacing => Row::new("spacing", "distance between anchors", "mm", true),
            Self::RimDistance => Row::new("rim-distance", "distance from the rim edge", "mm", true),
            Self::FractureDistance => Row::new("fracture-distance", "distance from the fracture edge", "mm", true),
            Self::Cartilage => Row::new("cartilage", "cartilage under a limb", "mm", false),
        }
    }

    fn of(surface: Surface) -> Self {
        match surface {
            Surface::Face => Self::Face,
            Surface::Rim => Self::Rim,
            Surface::Bed => Self::Bed,
            Surface::Wall => Self::Wall,
        }
    }

    /// Path of its limit; none where each hole has its own.
    fn path(self) -> Option<&'static str> {
        Some(match self {
            Self::Reach => return None,
            Self::Lean => "drill.lean",
            Self::Bridge => "drill.bridge",
            Self::Face => "drill.to_face",
            Self::Rim => "drill.to_rim",
            Self::Bed => "drill.to_bed",
            Self::Wall => "drill.to_wall",
            Self::Spacing => "anchors.least_spacing",
            Self::RimDistance => "anchors.least_rim_distance",
            Self::FractureDistance => "anchors.least_fracture_distance",
            Self::Cartilage => "place.limits.cartilage",
        })
    }

    /// Its limit of those that drilling must leave.
    fn drilled(self, limits: &DrillLimits) -> f64 {
        self.path().map_or(f64::NAN, |path| limits[path])
    }

    /// Its limit with its backing; none where each hole has its own.
    pub fn backed(self, case: &Case, construct: &Construct) -> Option<(f64, Tag, String)> {
        let value = match self {
            Self::Spacing => case.anchors.least_spacing,
            Self::RimDistance => case.anchors.least_rim_distance,
            Self::FractureDistance => case.anchors.least_fracture_distance,
            Self::Cartilage => most_cartilage(),
            _ => self.drilled(&construct.drill),
        };
        Some(backed(self.path()?, value))
    }
}

/// Most cartilage under a limb, mm: what a search for places keeps to.
fn most_cartilage() -> f64 {
    parameter("place.limits.cartilage").and_then(|p| p.default).unwrap_or(f64::NAN)
}

/// A value against its limit.
#[derive(Debug, Clone, PartialEq)]
pub struct Asked {
    pub ask: Ask,
    pub value: f64,
    pub limit: f64,
    pub subject: String,
    /// Indices of the holes that it concerns.
    pub of: Vec<usize>,
}

impl Asked {
    /// By how much it is beyond its limit, in its unit; negative inside.
    pub fn excess(&self) -> f64 {
        self.ask.row().excess(self.value, self.limit)
    }

    /// The same as a share of the limit, where it has one.
    pub fn share(&self) -> f64 {
        self.ask.row().share(self.value, self.limit)
    }
}

/// What is asked of a construct's holes.
pub fn asked(case: &Case, construct: &Construct, bone: &Vault<'_>) -> Vec<Asked> {
    all(case, construct, bone, &sites(construct, bone))
}

/// The same of holes that are known.
pub fn all(case: &Case, construct: &Construct, bone: &Vault<'_>, sites: &[Site]) -> Vec<Asked> {
    let mut list = Vec::new();
    for (k, site) in sites.iter().enumerate() {
        let anchor = construct.anchors.get(k);
        let subject = |ask: Ask| match (ask, site.portal) {
            (Ask::Reach | Ask::Lean, Some(p)) => format!("{} through {}", site.name, construct.portals[p].name),
            _ => site.name.clone(),
        };
        let placed = anchor.into_iter().flat_map(|a| placed(case, a));
        for (ask, value, limit) in own(&construct.drill, bone, site).chain(placed) {
            list.push(Asked { ask, value, limit, subject: subject(ask), of: vec![k] });
        }
        for (j, other) in sites.iter().enumerate().skip(k + 1) {
            let both = anchor.is_some() && j < construct.anchors.len();
            for (ask, value, limit) in paired(case, construct, site, other, both) {
                list.push(Asked {
                    ask,
                    value,
                    limit,
                    subject: format!("{} and {}", site.name, other.name),
                    of: vec![k, j],
                });
            }
        }
    }
    for (k, limb) in construct.limbs.iter().enumerate() {
        let value = cartilage(case, construct, k);
        let of = (0..construct.anchors.len()).filter(|a| leads_to(construct, k, *a)).collect();
        list.push(Asked { ask: Ask::Cartilage, value, limit: most_cartilage(), subject: limb.name.clone(), of });
    }
    list
}

/// What a hole is asked by itself: reach, lean, and bone to every surface.
pub fn own(limits: &DrillLimits, bone: &Vault<'_>, site: &Site) -> impl Iterator<Item = (Ask, f64, f64)> {
    let reach = (site.given && site.portal.is_some()).then(|| (Ask::Reach, site.short.to_degrees(), 0.0));
    let lean = site.lean.map(|lean| (Ask::Lean, lean.to_degrees(), Ask::Lean.drilled(limits)));
    let surfaces = site.surfaces().map(|surface| {
        let ask = Ask::of(surface);
        (ask, bone.left(&site.in_scapula, surface).0, ask.drilled(limits))
    });
    reach.into_iter().chain(lean).chain(surfaces)
}

/// What the place of an anchor on the face is asked, whatever its hole.
pub fn placed(case: &Case, anchor: &AnchorSpec) -> impl Iterator<Item = (Ask, f64, f64)> {
    let edges = to_edges(case, &anchor.place, &anchor.point).into_iter();
    edges.zip([Ask::RimDistance, Ask::FractureDistance]).map(|((value, least, _), ask)| (ask, value, least))
}

/// What two holes are asked; `both` are anchors'.
pub fn paired(
    case: &Case,
    construct: &Construct,
    one: &Site,
    other: &Site,
    both: bool,
) -> impl Iterator<Item = (Ask, f64, f64)> {
    let bridge = (Ask::Bridge, one.tunnel.bridge(&other.tunnel).0, Ask::Bridge.drilled(&construct.drill));
    let apart = (one.tunnel.entry - other.tunnel.entry).norm();
    let spacing = both.then_some((Ask::Spacing, apart, case.anchors.least_spacing));
    std::iter::once(bridge).chain(spacing)
}

/// Length (mm) of a limb over intact cartilage, taut on the reduced fragment.
pub fn cartilage(case: &Case, construct: &Construct, k: usize) -> f64 {
    let places = taut::places(&case.fragment, construct, &construct.limbs[k]);
    measure::cartilage(case, construct, k, &places)
}

/// Whether a limb leads to an anchor.
pub fn leads_to(construct: &Construct, limb: usize, anchor: usize) -> bool {
    let at = |stop: &crate::model::Stop| matches!(stop, crate::model::Stop::Anchor { index, .. } if *index == anchor);
    construct.limbs[limb].path.iter().any(at)
}
