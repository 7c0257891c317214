//! What would do instead: the nearest place along an anchor's own coordinates, and the least turn of its hole.

use super::super::result::{Coordinate, OtherAxis, OtherPlace, Remedy};
use super::DrillPlan;
use super::ask::{Ask, cartilage, leads_to, own, paired, placed};
use super::site::{Site, guide, of_anchor, open};
use crate::anatomy::{Fragment, Place, Vault};
use crate::math::{Vec3, angle_between, any_perpendicular};
use crate::model::{AnchorSpec, Case, Construct, parameter, shifted};
use std::f64::consts::TAU;

/// Looks for what would do for an anchor while all others stay.
pub fn remedy(
    case: &Case,
    construct: &Construct,
    bone: &Vault<'_>,
    sites: &[Site],
    k: usize,
    plan: &DrillPlan,
) -> Remedy {
    let all = All { case, construct, bone, sites, k };
    Remedy { moved: all.moved(plan), turned: all.turned(plan) }
}

struct All<'a> {
    case: &'a Case,
    construct: &'a Construct,
    bone: &'a Vault<'a>,
    sites: &'a [Site],
    k: usize,
}

impl All<'_> {
    /// Whether a hole at a place keeps all that is asked of it.
    fn would_do(&self, anchor: &AnchorSpec, site: &Site) -> bool {
        let kept = |(ask, value, limit): (Ask, f64, f64)| ask.excess(value, limit) <= 0.0;
        let anchors = self.construct.anchors.len();
        let others = || self.sites.iter().enumerate().filter(|(j, _)| *j != self.k);
        let pair = |(j, other): (usize, &Site)| paired(self.case, self.construct, site, other, j < anchors).all(kept);
        placed(self.case, anchor, &anchor.point).all(kept)
            && others().all(pair)
            && own(&self.construct.drill, self.bone, site).all(kept)
            && self.strands_keep(anchor)
    }

    fn strands_keep(&self, anchor: &AnchorSpec) -> bool {
        let mut construct = self.construct.clone();
        construct.anchors[self.k] = anchor.clone();
        let most = Ask::Cartilage.backed(self.case, &construct).map_or(f64::INFINITY, |b| b.0);
        let led = (0..construct.limbs.len()).filter(|limb| leads_to(&construct, *limb, self.k));
        led.into_iter().all(|limb| cartilage(self.case, &construct, limb) <= most)
    }

    fn moved(&self, plan: &DrillPlan) -> Option<OtherPlace> {
        let (f, anchor) = (&self.case.fragment, &self.construct.anchors[self.k]);
        let count = plan.reach.map(|reach| (reach / plan.pitch).floor() as i32);
        let across = if matches!(anchor.place, Place::Rim { .. } | Place::Margin { .. }) { 0 } else { count[1] };
        let mut near: Vec<(f64, Place, Vec3)> = Vec::new();
        for i in -count[0]..=count[0] {
            for j in -across..=across {
                let place = shifted(&anchor.place, [i, j].map(|n| plan.pitch * f64::from(n)), f);
                let allowed =
                    coordinates(&place, f).iter().all(|c| parameter(&c.key).is_none_or(|p| p.accepts(c.value)));
                let Some(point) = f.locate(&place).ok().filter(|_| allowed && (i, j) != (0, 0)) else {
                    continue;
                };
                // An anchor is set in the scapula.
                if f.depth_inside(&point) < 1e-6 && !matches!(place, Place::Point(_)) {
                    near.push(((point - anchor.point).norm(), place, point));
                }
            }
        }
        near.sort_by(|a, b| a.0.total_cmp(&b.0));
        near.into_iter().find_map(|(distance, place, point)| {
            let site = of_anchor(self.construct, self.bone, anchor, &place, point);
            let there = AnchorSpec { place, point, ..anchor.clone() };
            self.would_do(&there, &site).then(|| OtherPlace {
                coordinates: coordinates(&place, f),
                distance,
                portal: site.portal.map(|p| self.construct.portals[p].name.clone()),
            })
        })
    }

    fn turned(&self, plan: &DrillPlan) -> Option<OtherAxis> {
        let (anchor, site) = (&self.construct.anchors[self.k], &self.sites[self.k]);
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
            turned.tunnel.axis = axis;
            turned.in_scapula.axis = axis;
            let square = turned.tunnel.through.map(|surface| self.bone.inward(surface, &anchor.point));
            turned.lean = square.map(|square| angle_between(&axis, &square));
            let name = &self.construct.portals[portal].name;
            let found = OtherAxis { by: by.to_degrees(), portal: name.clone(), axis: axis.into() };
            self.would_do(anchor, &turned).then_some(found)
        })
    }
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
