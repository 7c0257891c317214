//! What is asked of holes: each has a value, a limit, and whom it concerns.

use super::super::place::backed;
use super::super::{measure, taut};
use super::site::{Site, sites};
use crate::anatomy::{Place, Surface, Vault};
use crate::model::{AnchorSpec, Case, Construct, DrillLimits, Tag, parameter};

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

    /// Key, words, unit, and whether the value must be at least its limit (otherwise at most).
    pub fn row(self) -> (&'static str, &'static str, &'static str, bool) {
        match self {
            Self::Reach => ("reach", "guide short of the direction", "deg", false),
            Self::Lean => ("lean", "lean from square to the bone", "deg", false),
            Self::Bridge => ("bridge", "bone between two holes", "mm", true),
            Self::Face => ("to-face", "bone to the face", "mm", true),
            Self::Rim => ("to-rim", "bone to the rim", "mm", true),
            Self::Bed => ("to-bed", "bone to the fracture bed", "mm", true),
            Self::Wall => ("to-wall", "bone to the neck wall", "mm", true),
            Self::Spacing => ("spacing", "distance between anchors", "mm", true),
            Self::RimDistance => ("rim-distance", "distance from the rim edge", "mm", true),
            Self::FractureDistance => ("fracture-distance", "distance from the fracture edge", "mm", true),
            Self::Cartilage => ("cartilage", "cartilage under a limb", "mm", false),
        }
    }

    /// Key.
    pub fn key(self) -> &'static str {
        self.row().0
    }

    /// In words.
    pub fn label(self) -> &'static str {
        self.row().1
    }

    /// Unit.
    pub fn unit(self) -> &'static str {
        self.row().2
    }

    /// Whether the value must be at least its limit; otherwise at most.
    pub fn is_least(self) -> bool {
        self.row().3
    }

    /// By how much a value is beyond its limit; negative inside.
    pub fn excess(self, value: f64, limit: f64) -> f64 {
        if self.is_least() { limit - value } else { value - limit }
    }

    /// The same as a share of the limit, where it has one.
    pub fn share(self, value: f64, limit: f64) -> f64 {
        self.excess(value, limit) / if limit > 0.0 { limit } else { 1.0 }
    }

    fn of(surface: Surface) -> Self {
        match surface {
            Surface::Face => Self::Face,
            Surface::Rim => Self::Rim,
            Surface::Bed => Self::Bed,
            Surface::Wall => Self::Wall,
        }
    }

    /// Its limit with its backing; none where each hole has its own.
    pub fn backed(self, case: &Case, construct: &Construct) -> Option<(f64, Tag, String)> {
        let d = &construct.drill;
        let (path, value) = match self {
            Self::Reach => return None,
            Self::Lean => ("drill.lean", d.lean),
            Self::Bridge => ("drill.bridge", d.bridge),
            Self::Face => ("drill.to_face", d.to_face),
            Self::Rim => ("drill.to_rim", d.to_rim),
            Self::Bed => ("drill.to_bed", d.to_bed),
            Self::Wall => ("drill.to_wall", d.to_wall),
            Self::Spacing => ("anchors.least_spacing", case.anchors.least_spacing),
            Self::RimDistance => ("anchors.least_rim_distance", case.anchors.least_rim_distance),
            Self::FractureDistance => ("anchors.least_fracture_distance", case.anchors.least_fracture_distance),
            Self::Cartilage => ("place.limits.cartilage", most_cartilage()),
        };
        Some(backed(path, value))
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
        self.ask.excess(self.value, self.limit)
    }

    /// The same as a share of the limit, where it has one.
    pub fn share(&self) -> f64 {
        self.ask.share(self.value, self.limit)
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
        let placed = anchor.into_iter().flat_map(|a| placed(case, a, &a.point));
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
    let lean = site.lean.map(|lean| (Ask::Lean, lean.to_degrees(), limits.lean));
    let surfaces = site.surfaces().map(|surface| {
        let limit = match surface {
            Surface::Face => limits.to_face,
            Surface::Rim => limits.to_rim,
            Surface::Bed => limits.to_bed,
            Surface::Wall => limits.to_wall,
        };
        (Ask::of(surface), bone.left(&site.in_scapula, surface).0, limit)
    });
    reach.into_iter().chain(lean).chain(surfaces)
}

/// What the place of an anchor on the face is asked, whatever its hole.
pub fn placed(case: &Case, anchor: &AnchorSpec, point: &crate::math::Vec3) -> impl Iterator<Item = (Ask, f64, f64)> {
    let on_face = matches!(anchor.place, Place::Face { .. } | Place::Clock { .. });
    let (f, limits) = (&case.fragment, &case.anchors);
    let rows = on_face.then(|| {
        let to_rim = f.socket.radius - libm::hypot(point.x, point.y);
        let to_fracture = (f.nearest_edge_point(point) - point).norm();
        [
            (Ask::RimDistance, to_rim, limits.least_rim_distance),
            (Ask::FractureDistance, to_fracture, limits.least_fracture_distance),
        ]
    });
    rows.into_iter().flatten()
}

/// What two holes are asked; `both` are anchors'.
pub fn paired(
    case: &Case,
    construct: &Construct,
    one: &Site,
    other: &Site,
    both: bool,
) -> impl Iterator<Item = (Ask, f64, f64)> {
    let bridge = (Ask::Bridge, one.tunnel.bridge(&other.tunnel).0, construct.drill.bridge);
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
