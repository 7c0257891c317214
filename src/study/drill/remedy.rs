//! What would do instead: the nearest place along an anchor's own coordinates, and the least turn of its hole.

use super::super::result::{Coordinate, Nearest, OtherAxis, OtherPlace, Remedy};
use super::DrillPlan;
use super::ask::{Ask, Asked, cartilage, leads_to, own, paired, placed};
use super::site::{Site, guide, of_anchor, open};
use crate::anatomy::{Fragment, Place, Vault};
use crate::math::{Vec3, angle_between, any_perpendicular};
use crate::model::{AnchorSpec, Case, Construct, parameter, shifted};
use std::f64::consts::TAU;

/// What is looked at: one anchor of a construct, while all others stay.
pub struct Look<'a> {
    pub case: &'a Case,
    pub construct: &'a Construct,
    pub bone: &'a Vault<'a>,
    pub sites: &'a [Site],
    pub k: usize,
}

/// What is not kept: what is asked, the other hole or the limb that it concerns, and by how much it is beyond its limit.
type Broken = (Ask, Option<usize>, f64);

/// Rounding of an excess, mm or degrees.
const ROUNDING: f64 = 1e-9;

/// A place near the present one, and what is not kept there.
struct Tried {
    distance: f64,
    place: Place,
    portal: Option<usize>,
    broken: Vec<Broken>,
}

/// Places near the present one, the nearest first, as far as anything was looked for.
pub struct Places(Vec<Tried>);

impl Look<'_> {
    fn anchor(&self) -> &AnchorSpec {
        &self.construct.anchors[self.k]
    }

    /// What a hole at a place does not keep.
    fn broken(&self, anchor: &AnchorSpec, site: &Site) -> Vec<Broken> {
        let beyond = |(ask, value, limit): (Ask, f64, f64)| {
            let by = ask.row().excess(value, limit);
            (by > 0.0).then_some((ask, by))
        };
        let anchors = self.construct.anchors.len();
        let alone = placed(self.case, anchor).chain(own(&self.construct.drill, self.bone, site));
        let mut all: Vec<Broken> = alone.filter_map(beyond).map(|(ask, by)| (ask, None, by)).collect();
        for (j, other) in self.sites.iter().enumerate().filter(|(j, _)| *j != self.k) {
            let pair = paired(self.case, self.construct, site, other, j < anchors);
            all.extend(pair.filter_map(beyond).map(|(ask, by)| (ask, Some(j), by)));
        }
        let led = (0..self.construct.limbs.len()).filter(|limb| leads_to(self.construct, *limb, self.k));
        let mut there = None;
        for limb in led {
            let there = there.get_or_insert_with(|| {
                let mut there = self.construct.clone();
                there.anchors[self.k] = anchor.clone();
                there
            });
            let most = Ask::Cartilage.backed(self.case, there).map_or(f64::INFINITY, |b| b.0);
            let by = cartilage(self.case, there, limb) - most;
            if by > 0.0 {
                all.push((Ask::Cartilage, Some(limb), by));
            }
        }
        all
    }

    /// What of this hole is not kept as it is.
    pub fn now(&self) -> Vec<Broken> {
        self.broken(self.anchor(), &self.sites[self.k])
    }

    /// Places near the present one at which nothing is farther beyond its limit than now, at a depth of the hole (mm),
    /// the nearest first.
    pub fn places(&self, plan: &DrillPlan, depth: f64) -> Places {
        let (f, now) = (&self.case.fragment, self.now());
        let anchor = AnchorSpec { depth, ..self.anchor().clone() };
        let count = plan.reach.map(|reach| (reach / plan.pitch).floor() as i32);
        let across = if matches!(anchor.place, Place::Rim { .. } | Place::Margin { .. }) { 0 } else { count[1] };
        let mut near = Vec::new();
        for (i, j) in (-count[0]..=count[0]).flat_map(|i| (-across..=across).map(move |j| (i, j))) {
            let place = shifted(&anchor.place, [i, j].map(|n| plan.pitch * f64::from(n)), f);
            let allowed = coordinates(&place, f).iter().all(|c| parameter(&c.key).is_none_or(|p| p.accepts(c.value)));
            let Some(point) = f.locate(&place).ok().filter(|_| allowed) else {
                continue;
            };
            // An anchor is set in the scapula.
            if f.depth_inside(&point) < 1e-6 {
                near.push(((point - anchor.point).norm(), place, point));
            }
        }
        near.sort_by(|a, b| a.0.total_cmp(&b.0));
        let tried = near.into_iter().filter_map(|(distance, place, point)| {
            let site = of_anchor(self.construct, self.bone, &anchor, &place, point);
            let broken = self.broken(&AnchorSpec { place, point, ..anchor.clone() }, &site);
            let as_now = |b: &Broken| now.iter().any(|n| (n.0, n.1) == (b.0, b.1) && b.2 <= n.2 + ROUNDING);
            let no_worse = broken.iter().all(as_now);
            no_worse.then_some(Tried { distance, place, portal: site.portal, broken })
        });
        Places(tried.collect())
    }

    /// The nearest of some places that mends what is not kept, and breaks nothing else.
    pub fn nearest(&self, places: &Places, asked: &Asked) -> Option<Nearest> {
        let other = asked.of.iter().copied().find(|j| *j != self.k);
        let mends = |t: &&Tried| match asked.ask {
            Ask::Cartilage => t.broken.iter().all(|b| b.0 != Ask::Cartilage),
            _ => t.broken.iter().all(|b| (b.0, b.1) != (asked.ask, other)),
        };
        places.0.iter().find(mends).map(|t| Nearest {
            hole: self.anchor().name.clone(),
            coordinates: coordinates(&t.place, &self.case.fragment),
            distance: t.distance,
        })
    }

    /// What would do in all: another place, or another direction where it is, as deep as it is or else as shallow as
    /// its class usually is.
    pub fn remedy(&self, places: &Places, plan: &DrillPlan) -> Remedy {
        let least = least_depth(self.anchor());
        let mut moved = self.other_place(places, self.anchor().depth);
        let mut turned = self.turned(plan, self.anchor().depth);
        if least < self.anchor().depth {
            moved = moved.or_else(|| self.other_place(&self.places(plan, least), least));
            turned = turned.or_else(|| self.turned(plan, least));
        }
        Remedy { moved, turned }
    }

    fn other_place(&self, places: &Places, depth: f64) -> Option<OtherPlace> {
        places.0.iter().find(|t| t.broken.is_empty()).map(|t| OtherPlace {
            coordinates: coordinates(&t.place, &self.case.fragment),
            distance: t.distance,
            portal: t.portal.map(|p| self.construct.portals[p].name.clone()),
            depth,
        })
    }

    fn turned(&self, plan: &DrillPlan, depth: f64) -> Option<OtherAxis> {
        let (anchor, site) = (self.anchor(), &self.sites[self.k]);
        let mut near: Vec<(f64, usize, Vec3)> = Vec::new();
        for portal in open(self.construct, anchor) {
            let (toward, half) = guide(&self.construct.portals[portal]);
            for axis in cone(&toward, half, plan.turn.to_radians()) {
                near.push((angle_between(&axis, &site.tunnel.axis), portal, axis));
            }
        }
        near.sort_by(|a, b| a.0.total_cmp(&b.0));
        near.into_iter().find_map(|(by, portal, axis)| {
            let mut turned = Site { portal: Some(portal), short: 0.0, ..site.clone() };
            for tunnel in [&mut turned.tunnel, &mut turned.in_scapula] {
                (tunnel.axis, tunnel.depth) = (axis, depth);
            }
            let square = turned.tunnel.through.map(|surface| self.bone.inward(surface, &anchor.point));
            turned.lean = square.map(|square| angle_between(&axis, &square));
            let name = self.construct.portals[portal].name.clone();
            let found = OtherAxis { by: by.to_degrees(), portal: name, axis: axis.into(), depth };
            self.broken(anchor, &turned).is_empty().then_some(found)
        })
    }
}

/// The least depth that is usual for a hole of its class, mm: its anchor has a length.
fn least_depth(anchor: &AnchorSpec) -> f64 {
    parameter(&format!("anchor-class.{}.depth", anchor.class)).map_or(anchor.depth, |p| p.low)
}

/// Directions of a cone: its axis, and rings about it so far apart as given, the last on its edge, rad.
fn cone(axis: &Vec3, half: f64, apart: f64) -> Vec<Vec3> {
    let (u, rings) = (any_perpendicular(axis), (half / apart).ceil() as usize);
    let v = axis.cross(&u);
    let mut all = vec![*axis];
    for ring in 1..=rings {
        let (sin, cos) = libm::sincos(half * ring as f64 / rings as f64);
        let count = ((TAU * sin / apart).ceil() as usize).max(6);
        all.extend((0..count).map(|k| {
            let (s, c) = libm::sincos(TAU * k as f64 / count as f64);
            axis * cos + (u * c + v * s) * sin
        }));
    }
    all
}

/// The coordinates of a place, with their keys in a file.
fn coordinates(place: &Place, on: &Fragment) -> Vec<Coordinate> {
    let at = |key: &str, value: f64, unit: &str| Coordinate { key: key.to_owned(), value, unit: unit.to_owned() };
    let mm = |key: &str, value: f64| at(key, value, "mm");
    match *place {
        Place::Face { along, inset } => vec![mm("along", along.on(on)), mm("inset", inset)],
        Place::Rim { along } | Place::Margin { along } => vec![mm("along", along.on(on))],
        Place::Wall { along, below } => vec![mm("along", along.on(on)), mm("below", below)],
        Place::Neck { along, beyond } => vec![mm("along", along.on(on)), mm("beyond", beyond)],
        Place::Crater { along, deep } => vec![mm("along", along.on(on)), mm("deep", deep)],
        Place::Clock { hours, inset } => vec![at("hours", hours, "h"), mm("inset", inset)],
        Place::Point(p) => ["x", "y", "z"].into_iter().zip(p).map(|(key, v)| mm(key, v)).collect(),
    }
}
