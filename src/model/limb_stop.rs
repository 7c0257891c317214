//! Reads one stop of a limb's path.

use super::Edge;
use super::document::{Entry, Node, Value};
use super::parameters::row;
use super::path::{KINDS, TAUT};
use super::places::{At, place, read_along};
use super::problems::{Problem, Span};
use super::reader::{Log, Section};
use super::value::wrong_type;
use super::words::{is_word, listed, nearest, quoted, suggest};
use crate::anatomy::{Along, Place};

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
        stiffness: Option<f64>,
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
            log.wrong(
                node.span.clone(),
                format!("`{at}` does not say where it turns round the margin"),
                "no `along`",
                "write { margin = { along = \"-20 %\" } }",
            );
            return None;
        }
        Value::Text(_) => {
            stop.kind = RawKind::Anchor(anchor(node, at, anchors, log)?);
            return Some(stop);
        }
        Value::Table(_) => {}
        _ => {
            wrong_type(node, at, "an anchor's name, \"rim\" or a table", log);
            return None;
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
        log.wrong(span, what, "not a stop", hint);
        return None;
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
            let stiffness = b.number_if("stiffness", row("bite.stiffness"), log);
            nested = (b.number_if("friction", friction_row, log), b.flag("locked", log));
            b.done(log);
            along.map(|along| RawKind::Bite { along, below, stiffness })
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
    let Value::Text(name) = &node.value else {
        wrong_type(node, at, "an anchor's name", log);
        return None;
    };
    let found = anchors.iter().position(|a| a == name.trim());
    if found.is_none() {
        let known = || anchors.iter().map(String::as_str);
        let hint = match nearest(name, known().chain(["rim"])) {
            Some(near) => format!("did you mean `{near}`?"),
            None => format!("anchors here: {}; or \"rim\"", listed(known())),
        };
        log.push(unknown_anchor(node, at, name, hint));
    }
    found
}

/// An anchor's name that is none of the file's.
pub(super) fn unknown_anchor(node: &Node, at: &str, name: &str, hint: String) -> Problem {
    Problem::at(
        node.span.clone(),
        format!("`{at}` names the anchor `{}`, which is not defined", quoted(name)),
        "unknown anchor",
    )
    .hint(hint)
}
