//! Before drilling: can each anchor be reached, and does the bone allow its hole?
//!
//! A hole runs along a guide through a portal, as near to square to the bone as the portal's cone allows, or along the
//! direction that the construct's file gives. Nothing is solved: limbs lie taut on the reduced fragment. Head, muscle
//! and the fragment in a guide's way are not in the model.
//!
//! ```
//! use rimhold::model::{Case, ConstructFile};
//! use rimhold::study::{DrillPlan, drill};
//!
//! let case = Case::open("quarter")?;
//! let construct = ConstructFile::open("one-by-one")?.fit(&case)?;
//! let found = drill(&case, &construct, &DrillPlan::default());
//! for hole in &found.holes {
//!     println!("{} through {:?}, {:.0}° short of square", hole.name, hole.portal, hole.short);
//! }
//! for broken in &found.violations {
//!     println!("{}: {} {:.1} {} (limit {})", broken.subject, broken.label, broken.value, broken.unit, broken.limit);
//! }
//! # Ok::<(), rimhold::model::Problems>(())
//! ```

mod ask;
mod remedy;
mod site;

pub(super) use ask::{Ask, Row, asked};

use super::result::{BoneLeft, Bridge, DrillLimit, Drilling, Hole, OverCartilage, Violation};
use crate::anatomy::{Surface, Vault};
use crate::model::{Case, Construct};
use ask::{Asked, all, cartilage};
use remedy::{Look, Places};
use site::{Site, sites};

/// How to look for what would do instead.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DrillPlan {
    /// Whether to look at all.
    pub remedies: bool,
    /// How far to look along the fracture line and across it, to either side, mm.
    pub reach: [f64; 2],
    /// Distance of the places tried, mm.
    pub pitch: f64,
    /// Angle between the directions tried, degrees.
    pub turn: f64,
}

impl Default for DrillPlan {
    fn default() -> Self {
        Self { remedies: true, reach: [6.0, 5.0], pitch: 0.5, turn: 5.0 }
    }
}

/// How the holes of a construct are reached, and what bone they leave.
pub fn drill(case: &Case, construct: &Construct, plan: &DrillPlan) -> Drilling {
    let bone = Vault::of(&case.fragment);
    let sites = sites(construct, &bone);
    let asked = all(case, construct, &bone, &sites);
    let mut broken: Vec<&Asked> = asked.iter().filter(|a| a.excess() > 0.0).collect();
    broken.sort_by(|a, b| b.share().total_cmp(&a.share()));
    // Of each anchor with something to mend the places near it.
    let look = |k: usize| Look { case, construct, bone: &bone, sites: &sites, k };
    let wrong = |k: usize| plan.remedies && k < construct.anchors.len() && broken.iter().any(|b| b.of.contains(&k));
    let places: Vec<Option<Places>> =
        (0..sites.len()).map(|k| wrong(k).then(|| look(k).places(plan, sites[k].tunnel.depth))).collect();
    let holes = sites.iter().enumerate().map(|(k, site)| {
        let remedy = places[k].as_ref().map(|places| look(k).remedy(places, plan));
        Hole { remedy, ..hole(construct, &bone, site, &asked, k) }
    });
    let holes = holes.collect();
    let pairs = (0..sites.len()).flat_map(|k| (k + 1..sites.len()).map(move |j| (k, j)));
    let bridges = pairs.map(|(k, j)| {
        let (one, other) = (&sites[k].tunnel, &sites[j].tunnel);
        let (left, at) = one.bridge(other);
        Bridge {
            first: sites[k].name.clone(),
            second: sites[j].name.clone(),
            bone: left,
            spacing: (one.entry - other.entry).norm(),
            at: at.map(Into::into),
        }
    });
    let violation = |a: &&Asked| Violation {
        key: a.ask.row().key.to_owned(),
        label: a.ask.row().label.to_owned(),
        subject: a.subject.clone(),
        value: a.value,
        limit: a.limit,
        unit: a.ask.row().unit.to_owned(),
        holes: a.of.clone(),
        nearest: {
            let near = a.of.iter().filter_map(|k| look(*k).nearest(places[*k].as_ref()?, a));
            near.min_by(|a, b| a.distance.total_cmp(&b.distance))
        },
    };
    let strands = construct
        .limbs
        .iter()
        .enumerate()
        .map(|(k, limb)| OverCartilage { limb: limb.name.clone(), length: cartilage(case, construct, k) });
    Drilling {
        construct: construct.name.clone(),
        holes,
        bridges: bridges.collect(),
        strands: strands.collect(),
        portals: construct.portals.clone(),
        limits: limits(case, construct),
        violations: broken.iter().map(violation).collect(),
    }
}

fn hole(construct: &Construct, bone: &Vault<'_>, site: &Site, asked: &[Asked], k: usize) -> Hole {
    let tunnel = &site.tunnel;
    let left: Vec<BoneLeft> = site
        .surfaces()
        .map(|surface| {
            let (left, at) = bone.left(&site.in_scapula, surface);
            BoneLeft { surface, bone: left, at: at.into() }
        })
        .collect();
    let farthest = left.iter().filter(|l| l.bone < 0.0).min_by(|a, b| a.bone.total_cmp(&b.bone));
    let leaves: Option<Surface> = farthest.map(|l| l.surface);
    let kept = |a: &&Asked| matches!(a.ask, Ask::Reach | Ask::Lean) && a.of == [k];
    Hole {
        name: site.name.clone(),
        screw: k >= construct.anchors.len(),
        entry: tunnel.entry.into(),
        axis: tunnel.axis.into(),
        tip: tunnel.tip().into(),
        diameter: tunnel.diameter,
        depth: tunnel.depth,
        through: tunnel.through,
        given: site.given,
        portal: site.portal.map(|p| construct.portals[p].name.clone()),
        short: site.short.to_degrees(),
        lean: site.lean.map(f64::to_degrees),
        reached: site.portal.is_some() && asked.iter().filter(kept).all(|a| a.excess() <= 0.0),
        left,
        leaves,
        remedy: None,
    }
}

fn limits(case: &Case, construct: &Construct) -> Vec<DrillLimit> {
    let told = |ask: &Ask| {
        let (row, (limit, tag, source)) = (ask.row(), ask.backed(case, construct)?);
        Some(DrillLimit {
            key: row.key.to_owned(),
            label: row.label.to_owned(),
            limit,
            at_least: row.at_least,
            unit: row.unit.to_owned(),
            tag,
            source,
        })
    };
    Ask::ALL.iter().filter_map(told).collect()
}
