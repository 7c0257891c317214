//! Reads places and lengths as they are written, and puts them on a fragment.

use super::document::{Entry, Node, Value};
use super::parameters::{Parameter, row};
use super::problems::{Problem, Span};
use super::reader::{Log, Section};
use super::value::{in_range, number, wrong_type};
use super::words::{quoted, suggest};
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
                Err(_) => {
                    log.push(
                        Problem::at(
                            node.span.clone(),
                            format!("`{path}` is \"{}\"", quoted(&text)),
                            format!("allowed: {}, or {}", mm.range(), percent.range()),
                        )
                        .hint("write a number in mm, or a percentage in quotes like \"25 %\""),
                    );
                    None
                }
            }
        }
        _ => {
            wrong_type(node, path, "a number in mm or a percentage in quotes", log);
            None
        }
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
        None => {
            log.push(
                Problem::at(
                    node.span.clone(),
                    format!("`{path}` is \"{}\", not a clock position", quoted(text)),
                    "allowed: \"0:00\" to \"12:00\", or hours as a number",
                )
                .hint("write \"4:30\" or 4.5; 3 is anterior on either side, 6 inferior"),
            );
            None
        }
    }
}

/// Three numbers in the range of `row`.
pub(super) fn triple(node: &Node, path: &str, row: &Parameter, log: &mut Log) -> Option<[f64; 3]> {
    let Value::List(nodes) = &node.value else {
        wrong_type(node, path, "three numbers [x, y, z]", log);
        return None;
    };
    if nodes.len() != 3 {
        log.push(
            Problem::at(
                node.span.clone(),
                format!("`{path}` has {} numbers, not three", nodes.len()),
                "allowed: [x, y, z]",
            )
            .hint("x anterior, y superior, z lateral"),
        );
        return None;
    }
    let read: Vec<Option<f64>> = nodes.iter().map(|n| number(n, path, row, log)).collect();
    Some([read[0]?, read[1]?, read[2]?])
}

/// The position along the chord in a table of a place.
pub(super) fn along(section: &mut Section<'_>, log: &mut Log) -> Option<Along> {
    let path = section.at("along");
    match section.get("along") {
        Some(e) => length_or_percent(&e.node, &path, (row("along"), row("along[percent]")), log),
        None => {
            section.missing("along", &row("along").about(), log);
            None
        }
    }
}

/// A place, `{ KIND = { … } }`.
pub(super) fn place(node: &Node, path: &str, log: &mut Log) -> Option<At<Place>> {
    let Value::Table(entries) = &node.value else {
        wrong_type(node, path, "a place like { face = { along = 0, inset = 2 } }", log);
        return None;
    };
    let [Entry { key, key_span, node: inner }] = entries.as_slice() else {
        log.push(
            Problem::at(
                node.span.clone(),
                format!("`{path}` names {} places, not one", entries.len()),
                "one place here",
            )
            .hint(format!("a place is one of {}", super::words::listed(KINDS))),
        );
        return None;
    };
    let at = format!("{path}.{}", quoted(key));
    let value = if key == "point" {
        Place::Point(triple(inner, &at, row("point"), log)?)
    } else if KINDS.contains(&key.as_str()) {
        kind(key, Section::of(inner, &at, log)?, log)?
    } else {
        log.push(
            Problem::at(key_span.clone(), format!("unknown place `{}`", quoted(key)), "not a place")
                .hint(suggest(key, &KINDS)),
        );
        return None;
    };
    Some(At { span: node.span.clone(), value })
}

fn kind(key: &str, mut s: Section<'_>, log: &mut Log) -> Option<Place> {
    let needed = |s: &mut Section<'_>, key: &'static str, row: &Parameter, log: &mut Log| {
        if s.get(key).is_none() {
            s.missing(key, &row.about(), log);
            return None;
        }
        s.number_if(key, row, log)
    };
    let place = match key {
        "clock" => {
            let path = s.at("hours");
            let hours = match s.get("hours") {
                Some(e) => clock(&e.node, &path, row("hours"), log),
                None => {
                    s.missing("hours", &row("hours").about(), log);
                    None
                }
            };
            let inset = needed(&mut s, "inset", row("inset[rim]"), log);
            hours.zip(inset).map(|(hours, inset)| Place::Clock { hours, inset })
        }
        _ => {
            let along = along(&mut s, log);
            match key {
                "rim" => along.map(|along| Place::Rim { along }),
                "margin" => along.map(|along| Place::Margin { along }),
                "face" => {
                    let inset = needed(&mut s, "inset", row("inset"), log);
                    along.zip(inset).map(|(along, inset)| Place::Face { along, inset })
                }
                "wall" => {
                    let below = needed(&mut s, "below", row("below"), log);
                    along.zip(below).map(|(along, below)| Place::Wall { along, below })
                }
                "neck" => {
                    let beyond = needed(&mut s, "beyond", row("beyond"), log);
                    along.zip(beyond).map(|(along, beyond)| Place::Neck { along, beyond })
                }
                _ => {
                    let deep = needed(&mut s, "deep", row("deep"), log);
                    along.zip(deep).map(|(along, deep)| Place::Crater { along, deep })
                }
            }
        }
    };
    s.done(log);
    place
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
            log.push(Problem::at(place.span.clone(), format!("`{path}`: {e}"), "off the bone").hint(format!(
                "the half chord of this fragment is {:.2} mm; `along` may be a percentage of it",
                fragment.half_chord
            )));
            return None;
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
            log.push(
                Problem::at(
                    place.span.clone(),
                    format!("`{path}` is {above:.2} mm above the face of the socket"),
                    "off the bone",
                )
                .hint("z is lateral, out of the socket: give the height of the face or less"),
            );
            return None;
        }
    }
    match bone {
        Bone::Fragment if depth < -outside => {
            let t = point.dot(&fragment.along);
            log.push(
                Problem::at(
                    place.span.clone(),
                    format!("`{path}` is {:.2} mm off the fragment", -depth),
                    format!("at along {t:.2} mm"),
                )
                .hint(format!(
                    "the fragment reaches from along -{c:.2} to {c:.2} mm and {:.2} mm below its face in the middle, less toward its ends",
                    fragment.shape.depth,
                    c = fragment.half_chord
                )),
            );
            None
        }
        // The bed itself belongs to the scapula too: only what is across the fracture plane and
        // on or in the fragment is refused.
        Bone::Scapula if off_plane > across && depth > -across => {
            log.push(
                Problem::at(
                    place.span.clone(),
                    format!("`{path}` is on the fragment, {off_plane:.2} mm across its fracture plane"),
                    "not on the scapula",
                )
                .hint("an anchor or a tether's scapula end sits in intact bone: face, neck, crater, or the rim beyond the fragment's ends"),
            );
            None
        }
        _ => Some(point),
    }
}
