//! A hole on its bone: where it enters, along which guide, and how near that comes to what is wanted.

use super::ask::own;
use crate::anatomy::distance::{seen_from, within_cone};
use crate::anatomy::{Place, Surface, Tunnel, Vault, clock_angle};
use crate::math::{Vec3, angle_between};
use crate::model::{AnchorSpec, Construct, DrillLimits, PortalSpec, ScrewSpec};

/// A hole.
#[derive(Debug, Clone)]
pub struct Site {
    pub name: String,
    /// The whole of it.
    pub tunnel: Tunnel,
    /// What of it lies in the scapula: all but the part of a screw in its fragment.
    pub in_scapula: Tunnel,
    /// Whether its direction is given.
    pub given: bool,
    /// The portal that serves it best.
    pub portal: Option<usize>,
    /// By how much a guide through it falls short of the direction wanted, rad.
    pub short: f64,
    /// By how much it leans from square, rad.
    pub lean: Option<f64>,
}

impl Site {
    /// The surfaces to which it must leave bone: a screw runs through the bed by its nature.
    pub fn surfaces(&self) -> impl Iterator<Item = Surface> + '_ {
        let crosses = self.tunnel.depth > self.in_scapula.depth;
        Surface::ALL.into_iter().filter(move |s| !(crosses && *s == Surface::Bed))
    }
}

/// The holes of a construct: of the anchors, then of the screws.
pub fn sites(construct: &Construct, bone: &Vault<'_>) -> Vec<Site> {
    let anchors = construct.anchors.iter().map(|a| of_anchor(construct, bone, a, &a.place, a.point));
    anchors.chain(construct.screws.iter().map(|s| of_screw(construct, bone, s))).collect()
}

/// Direction in which a guide through a portal points, and the half angle within which it can, rad.
pub fn guide(portal: &PortalSpec) -> (Vec3, f64) {
    let from = seen_from(clock_angle(portal.clock), portal.elevation.to_radians());
    (-from, (portal.half_angle + portal.turn).to_radians())
}

/// The portals that an anchor may be drilled through.
pub fn open(construct: &Construct, anchor: &AnchorSpec) -> impl Iterator<Item = usize> {
    let meant = |p: &PortalSpec| anchor.portal.as_ref().is_none_or(|name| *name == p.name);
    construct.portals.iter().enumerate().filter(|(_, p)| meant(p)).map(|(k, _)| k).collect::<Vec<_>>().into_iter()
}

/// The hole of an anchor at a place: along the direction that is given, or along the guide of a portal, as near to square
/// as its cone allows. Of several portals the one serves whose hole is least beyond its limits, and of those that keep
/// all the one that comes nearest to square.
pub fn of_anchor(construct: &Construct, bone: &Vault<'_>, anchor: &AnchorSpec, place: &Place, point: Vec3) -> Site {
    let through = bone.through(place, &point);
    // A bare point inside the bone has no square: from lateral.
    let square = through.map(|surface| bone.inward(surface, &point));
    let wanted = anchor.axis.or(square).unwrap_or(-Vec3::z());
    let along = |axis: Vec3, portal: Option<usize>, short: f64| {
        let tunnel = Tunnel { entry: point, axis, depth: anchor.depth, diameter: anchor.diameter, through };
        let lean = square.map(|square| angle_between(&axis, &square));
        Site {
            name: anchor.name.clone(),
            tunnel,
            in_scapula: tunnel,
            given: anchor.axis.is_some(),
            portal,
            short,
            lean,
        }
    };
    let mut best: Option<(f64, Site)> = None;
    for k in open(construct, anchor) {
        let (toward, half) = guide(&construct.portals[k]);
        let (near, short) = within_cone(&wanted, &toward, half);
        let site = along(anchor.axis.unwrap_or(near), Some(k), short);
        let beyond = if site.given { 0.0 } else { beyond(&construct.drill, bone, &site) };
        if best.as_ref().is_none_or(|(least, b)| (beyond, site.short) < (*least, b.short)) {
            best = Some((beyond, site));
        }
    }
    best.map_or_else(|| along(wanted, None, 0.0), |(_, site)| site)
}

/// How far a hole is beyond its own limits, as the largest share of one; zero where it keeps all.
fn beyond(limits: &DrillLimits, bone: &Vault<'_>, site: &Site) -> f64 {
    own(limits, bone, site).map(|(ask, value, limit)| ask.row().share(value, limit)).fold(0.0, f64::max)
}

fn of_screw(construct: &Construct, bone: &Vault<'_>, screw: &ScrewSpec) -> Site {
    let through = bone.through(&screw.place, &screw.head);
    let tunnel = |entry: Vec3, depth: f64, through: Option<Surface>| Tunnel {
        entry,
        axis: screw.axis,
        depth,
        diameter: screw.diameter,
        through,
    };
    let shorts = construct.portals.iter().map(|p| {
        let (toward, half) = guide(p);
        within_cone(&screw.axis, &toward, half).1
    });
    let nearest = shorts.enumerate().min_by(|a, b| a.1.total_cmp(&b.1));
    Site {
        name: screw.name.clone(),
        tunnel: tunnel(screw.head, screw.grip + screw.working_length, through),
        in_scapula: tunnel(screw.crossing(), screw.working_length, Some(Surface::Bed)),
        given: true,
        portal: nearest.map(|n| n.0),
        short: nearest.map_or(0.0, |n| n.1),
        lean: through.map(|surface| angle_between(&screw.axis, &bone.inward(surface, &screw.head))),
    }
}
