//! Reads the `[place]` table.

use super::super::document::{Node, Value};
use super::super::parameters::row;
use super::super::places::length_or_percent;
use super::super::problems::Span;
use super::super::reader::wrong_type;
use super::super::reader::{Log, Section};
use super::limits::{Cone, Limits, read_cones, read_limits};
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
    /// Where the list of free variables stands, or the table.
    pub span: Span,
}

/// The `place` table of a construct, if it has one.
pub(in super::super) fn read_place(root: &mut Section<'_>, anchors: &[String], log: &mut Log) -> Option<PlaceTable> {
    let entry = root.get("place")?;
    let mut s = Section::of(&entry.node, "place", log)?;
    let mut span = entry.key_span.clone();
    let free = s.get("free").and_then(|e| {
        span = e.key_span.clone();
        read_free(&e.node, log)
    });
    let limits = read_limits(&mut s, log);
    let reach = read_cones(&mut s, anchors, log);
    s.done(log);
    Some(PlaceTable { free, limits, reach, span })
}

fn read_free(node: &Node, log: &mut Log) -> Option<Vec<FreeLine>> {
    let Value::List(nodes) = &node.value else {
        wrong_type(node, "place.free", "a list of { path = \"…\", low = …, high = … }", log);
        return None;
    };
    if nodes.is_empty() || nodes.len() > MOST_FREE {
        log.wrong(
            node.span.clone(),
            format!("`place.free` has {} lines", nodes.len()),
            format!("allowed: 1 to {MOST_FREE}"),
            "with no free variable there is nothing to search; leave `free` out for the usual ones",
        );
        return None;
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
