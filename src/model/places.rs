//! Reads places and lengths as they are written, and puts them on a fragment.

use super::document::{Entry, Node, Value};
use super::parameters::{Parameter, row};
use super::problems::Span;
use super::reader::{Log, Section, in_range, list, listed, mistyped, number, quoted, suggest};
use crate::anatomy::{Along, Fragment, Place};
use crate::math::Vec3;

/// The kinds of place, in the words of a file.
pub(super) const KINDS: [&str; 8] = ["face", "rim", "wall", "margin", "neck", "crater", "clock", "point"];

/// A place outside the fragment by less than this (mm) still counts as on it when its coordinates
/// were typed by hand; the closed-form places are exact.
const TYPED: f64 = 0.5;

/// Rounding of the closed forms, mm.
const EXACT: f64 = 1e-6;

/// A value with the text it was read from.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct At<T> {
    pub span: Span,
    pub value: T,
}

/// A number with or without a percent sign: `3`, `"3 mm"`, `"25 %"`.
pub(super) fn length_or_percent(
    node: &Node,
    path: &str,
    (mm, percent): (&Parameter, &Parameter),
    log: &mut Log,
) -> Option<Along> {
    match &node.value {
        Value::Number(_) => number(node, path, mm, log).map(Along::Mm),
        Value::Text(text) => {
            let text = text.trim().replace('\u{2212}', "-");
            let (digits, row, make): (_, _, fn(f64) -> Along) = if let Some(d) = text.strip_suffix('%') {
                (d, percent, Along::Percent)
            } else {
                (text.strip_suffix("mm").unwrap_or(&text), mm, Along::Mm)
            };
            match digits.trim().parse::<f64>() {
                Ok(value) => in_range(value, node.span.clone(), path, row, log).map(make),
                Err(_) => log.refuse(
                    node.span.clone(),
                    format!("`{path}` is \"{}\"", quoted(&text)),
                    format!("allowed: {}, or {}", mm.range(), percent.range()),
                    "write a number in mm, or a percentage in quotes like \"25 %\"",
                ),
            }
        }
        _ => mistyped(node, path, "a number in mm or a percentage in quotes", log),
    }
}

/// A clock position in hours: `4.5`, `"4:30"`.
pub(super) fn clock(node: &Node, path: &str, row: &Parameter, log: &mut Log) -> Option<f64> {
    let Value::Text(text) = &node.value else {
        return number(node, path, row, log);
    };
    let digits = |s: &str| !s.is_empty() && s.len() < 3 && s.bytes().all(|b| b.is_ascii_digit());
    let hours = match text.trim().split_once(':') {
        Some((h, m)) if digits(h) && m.len() == 2 && digits(m) => {
            let (h, m): (f64, f64) = (h.parse().ok()?, m.parse().ok()?);
            (m < 60.0).then_some(h + m / 60.0)
        }
        None if digits(text.trim()) => text.trim().parse().ok(),
        _ => None,
    };
    match hours {
        Some(hours) => in_range(hours, node.span.clone(), path, row, log),
        None => log.refuse(
            node.span.clone(),
            format!("`{path}` is \"{}\", not a clock position", quoted(text)),
            "allowed: \"0:00\" to \"12:00\", or hours as a number",
            "write \"4:30\" or 4.5; 3 is anterior on either side, 6 inferior",
        ),
    }
}

/// Three numbers in the range of `row`.
pub(super) fn triple(node: &Node, path: &str, row: &Parameter, log: &mut Log) -> Option<[f64; 3]> {
    let nodes = list(node, path, "three numbers [x, y, z]", log)?;
    if nodes.len() != 3 {
        return log.refuse(
            node.span.clone(),
            format!("`{path}` has {} numbers, not three", nodes.len()),
            "allowed: [x, y, z]",
            "x anterior, y superior, z lateral",
        );
    }
    let read: Vec<Option<f64>> = nodes.iter().map(|n| number(n, path, row, log)).collect();
    Some([read[0]?, read[1]?, read[2]?])
}

/// The position along the chord in a table of a place.
pub(super) fn read_along(section: &mut Section<'_>, log: &mut Log) -> Option<Along> {
    let rows = (row("along"), row("along[percent]"));
    section.required("along", &rows.0.about(), log, |node, path, log| length_or_percent(node, path, rows, log))
}

/// A place, `{ KIND = { … } }`.
pub(super) fn place(node: &Node, path: &str, log: &mut Log) -> Option<At<Place>> {
    let Value::Table(entries) = &node.value else {
        return mistyped(node, path, "a place like { face = { along = 0, inset = 2 } }", log);
    };
    let [Entry { key, key_span, node: inner }] = entries.as_slice() else {
        let what = format!("`{path}` names {} places, not one", entries.len());
        return log.refuse(node.span.clone(), what, "one place here", format!("a place is one of {}", listed(KINDS)));
    };
    let at = format!("{path}.{}", quoted(key));
    let value = if key == "point" {
        Place::Point(triple(inner, &at, row("point"), log)?)
    } else if let Some(mut place) = blank(key) {
        let mut s = Section::of(inner, &at, log)?;
        let before = log.problems.len();
        if let Some(along) = along_of(&mut place) {
            *along = read_along(&mut s, log).unwrap_or(Along::Mm(f64::NAN));
        }
        for (key, of, value) in numbers_of(&mut place) {
            let read = if key == "hours" { clock } else { number };
            let found = s.required(key, &row(of).about(), log, |node, path, log| read(node, path, row(of), log));
            *value = found.unwrap_or(f64::NAN);
        }
        s.done(log);
        if log.problems.len() > before {
            return None;
        }
        place
    } else {
        return log.refuse(
            key_span.clone(),
            format!("unknown place `{}`", quoted(key)),
            "not a place",
            suggest(key, &KINDS),
        );
    };
    Some(At { span: node.span.clone(), value })
}

/// A place of a kind, its coordinates to be set.
pub(super) fn blank(kind: &str) -> Option<Place> {
    let along = Along::Mm(f64::NAN);
    Some(match kind {
        "face" => Place::Face { along, inset: f64::NAN },
        "rim" => Place::Rim { along },
        "wall" => Place::Wall { along, below: f64::NAN },
        "margin" => Place::Margin { along },
        "neck" => Place::Neck { along, beyond: f64::NAN },
        "crater" => Place::Crater { along, deep: f64::NAN },
        "clock" => Place::Clock { hours: f64::NAN, inset: f64::NAN },
        _ => return None,
    })
}

/// Where a place is along the chord, if it says so.
pub(super) fn along_of(place: &mut Place) -> Option<&mut Along> {
    match place {
        Place::Face { along, .. }
        | Place::Rim { along }
        | Place::Wall { along, .. }
        | Place::Margin { along }
        | Place::Neck { along, .. }
        | Place::Crater { along, .. } => Some(along),
        Place::Clock { .. } | Place::Point(_) => None,
    }
}

/// The other numbers of a place: key, row and value.
pub(super) fn numbers_of(place: &mut Place) -> Vec<(&'static str, &'static str, &mut f64)> {
    match place {
        Place::Face { inset, .. } => vec![("inset", "inset", inset)],
        Place::Wall { below, .. } => vec![("below", "below", below)],
        Place::Neck { beyond, .. } => vec![("beyond", "beyond", beyond)],
        Place::Crater { deep, .. } => vec![("deep", "deep", deep)],
        Place::Clock { hours, inset } => vec![("hours", "hours", hours), ("inset", "inset[rim]", inset)],
        Place::Rim { .. } | Place::Margin { .. } | Place::Point(_) => Vec::new(),
    }
}

/// On which bone a place has to be.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Bone {
    Fragment,
    Scapula,
}

/// The point of a place, checked to be on the bone it has to be on.
pub(super) fn locate(fragment: &Fragment, place: &At<Place>, path: &str, bone: Bone, log: &mut Log) -> Option<Vec3> {
    let point = match fragment.locate(&place.value) {
        Ok(point) => point,
        Err(e) => {
            return log.refuse(
                place.span.clone(),
                format!("`{path}`: {e}"),
                "off the bone",
                format!(
                    "the half chord of this fragment is {:.2} mm; `along` may be a percentage of it",
                    fragment.half_chord
                ),
            );
        }
    };
    let depth = fragment.depth_inside(&point);
    let off_plane = (point - fragment.bed_origin()).dot(&fragment.normal);
    // The closed forms meet the surface up to rounding; clock positions lie on the face.
    let (outside, across) = match place.value {
        Place::Point(_) => (TYPED, TYPED),
        Place::Clock { .. } => (TYPED, EXACT),
        _ => (EXACT, EXACT),
    };
    if let (Bone::Scapula, Place::Point(_)) = (bone, place.value) {
        let above = point.z - fragment.socket.face_height(libm::hypot(point.x, point.y));
        // Beyond the circle the scapula's shape is not modelled, so nothing is said there.
        if libm::hypot(point.x, point.y) < fragment.socket.radius && above > TYPED {
            return log.refuse(
                place.span.clone(),
                format!("`{path}` is {above:.2} mm above the face of the socket"),
                "off the bone",
                "z is lateral, out of the socket: give the height of the face or less",
            );
        }
    }
    match bone {
        Bone::Fragment if depth < -outside => {
            let t = point.dot(&fragment.along);
            log.refuse(place.span.clone(), format!("`{path}` is {:.2} mm off the fragment", -depth), format!("at along {t:.2} mm"), format!(
                    "the fragment reaches from along -{c:.2} to {c:.2} mm and {:.2} mm below its face in the middle, less toward its ends",
                    fragment.shape.depth,
                    c = fragment.half_chord
                ))
        }
        // The bed itself belongs to the scapula too: only what is across the fracture plane and
        // on or in the fragment is refused.
        Bone::Scapula if off_plane > across && depth > -across => log.refuse(place.span.clone(), format!("`{path}` is on the fragment, {off_plane:.2} mm across its fracture plane"), "not on the scapula", "an anchor or a tether's scapula end sits in intact bone: face, neck, crater, or the rim beyond the fragment's ends"),
        _ => Some(point),
    }
}
