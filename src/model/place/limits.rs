//! What an answer must keep: limits, and cones in which instruments reach the bone.

use super::super::document::Value;
use super::super::parameters::row;
use super::super::path::unknown_anchor;
use super::super::places::triple;
use super::super::problems::Span;
use super::super::reader::wrong_type;
use super::super::reader::{Log, Section};
use super::super::words::nearest;

/// Most cones of reach.
pub(in super::super) const MOST_CONES: usize = 12;

/// Limits of a search; what is absent is the case's, or the program's own.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Limits {
    /// Least distance of two anchors of which one is free, mm.
    pub spacing: Option<f64>,
    /// Least distance of a free face anchor from the rim edge, mm.
    pub rim_distance: Option<f64>,
    /// Most intact cartilage that one limb may cross, mm.
    pub cartilage: Option<f64>,
    /// Largest pressure of the bed, MPa.
    pub peak_pressure: Option<f64>,
    /// Share of a knot's, strand's or anchor's limit that may be used.
    pub used: Option<f64>,
}

/// A cone of reach: an instrument through a portal meets the bone at an anchor within so much of
/// square to its surface.
#[derive(Debug, Clone, PartialEq)]
pub struct Cone {
    /// Name.
    pub name: String,
    /// The portal's point, mm in the socket frame.
    pub portal: [f64; 3],
    /// Largest angle between the line from the portal to the anchor and the inward normal of the
    /// bone there, degrees.
    pub half_angle: f64,
    /// Names of the anchors set through it; all free ones when absent.
    pub anchors: Option<Vec<String>>,
    /// Where it stands.
    pub span: Span,
}

/// Reads `limits = { … }`.
pub(super) fn read_limits(place: &mut Section<'_>, log: &mut Log) -> Limits {
    let mut s = place.table("limits", log);
    let mut get = |key: &'static str| s.number_if(key, row(&format!("place.limits.{key}")), log);
    let limits = Limits {
        spacing: get("spacing"),
        rim_distance: get("rim_distance"),
        cartilage: get("cartilage"),
        peak_pressure: get("peak_pressure"),
        used: get("used"),
    };
    s.done(log);
    limits
}

/// Reads `[place.reach.NAME]`.
pub(super) fn read_cones(place: &mut Section<'_>, anchors: &[String], log: &mut Log) -> Vec<Cone> {
    let mut cones = Vec::new();
    for (name, span, mut s) in place.named("reach", MOST_CONES, log) {
        let at = s.at("portal");
        let portal = match s.get("portal") {
            Some(e) => triple(&e.node, &at, row("point"), log),
            None => {
                s.missing("portal", "the portal's point [x, y, z] in mm", log);
                None
            }
        };
        let half_angle = row("place.reach.*.half_angle");
        let angle = s.number_as("half_angle", half_angle, log);
        let own = names(&mut s, anchors, log);
        s.done(log);
        if let Some(portal) = portal {
            cones.push(Cone { name, portal, half_angle: angle, anchors: own, span });
        }
    }
    cones
}

fn names(s: &mut Section<'_>, anchors: &[String], log: &mut Log) -> Option<Vec<String>> {
    let at = s.at("anchors");
    let entry = s.get("anchors")?;
    let Value::List(nodes) = &entry.node.value else {
        wrong_type(&entry.node, &at, "a list of anchors' names", log);
        return None;
    };
    if nodes.is_empty() {
        log.wrong(
            entry.node.span.clone(),
            format!("`{at}` names no anchor"),
            "empty",
            "leave it out for all free anchors",
        );
    }
    let mut list = Vec::new();
    for node in nodes {
        let Value::Text(name) = &node.value else {
            wrong_type(node, &at, "an anchor's name", log);
            continue;
        };
        if anchors.iter().any(|a| a == name.trim()) {
            list.push(name.trim().to_owned());
            continue;
        }
        let hint = match nearest(name, anchors.iter().map(String::as_str)) {
            Some(near) => format!("did you mean `{near}`?"),
            None => "name an anchor of this file".to_owned(),
        };
        log.push(unknown_anchor(node, &at, name, hint));
    }
    Some(list)
}
