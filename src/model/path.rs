//! Reads a limb and its path, stop by stop.

use super::construct_file::{class_of, default_fixing};
use super::document::{Entry, Node, Value};
use super::parameters::row;
use super::places::{At, place, read_along};
use super::problems::Span;
use super::reader::{Log, Section, is_word, list, listed, meant, mistyped, quoted, suggest, text};
use super::{Edge, Fixing};
use crate::anatomy::{Along, Place};

/// Most stops of a limb.
pub(super) const MOST_STOPS: usize = 12;
/// What a stop can be, in the words of a file.
pub(super) const KINDS: [&str; 6] = ["rim", "margin", "bite", "over", "eyelet", "anchor"];

/// How a limb is finished, in words.
pub(super) const FIXINGS: [(&str, Fixing); 2] = [("knot", Fixing::Knot), ("knotless", Fixing::Knotless)];
/// A crossing of the rim wherever the limb is shortest.
pub(super) const TAUT: &str = "taut";

/// A limb as it was written.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct RawLimb {
    pub name: String,
    pub span: Span,
    pub path: Vec<RawStop>,
    pub closed: bool,
    pub strand: At<String>,
    pub tension: Option<f64>,
    pub fixing: Option<Fixing>,
    pub knot_slack: Option<f64>,
    pub knot_limit: Option<f64>,
    pub group: Option<String>,
}

impl RawLimb {
    /// Whether both ends are on one anchor.
    pub fn is_loop(&self) -> bool {
        !self.closed && ends_meet(&self.path)
    }

    /// Where it crosses rim or margin at a place that is given, the free end first.
    pub fn crossings(&mut self) -> impl Iterator<Item = &mut Place> {
        self.path.iter_mut().filter_map(|stop| match &mut stop.kind {
            RawKind::Crossing(Edge::Rim | Edge::Margin, place) => Some(&mut place.value),
            _ => None,
        })
    }

    /// Whether it takes a bite.
    pub fn has_bite(&self) -> bool {
        self.path.iter().any(|s| matches!(s.kind, RawKind::Bite { .. }))
    }
}

/// Reads `[limb.NAME]`; `None` when its path cannot be followed.
pub(super) fn read_limb(
    name: String,
    span: Span,
    mut s: Section<'_>,
    anchors: &[String],
    log: &mut Log,
) -> Option<RawLimb> {
    let closed = s.flag("closed", log).unwrap_or(false);
    let friction = s.number_if("friction", row("friction.rim"), log);
    let path = read_path(&mut s, &name, closed, friction, anchors, log);
    let strand = if s.get("strand").is_some() {
        class_of(&mut s, "strand", "cord", "", log)
    } else {
        log.practice("limb.*.strand", "cord");
        At { span: s.span.clone(), value: "cord".into() }
    };
    let fixing = s.word("fixing", &FIXINGS, log);
    // Only the words of a hint depend on this: the ranges of knot and clamp are the same.
    let knotted = closed || path.as_ref().is_some_and(|p| ends_meet(p));
    let kind = fixing.unwrap_or(default_fixing(knotted)).table();
    let tension = s.number_if("tension", row(&format!("{kind}.tension")), log);
    let knot_slack = s.number_if("knot_slack", row(&format!("{kind}.slack")), log);
    let knot_limit = s.number_if("knot_limit", row(&format!("{kind}.limit")), log);
    let group = s.text("group", 40, log);
    s.done(log);
    Some(RawLimb { name, span, path: path?, closed, strand, tension, fixing, knot_slack, knot_limit, group })
}

/// Whether a path starts and ends on one anchor.
fn ends_meet(path: &[RawStop]) -> bool {
    matches!(
        (path.first().map(|s| &s.kind), path.last().map(|s| &s.kind)),
        (Some(RawKind::Anchor(a)), Some(RawKind::Anchor(b))) if a == b
    )
}

fn read_path(
    s: &mut Section<'_>,
    name: &str,
    closed: bool,
    friction: Option<f64>,
    anchors: &[String],
    log: &mut Log,
) -> Option<Vec<RawStop>> {
    let at = s.at("path");
    let stops = "the stops from end to end, the tie end last, e.g. [\"medial\", \"rim\", \"lateral\"]";
    let node = s.required("path", stops, log, |node, _, _| Some(node))?;
    let nodes = list(node, &at, "a list of stops", log)?;
    let span = node.span.clone();
    if nodes.len() < 2 || nodes.len() > MOST_STOPS {
        return log.refuse(
            span,
            format!("`{at}` has {} stop{}", nodes.len(), if nodes.len() == 1 { "" } else { "s" }),
            format!("allowed: 2 to {MOST_STOPS} stops"),
            "from anchor to anchor over at least one turning point on the fragment",
        );
    }
    let read: Vec<Option<RawStop>> = nodes
        .iter()
        .enumerate()
        .map(|(k, node)| read_stop(node, &format!("{at}[{}]", k + 1), friction, anchors, log))
        .collect();
    let path: Vec<RawStop> = read.into_iter().collect::<Option<_>>()?;
    check_path(&path, name, &span, closed, log).then_some(path)
}

/// What can be said of a path without knowing the bone.
fn check_path(path: &[RawStop], name: &str, span: &Span, closed: bool, log: &mut Log) -> bool {
    let before = log.problems.len();
    let anchor = |s: &RawStop| match s.kind {
        RawKind::Anchor(k) => Some(k),
        _ => None,
    };
    if !closed {
        for stop in [&path[0], &path[path.len() - 1]] {
            if anchor(stop).is_none() {
                log.wrong(
                    stop.span.clone(),
                    format!("the limb `{name}` ends on the fragment"),
                    "an end has to be an anchor",
                    "start and end the path with an anchor's name, or set closed = true",
                );
            }
        }
    }
    let first = anchor(&path[0]);
    if first.is_some() && path.iter().all(|s| anchor(s) == first) {
        log.wrong(
            span.clone(),
            format!("the limb `{name}` has no length: all its points coincide"),
            "one anchor only",
            "lead it over the rim, round the margin or through a bite",
        );
        return false;
    }
    if path.iter().all(|s| anchor(s).is_some()) {
        log.wrong(
            span.clone(),
            format!("the limb `{name}` has no turning point on the fragment"),
            "it never touches the fragment",
            "add \"rim\", { margin = … }, { bite = … } or { over = … } between its anchors",
        );
    }
    let last = path.len() - 1;
    for k in 0..if closed { path.len() } else { last } {
        let (a, b) = (&path[k], &path[if k == last { 0 } else { k + 1 }]);
        let same = match (&a.kind, &b.kind) {
            (RawKind::Anchor(i), RawKind::Anchor(j)) => i == j,
            (RawKind::Taut, RawKind::Taut) => true,
            _ => false,
        };
        if same {
            coincide(name, &b.span, log);
        }
    }
    log.problems.len() == before
}

/// Two stops in a row at one point.
pub(super) fn coincide(name: &str, span: &Span, log: &mut Log) {
    log.wrong(
        span.clone(),
        format!("two consecutive stops of the limb `{name}` coincide"),
        "at the same point as its neighbour",
        "leave one out, or move it",
    );
}

// Reads one stop of a limb's path.

/// A stop as it was written.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct RawStop {
    pub span: Span,
    /// Dotted path for messages.
    pub path: String,
    pub kind: RawKind,
    pub friction: Option<f64>,
    pub locked: bool,
}

/// What the tissue of a bite bears, in the order of [`BiteSpec`](super::BiteSpec).
pub(super) const BITE: [&str; 4] = ["bite.stiffness", "bite.stiffening", "bite.strength", "bite.cut_out"];

/// What a stop is.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum RawKind {
    Anchor(usize),
    /// Over the rim, where the limb is shortest.
    Taut,
    Crossing(Edge, At<Place>),
    Bite {
        along: Along,
        below: Option<f64>,
        own: [Option<f64>; BITE.len()],
    },
}

pub(super) fn read_stop(
    node: &Node,
    at: &str,
    friction: Option<f64>,
    anchors: &[String],
    log: &mut Log,
) -> Option<RawStop> {
    let mut stop = RawStop { span: node.span.clone(), path: at.into(), kind: RawKind::Taut, friction, locked: false };
    match &node.value {
        Value::Text(word) if is_word(word, "rim") => return Some(stop),
        Value::Text(word) if is_word(word, "margin") => {
            return log.refuse(
                node.span.clone(),
                format!("`{at}` does not say where it turns round the margin"),
                "no `along`",
                "write { margin = { along = \"-20 %\" } }",
            );
        }
        Value::Text(_) => {
            stop.kind = RawKind::Anchor(anchor(node, at, anchors, log)?);
            return Some(stop);
        }
        Value::Table(_) => {}
        _ => {
            return mistyped(node, at, "an anchor's name, \"rim\" or a table", log);
        }
    }
    let mut s = Section::of(node, at, log)?;
    let kinds: Vec<&Entry> = s.entries().iter().filter(|e| KINDS.contains(&e.key.as_str())).collect();
    let friction_row = row("friction.rim");
    let own = s.number_if("friction", friction_row, log);
    let locked = s.flag("locked", log);
    let [entry] = kinds.as_slice() else {
        let strange = s.entries().iter().find(|e| !["friction", "locked"].contains(&e.key.as_str()));
        let (what, hint) = match (kinds.len(), strange) {
            (0, Some(e)) => (format!("unknown stop `{}`", quoted(&e.key)), suggest(&e.key, &KINDS)),
            _ => (format!("`{at}` is {} stops, not one", kinds.len()), format!("one of {}", listed(KINDS))),
        };
        let span = match (kinds.len(), strange) {
            (0, Some(e)) => e.key_span.clone(),
            _ => node.span.clone(),
        };
        return log.refuse(span, what, "not a stop", hint);
    };
    let inner = format!("{at}.{}", entry.key);
    let mut nested = (None, None);
    let kind = match entry.key.as_str() {
        "eyelet" | "anchor" => {
            s.get(if entry.key == "eyelet" { "eyelet" } else { "anchor" });
            anchor(&entry.node, &inner, anchors, log).map(RawKind::Anchor)
        }
        "over" => {
            s.get("over");
            place(&entry.node, &inner, log).map(|p| RawKind::Crossing(Edge::Bone, p))
        }
        "rim" if matches!(&entry.node.value, Value::Text(w) if is_word(w, TAUT)) => {
            s.get("rim");
            Some(RawKind::Taut)
        }
        "bite" => {
            s.get("bite");
            let mut b = Section::of(&entry.node, &inner, log)?;
            let along = read_along(&mut b, log);
            let below = b.number_if("below", row("bite.below"), log);
            let own = BITE.map(|path| b.number_if(row(path).key(), row(path), log));
            nested = (b.number_if("friction", friction_row, log), b.flag("locked", log));
            b.done(log);
            along.map(|along| RawKind::Bite { along, below, own })
        }
        key => {
            let rim = key == "rim";
            s.get(if rim { "rim" } else { "margin" });
            let mut c = Section::of(&entry.node, &inner, log)?;
            let along = read_along(&mut c, log);
            nested = (c.number_if("friction", friction_row, log), c.flag("locked", log));
            c.done(log);
            along.map(|along| {
                let (edge, value) =
                    if rim { (Edge::Rim, Place::Rim { along }) } else { (Edge::Margin, Place::Margin { along }) };
                RawKind::Crossing(edge, At { span: entry.node.span.clone(), value })
            })
        }
    };
    s.done(log);
    stop.friction = nested.0.or(own).or(friction);
    stop.locked = nested.1.or(locked).unwrap_or(false);
    stop.kind = kind?;
    Some(stop)
}

fn anchor(node: &Node, at: &str, anchors: &[String], log: &mut Log) -> Option<usize> {
    let name = text(node, at, "an anchor's name", log)?;
    let found = anchors.iter().position(|a| a == name.trim());
    if found.is_none() {
        let known = || anchors.iter().map(String::as_str);
        let all = || format!("anchors here: {}; or \"rim\"", listed(known()));
        unknown_anchor(node, at, name, meant(name, known().chain(["rim"])).unwrap_or_else(all), log);
    }
    found
}

/// An anchor's name that is none of the file's.
pub(super) fn unknown_anchor(node: &Node, at: &str, name: &str, hint: String, log: &mut Log) {
    let what = format!("`{at}` names the anchor `{}`, which is not defined", quoted(name));
    log.wrong(node.span.clone(), what, "unknown anchor", hint);
}
