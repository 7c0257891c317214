//! Reads the `[place]` table.

use super::super::document::Node;
use super::super::parameters::row;
use super::super::path::unknown_anchor;
use super::super::places::{length_or_percent, triple};
use super::super::problems::Span;
use super::super::reader::{Log, Section, list, meant, text};
use crate::anatomy::Along;

/// Most lines of free variables.
pub(in super::super) const MOST_FREE: usize = 48;
/// Longest path.
pub(in super::super) const LONGEST_PATH: usize = 120;

/// One line of free variables.
#[derive(Debug, Clone, PartialEq)]
pub struct FreeLine {
    /// Dotted path, with `*` for any name.
    pub path: String,
    /// Low end of its range; its usual one when absent.
    pub low: Option<Along>,
    /// High end.
    pub high: Option<Along>,
    /// Where the line stands.
    pub span: Span,
}

/// A `[place]` table.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct PlaceTable {
    /// Free variables; the usual ones when absent.
    pub free: Option<Vec<FreeLine>>,
    /// Limits.
    pub limits: Limits,
    /// Cones of reach.
    pub reach: Vec<Cone>,
    /// Whether an answer must keep what drilling asks of its free anchors.
    pub drill: bool,
}

/// The `place` table of a construct, if it has one.
pub(in super::super) fn read_place(root: &mut Section<'_>, anchors: &[String], log: &mut Log) -> Option<PlaceTable> {
    let entry = root.get("place")?;
    let mut s = Section::of(&entry.node, "place", log)?;
    let free = s.get("free").and_then(|e| read_free(&e.node, log));
    let limits = read_limits(&mut s, log);
    let reach = read_cones(&mut s, anchors, log);
    let drill = s.flag("drill", log).unwrap_or(false);
    s.done(log);
    Some(PlaceTable { free, limits, reach, drill })
}

fn read_free(node: &Node, log: &mut Log) -> Option<Vec<FreeLine>> {
    let nodes = list(node, "place.free", "a list of { path = \"…\", low = …, high = … }", log)?;
    if nodes.is_empty() || nodes.len() > MOST_FREE {
        return log.refuse(
            node.span.clone(),
            format!("`place.free` has {} lines", nodes.len()),
            format!("allowed: 1 to {MOST_FREE}"),
            "with no free variable there is nothing to search; leave `free` out for the usual ones",
        );
    }
    let mut lines = Vec::new();
    for (k, node) in nodes.iter().enumerate() {
        lines.extend(read_line(node, &format!("place.free[{}]", k + 1), log));
    }
    Some(lines)
}

fn read_line(node: &Node, at: &str, log: &mut Log) -> Option<FreeLine> {
    let mut s = Section::of(node, at, log)?;
    let path = s.text("path", LONGEST_PATH, log);
    if s.get("path").is_none() {
        s.missing("path", "a dotted path like anchor.NAME.along", log);
    }
    let rows = (row("place.bound"), row("place.bound[percent]"));
    let mut end = |key: &'static str| {
        let path = s.at(key);
        let entry = s.get(key)?;
        length_or_percent(&entry.node, &path, rows, log)
    };
    let (low, high) = (end("low"), end("high"));
    s.done(log);
    if let (Some(Along::Mm(a)), Some(Along::Mm(b))) | (Some(Along::Percent(a)), Some(Along::Percent(b))) = (low, high)
        && a >= b
    {
        log.wrong(
            node.span.clone(),
            format!("`{at}` runs from {a} to {b}, which leaves nothing"),
            "low must be below high",
            "give a range in which to search, or leave the line out",
        );
    }
    Some(FreeLine { path: path?, low, high, span: node.span.clone() })
}

// What an answer must keep: limits, and cones in which instruments reach the bone.

/// Most cones of reach.
pub(in super::super) const MOST_CONES: usize = 12;

/// Limits of a search; what is absent is the case's, or the program's own.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Limits {
    /// Least distance of two anchors of which one is free, mm.
    pub spacing: Option<f64>,
    /// Least distance of a free face anchor from the rim edge, mm.
    pub rim_distance: Option<f64>,
    /// Least distance of a free face anchor from the fracture edge, mm.
    pub fracture_distance: Option<f64>,
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
}

/// Reads `limits = { … }`.
pub(super) fn read_limits(place: &mut Section<'_>, log: &mut Log) -> Limits {
    let mut s = place.table("limits", log);
    let mut get = |key: &'static str| s.number_if(key, row(&format!("place.limits.{key}")), log);
    let limits = Limits {
        spacing: get("spacing"),
        rim_distance: get("rim_distance"),
        fracture_distance: get("fracture_distance"),
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
    for (name, _, mut s) in place.named("reach", MOST_CONES, log) {
        let portal = s.required("portal", "the portal's point [x, y, z] in mm", log, |node, path, log| {
            triple(node, path, row("point"), log)
        });
        let half_angle = row("place.reach.*.half_angle");
        let angle = s.number_as("half_angle", half_angle, log);
        let own = names(&mut s, anchors, log);
        s.done(log);
        if let Some(portal) = portal {
            cones.push(Cone { name, portal, half_angle: angle, anchors: own });
        }
    }
    cones
}

fn names(s: &mut Section<'_>, anchors: &[String], log: &mut Log) -> Option<Vec<String>> {
    let at = s.at("anchors");
    let entry = s.get("anchors")?;
    let nodes = list(&entry.node, &at, "a list of anchors' names", log)?;
    if nodes.is_empty() {
        log.wrong(
            entry.node.span.clone(),
            format!("`{at}` names no anchor"),
            "empty",
            "leave it out for all free anchors",
        );
    }
    let mut found = Vec::new();
    for node in nodes {
        let Some(name) = text(node, &at, "an anchor's name", log) else {
            continue;
        };
        let names = || anchors.iter().map(String::as_str);
        if names().any(|a| a == name.trim()) {
            found.push(name.trim().to_owned());
            continue;
        }
        unknown_anchor(node, &at, name, meant(name, names()).unwrap_or("name an anchor of this file".to_owned()), log);
    }
    Some(found)
}
