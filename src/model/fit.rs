//! Puts a construct on a case: places become points on its bone, classes become values.

use super::construct_file::{ConstructFile, default_fixing};
use super::path::{BITE, RawKind, RawStop};
use super::path::{RawLimb, coincide};
use super::places::{At, Bone, locate};
use super::problems::Problems;
use super::reader::Log;
use super::settings::Reach;
use super::spread::shifted;
use super::{AnchorSpec, BiteSpec, Case, Construct, Edge, LimbSpec, Stop, StopRule, TieSpec, look};
use crate::anatomy::{Place, Vault};
use crate::math::{Vec3, angle_between};

/// Points nearer than this (mm) are one point: below any surgical precision, and a segment that
/// short has no direction worth the name.
const COINCIDENT: f64 = 0.01;

impl ConstructFile {
    /// The construct on a case.
    ///
    /// # Errors
    /// Every place that is off this case's bone, every unknown class, and stops that coincide on
    /// this case, pointing into the construct file.
    pub fn fit(&self, case: &Case) -> Result<Construct, Problems> {
        let mut construct = self.fit_unwarned(case)?;
        construct.warnings = look::warnings(&construct, case);
        Ok(construct)
    }

    /// [`ConstructFile::fit`] without its warnings, which take longer than all the rest.
    pub(crate) fn fit_unwarned(&self, case: &Case) -> Result<Construct, Problems> {
        let mut log = Log { taken: self.taken.clone(), ..Log::default() };
        let reach = Reach { construct: &self.settings, case: &case.settings };
        let anchors: Vec<Option<AnchorSpec>> = self
            .anchors
            .iter()
            .map(|a| {
                let path = format!("anchor.{}", a.name);
                let at = format!("{path}.at");
                let place = At { span: a.place.span.clone(), value: shifted(&a.place.value, a.error, &case.fragment) };
                let point = locate(&case.fragment, &place, &at, Bone::Scapula, &mut log);
                let own = (a.stiffness, a.holding);
                let (stiffness, holding) = reach.anchor(&a.class, &format!("{path}.class"), own, &mut log)?;
                let [diameter, depth] = reach.hole(&a.class.value, a.hole);
                if let Some(portal) = &a.portal {
                    reach.knows_portal(portal, &format!("{path}.portal"), &mut log);
                }
                if let (Some(axis), Some(point)) = (&a.axis, &point) {
                    into_bone(case, &place.value, point, axis, &a.name, &mut log);
                }
                Some(AnchorSpec {
                    name: a.name.clone(),
                    class: a.class.value.clone(),
                    place: place.value,
                    point: point?,
                    stiffness,
                    holding,
                    set: reach.anchor_set(&a.class.value, &mut log),
                    diameter,
                    depth,
                    axis: a.axis.as_ref().map(|axis| axis.value.normalize()),
                    portal: a.portal.as_ref().map(|portal| portal.value.clone()),
                })
            })
            .collect();
        let points: Vec<Option<Vec3>> = anchors.iter().map(|a| a.as_ref().map(|a| a.point)).collect();
        let limbs: Vec<Option<LimbSpec>> =
            self.limbs.iter().map(|limb| fit_limb(limb, case, &points, &reach, &mut log)).collect();
        let screws: Vec<_> = self.screws.iter().map(|s| s.fit(case, &mut log)).collect();
        let ties = self.ties(&mut log);
        let (anchors, limbs): (Option<Vec<_>>, Option<Vec<_>>) =
            (anchors.into_iter().collect(), limbs.into_iter().collect());
        let screws: Option<Vec<_>> = screws.into_iter().collect();
        let (Some(anchors), Some(limbs), Some(screws), true) = (anchors, limbs, screws, log.problems.is_empty()) else {
            return Err(Problems::new(self.source.clone(), log.problems));
        };
        Ok(Construct {
            name: self.name.clone(),
            description: self.description.clone(),
            anchors,
            limbs,
            screws,
            ties,
            portals: reach.portals(),
            drill: reach.drill(),
            defaults: log.taken,
            warnings: Vec::new(),
        })
    }

    /// The ties with their stop rules: a tie of labral loops alone ends when the fragment is
    /// reduced, any other at its tension.
    fn ties(&self, log: &mut Log) -> Vec<TieSpec> {
        self.ties
            .iter()
            .map(|tie| {
                let reduces = tie.screws.is_empty()
                    && tie.limbs.iter().all(|&k| self.limbs[k].is_loop() && self.limbs[k].has_bite());
                let stop = tie.stop.unwrap_or_else(|| {
                    log.practice("tying.*.stop", "labral loops when reduced, all else at tension");
                    if reduces { StopRule::Reduced } else { StopRule::Tension }
                });
                TieSpec { limbs: tie.limbs.clone(), screws: tie.screws.clone(), stop, held: tie.held }
            })
            .collect()
    }
}

/// A hole goes into the bone on whose surface it begins.
fn into_bone(case: &Case, place: &Place, point: &Vec3, axis: &At<Vec3>, name: &str, log: &mut Log) {
    let bone = Vault::of(&case.fragment);
    let Some(surface) = bone.through(place, point) else {
        return;
    };
    let off = angle_between(&axis.value, &bone.inward(surface, point)).to_degrees();
    if off >= 90.0 {
        log.wrong(
            axis.span.clone(),
            format!("the hole of the anchor `{name}` does not go into the bone"),
            format!("{off:.0}° off square; allowed: under 90°"),
            "`axis` points from the surface of the bone into it: x anterior, y superior, z lateral",
        );
    }
}

fn fit_limb(
    limb: &RawLimb,
    case: &Case,
    anchors: &[Option<Vec3>],
    reach: &Reach<'_>,
    log: &mut Log,
) -> Option<LimbSpec> {
    let knotted = limb.is_loop() || limb.closed;
    let fixing = limb.fixing.unwrap_or_else(|| {
        log.practice("limb.*.fixing", "loops and closed strands knotted, bridges knotless");
        default_fixing(knotted)
    });
    let kind = fixing.table();
    let mut or = |own: Option<f64>, key: &str| own.unwrap_or_else(|| reach.number(&format!("{kind}.{key}"), log));
    let tension = or(limb.tension, "tension");
    let knot_slack = or(limb.knot_slack, "slack");
    let knot_limit = or(limb.knot_limit, "limit");
    let strand = reach.strand(&limb.strand, &format!("limb.{}.strand", limb.name), log);
    let last = limb.path.len() - 1;
    let fitted = |(k, stop)| fit_stop(stop, !limb.closed && (k == 0 || k == last), case, reach, log);
    let path: Vec<Option<Stop>> = limb.path.iter().enumerate().map(fitted).collect();
    let anchor = |k: usize| anchors.get(k).copied().flatten();
    let points: Vec<Option<Vec3>> = path.iter().map(|stop| stop.as_ref()?.point(anchor)).collect();
    let before = log.problems.len();
    check_lengths(limb, &points, log);
    let path = path.into_iter().collect::<Option<Vec<Stop>>>()?;
    if log.problems.len() > before {
        return None;
    }
    let group = limb.group.clone().unwrap_or_else(|| if limb.is_loop() { "loop" } else { "bridge" }.into());
    Some(LimbSpec {
        name: limb.name.clone(),
        group,
        path,
        closed: limb.closed,
        strand: strand?,
        tension,
        fixing,
        knot_slack,
        knot_limit,
    })
}

/// A stop on the case.
fn fit_stop(stop: &RawStop, end: bool, case: &Case, reach: &Reach<'_>, log: &mut Log) -> Option<Stop> {
    let friction = |path: &str, log: &mut Log| stop.friction.unwrap_or_else(|| reach.number(path, log));
    let locked = stop.locked;
    Some(match &stop.kind {
        RawKind::Anchor(index) => {
            let friction = if end {
                stop.friction.unwrap_or_else(|| reach.quiet("friction.eyelet"))
            } else {
                friction("friction.eyelet", log)
            };
            Stop::Anchor { index: *index, friction, locked }
        }
        RawKind::Taut => {
            Stop::Crossing { edge: Edge::Rim, point: None, friction: friction("friction.rim", log), locked }
        }
        RawKind::Crossing(edge, place) => {
            let key = match edge {
                Edge::Rim => "friction.rim",
                Edge::Margin | Edge::Bone => "friction.bone",
            };
            let friction = friction(key, log);
            let point = locate(&case.fragment, place, &stop.path, Bone::Fragment, log)?;
            Stop::Crossing { edge: *edge, point: Some(point), friction, locked }
        }
        RawKind::Bite { along, below, own } => {
            let friction = friction("friction.labrum", log);
            let below = below.unwrap_or_else(|| reach.number("bite.below", log));
            let mut number = |k: usize| own[k].unwrap_or_else(|| reach.number(BITE[k], log));
            let [stiffness, stiffening, strength, cut_out] = [0, 1, 2, 3].map(&mut number);
            let place = At { span: stop.span.clone(), value: Place::Wall { along: *along, below } };
            let point = locate(&case.fragment, &place, &stop.path, Bone::Fragment, log)?;
            let bite = BiteSpec { stiffness, stiffening, strength, cut_out };
            Stop::Bite { point, bite, friction, locked }
        }
    })
}

/// A limb must have a length, and so must each of its segments between known points.
fn check_lengths(limb: &RawLimb, points: &[Option<Vec3>], log: &mut Log) {
    let near = |a: &Vec3, b: &Vec3| (a - b).norm() < COINCIDENT;
    let known: Vec<&Vec3> = points.iter().flatten().collect();
    if known.len() == points.len() && known.iter().all(|p| near(p, known[0])) {
        log.wrong(
            limb.span.clone(),
            format!("the limb `{}` has no length: all its points coincide", limb.name),
            "zero length on this case",
            "move its anchor or its turning points apart",
        );
        return;
    }
    let last = points.len() - 1;
    for k in 0..if limb.closed { points.len() } else { last } {
        let next = if k == last { 0 } else { k + 1 };
        if let (Some(a), Some(b)) = (&points[k], &points[next])
            && near(a, b)
        {
            coincide(&limb.name, &limb.path[next].span, log);
        }
    }
}
