//! What of a construct can be taken hold of and moved in a drawing: anchors, crossings over bone, bites. A move ends where
//! bone, rim, fracture edge or another anchor is too near, and says why.

use super::edit::{Step, edited, keys};
use super::look::to_edges;
use super::parameters::row;
use super::path::RawKind;
use super::places::{At, Bone, along_of, locate, numbers_of};
use super::reader::Log;
use super::{AnchorSpec, Case, Construct, ConstructFile, Edge};
use crate::anatomy::{Along, Fragment, Place};
use crate::math::Vec3;
use serde::Serialize;

/// What is taken hold of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum HandleKind {
    /// An anchor.
    Anchor,
    /// Where a limb crosses bone at a given place.
    Crossing,
    /// A bite of labrum.
    Bite,
}

/// The drawing in which something is moved.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, serde::Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Plane {
    /// En face: (anterior, superior).
    Face,
    /// The section across the bed: (outward, lateral).
    Section,
}

/// Something that can be moved.
#[derive(Debug, Clone, PartialEq)]
pub struct Handle {
    /// Its name among the handles: `anchor.NAME`, or `limb.NAME.K` with the number of the stop on its path, from 0.
    pub id: String,
    /// What it is.
    pub kind: HandleKind,
    /// The anchor or the limb.
    pub name: String,
    /// The limb and the number of its stop; none of an anchor.
    pub stop: Option<(usize, usize)>,
    /// Where it is asked to sit.
    pub place: Place,
    /// That place on the reduced anatomy, mm.
    pub point: Vec3,
    /// The table of its coordinates in the text.
    path: Vec<Step>,
}

/// A construct's text after a move.
#[derive(Debug, Clone, PartialEq)]
pub struct Moved {
    /// The text.
    pub text: String,
    /// Why the move ended before it came to where it was to go.
    pub stopped: Option<String>,
}

/// Farthest move at once, mm: more than any glenoid measures.
const FARTHEST: f64 = 80.0;

/// Said where a text is written in a way that cannot be changed from a drawing.
const UNWRITABLE: &str = "This place is written in a way that cannot be changed here: edit the file";

/// The word of a place in a file.
pub(super) fn word(place: &Place) -> &'static str {
    match place {
        Place::Face { .. } => "face",
        Place::Rim { .. } => "rim",
        Place::Wall { .. } => "wall",
        Place::Margin { .. } => "margin",
        Place::Neck { .. } => "neck",
        Place::Crater { .. } => "crater",
        Place::Clock { .. } => "clock",
        Place::Point(_) => "point",
    }
}

impl ConstructFile {
    /// All that can be moved of it, as it sits on a case.
    pub fn handles(&self, case: &Case, construct: &Construct) -> Vec<Handle> {
        let mut handles = Vec::new();
        for (raw, anchor) in self.anchors.iter().zip(&construct.anchors) {
            handles.push(Handle {
                id: format!("anchor.{}", raw.name),
                kind: HandleKind::Anchor,
                name: raw.name.clone(),
                stop: None,
                place: raw.place.value,
                point: anchor.point,
                path: keys(["anchor", &raw.name, "at", word(&raw.place.value)]),
            });
        }
        for (limb, (raw, spec)) in self.limbs.iter().zip(&construct.limbs).enumerate() {
            for (k, (stop, fitted)) in raw.path.iter().zip(&spec.path).enumerate() {
                let (kind, place, words) = match &stop.kind {
                    RawKind::Crossing(Edge::Rim, at) => (HandleKind::Crossing, at.value, vec!["rim"]),
                    RawKind::Crossing(Edge::Margin, at) => (HandleKind::Crossing, at.value, vec!["margin"]),
                    RawKind::Crossing(Edge::Bone, at) => {
                        (HandleKind::Crossing, at.value, vec!["over", word(&at.value)])
                    }
                    RawKind::Bite { along, below, .. } => {
                        let below = below.or(row("bite.below").default).unwrap_or(0.0);
                        (HandleKind::Bite, Place::Wall { along: *along, below }, vec!["bite"])
                    }
                    RawKind::Anchor(_) | RawKind::Taut => continue,
                };
                let Some(point) = fitted.point(|_| None) else { continue };
                handles.push(Handle {
                    id: format!("limb.{}.{k}", raw.name),
                    kind,
                    name: raw.name.clone(),
                    stop: Some((limb, k)),
                    place,
                    point,
                    path: [keys(["limb", &raw.name, "path"]), vec![Step::At(k)], keys(words)].concat(),
                });
            }
        }
        let on = |handle: &Handle| case.fragment.locate(&handle.place).is_ok();
        handles.retain(on);
        handles
    }

    /// Its text with a handle moved by (right, up) mm in a plane's own axes, as far as that is allowed.
    pub fn moved(&self, case: &Case, construct: &Construct, handle: &Handle, plane: Plane, by: [f64; 2]) -> Moved {
        let f = &case.fragment;
        let from = flat(f, plane, &handle.point);
        // Farther than the bone reaches is as good as just beyond it.
        let far = by.map(|mm| if mm.is_finite() { mm.clamp(-FARTHEST, FARTHEST) } else { 0.0 });
        let target = [from[0] + far[0], from[1] + far[1]];
        let rules = Rules { case, construct, handle, start: nears(case, construct, handle, &handle.place) };
        let at = |to: [f64; 2]| handle.place.toward(f, plane, &handle.point, to);
        let refused = rules.refused(&at(target));
        let place = match &refused {
            None => at(target),
            Some(_) => rules.nearest(from, target, &at),
        };
        let stopped = refused.map(|why| format!("Stops here: {why}"));
        match self.placed(handle, place) {
            Some(text) => Moved { text, stopped },
            None => Moved { text: self.source.text.to_string(), stopped: Some(UNWRITABLE.to_owned()) },
        }
    }

    /// Its text with a handle at a place of the same kind; `None` when the text cannot be changed.
    fn placed(&self, handle: &Handle, mut place: Place) -> Option<String> {
        let mut text = Some(self.source.text.to_string());
        let mut old = handle.place;
        let mut set = |key: &str, value: toml_edit::Value| {
            let path = [handle.path.clone(), keys([key])].concat();
            text = text.take().and_then(|text| edited(&text, &path, value));
        };
        if let (Some(new), Some(old)) = (along_of(&mut place).map(|a| *a), along_of(&mut old).map(|a| *a))
            && new != old
        {
            set(
                "along",
                match new {
                    Along::Mm(mm) => round(mm, 2).into(),
                    Along::Percent(share) => format!("{} %", round(share, 1)).into(),
                },
            );
        }
        for ((key, _, new), (_, _, old)) in numbers_of(&mut place).into_iter().zip(numbers_of(&mut old)) {
            if new != old {
                set(key, round(*new, 2).into());
            }
        }
        if let (Place::Point(new), Place::Point(old)) = (place, old)
            && new != old
        {
            let list: toml_edit::Array = new.iter().map(|v| round(*v, 2)).collect();
            // The place is the list itself.
            text = text.and_then(|text| edited(&text, &handle.path, list));
        }
        text
    }
}

fn round(value: f64, decimals: i32) -> f64 {
    let by = libm::pow(10.0, f64::from(decimals));
    // No minus before nothing.
    (value * by).round() / by + 0.0
}

/// A point in a plane's axes, mm.
fn flat(f: &Fragment, plane: Plane, p: &Vec3) -> [f64; 2] {
    match plane {
        Plane::Face => [p.x, p.y],
        Plane::Section => f.in_section(p),
    }
}

impl Place {
    /// Whether a place moves to the side and up or down in a plane.
    pub fn moves(&self, plane: Plane) -> [bool; 2] {
        match (plane, self) {
            (Plane::Face, _) | (_, Place::Point(_)) => [true, true],
            (Plane::Section, Place::Face { .. }) => [true, false],
            (Plane::Section, Place::Wall { .. } | Place::Neck { .. } | Place::Crater { .. }) => [false, true],
            (Plane::Section, Place::Rim { .. } | Place::Margin { .. } | Place::Clock { .. }) => [false, false],
        }
    }

    /// The place of the same kind that stands nearest to a point of a plane; `own` is where it stands now.
    fn toward(&self, f: &Fragment, plane: Plane, own: &Vec3, [u, v]: [f64; 2]) -> Place {
        let mut place = *self;
        match plane {
            Plane::Face => {
                let (t, e) = (u * f.along.x + v * f.along.y, u * f.outward.x + v * f.outward.y);
                match &mut place {
                    Place::Face { inset, .. } => *inset = f.chord_distance - e,
                    Place::Clock { hours, inset } => {
                        *hours = (90.0 - libm::atan2(v, u).to_degrees()).rem_euclid(360.0) / 30.0;
                        *inset = f.socket.radius - libm::hypot(u, v);
                    }
                    Place::Point(p) => [p[0], p[1]] = [u, v],
                    _ => {}
                }
                if let Some(along) = along_of(&mut place) {
                    *along = match *along {
                        Along::Mm(_) => Along::Mm(t),
                        Along::Percent(_) => Along::Percent(100.0 * t / f.half_chord),
                    };
                }
            }
            Plane::Section => match &mut place {
                Place::Face { inset, .. } => *inset = f.chord_distance - u,
                Place::Wall { below, .. } => *below = f.socket.rim_height() - v,
                Place::Neck { beyond, .. } => *beyond = f.chord_height - f.shape.depth - v,
                Place::Crater { deep, .. } => *deep = f.chord_height - v,
                Place::Point(p) => {
                    let out = u - own.dot(&f.outward);
                    *p = [p[0] + out * f.outward.x, p[1] + out * f.outward.y, v];
                }
                _ => {}
            },
        }
        place
    }
}

/// How near something stands to what it must keep off: the distance, the least that is allowed, and from what, in words.
type Near = (f64, f64, String);

fn nears(case: &Case, construct: &Construct, handle: &Handle, place: &Place) -> Vec<Near> {
    let (HandleKind::Anchor, Ok(point)) = (handle.kind, case.fragment.locate(place)) else {
        return Vec::new();
    };
    let others = construct.anchors.iter().filter(|a| a.name != handle.name);
    let apart =
        |a: &AnchorSpec| ((a.point - point).norm(), case.anchors.least_spacing, format!("the anchor {}", a.name));
    let edges = to_edges(case, place, &point).into_iter();
    others.map(apart).chain(edges.map(|(distance, least, edge)| (distance, least, format!("the {edge}")))).collect()
}

/// Where a handle may go.
struct Rules<'a> {
    case: &'a Case,
    construct: &'a Construct,
    handle: &'a Handle,
    /// How near it stands as it is: a file may ask for less than is usual, and a move need not mend that.
    start: Vec<Near>,
}

impl Rules<'_> {
    /// Why it may not go to a place.
    fn refused(&self, place: &Place) -> Option<String> {
        let mut place = *place;
        let percent_or_mm = |along: &Along| match *along {
            Along::Mm(mm) => (mm, row("along")),
            Along::Percent(share) => (share, row("along[percent]")),
        };
        let mut numbers: Vec<_> = along_of(&mut place).map(|along| percent_or_mm(along)).into_iter().collect();
        numbers.extend(numbers_of(&mut place).into_iter().map(|(_, of, value)| (*value, row(of))));
        if let Some((_, row)) = numbers.iter().find(|(v, row)| *v < row.allowed.0 || *v > row.allowed.1) {
            return Some(format!("{} goes from {}", row.meaning, row.range()));
        }
        let mut log = Log::default();
        let bone = if self.handle.kind == HandleKind::Anchor { Bone::Scapula } else { Bone::Fragment };
        let at = At { span: 0..0, value: place };
        if locate(&self.case.fragment, &at, "it", bone, &mut log).is_none() {
            let why = log.problems.first().map_or("off the bone", |p| p.message.as_str());
            return Some(why.replace("`it`: ", "").replace("`it`", "it"));
        }
        let nears = nears(self.case, self.construct, self.handle, &place);
        let kept =
            |k: usize, near: &Near| near.0 >= near.1.min(self.start.get(k).map_or(near.1, |start| start.0) - 1e-9);
        let (_, (distance, least, from)) = nears.iter().enumerate().find(|(k, near)| !kept(*k, near))?;
        Some(format!("{distance:.2} mm from {from}, allowed {least} mm or more"))
    }

    /// The allowed place nearest to a target, looked for in rings round it; where it stands when there is none.
    fn nearest(&self, from: [f64; 2], target: [f64; 2], at: &dyn Fn([f64; 2]) -> Place) -> Place {
        const RING: f64 = 0.25;
        const ROUND: usize = 48;
        const HALVINGS: usize = 6;
        let far = libm::hypot(target[0] - from[0], target[1] - from[1]);
        let is_free = |to: [f64; 2]| self.refused(&at(to)).is_none();
        let rings = (far / RING).ceil() as usize;
        let found = (1..=rings).find_map(|ring| {
            let r = RING * ring as f64;
            let on = |k: usize| {
                let angle = std::f64::consts::TAU * k as f64 / ROUND as f64;
                [target[0] + r * libm::cos(angle), target[1] + r * libm::sin(angle)]
            };
            (0..ROUND).map(on).find(|to| is_free(*to))
        });
        let Some(mut free) = found else {
            return self.handle.place;
        };
        // Toward the target as far as it goes.
        let mut refused = target;
        for _ in 0..HALVINGS {
            let middle = [0.5 * (free[0] + refused[0]), 0.5 * (free[1] + refused[1])];
            if is_free(middle) {
                free = middle;
            } else {
                refused = middle;
            }
        }
        at(free)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::{CASES, CONSTRUCTS};

    fn scene(construct: &str) -> (Case, ConstructFile, Construct) {
        let case = Case::open("quarter").unwrap();
        let file = ConstructFile::open(construct).unwrap();
        let fitted = file.fit(&case).unwrap();
        (case, file, fitted)
    }

    /// Every handle of every shipped pair, moved by little one way and back, stands where it stood: to the hundredth of a
    /// millimetre or tenth of a percent to which places are written.
    #[test]
    fn a_small_move_and_back_is_none() {
        for (case, _) in CASES {
            let case = Case::open(case).unwrap();
            for (name, _) in CONSTRUCTS {
                let file = ConstructFile::open(name).unwrap();
                let fitted = file.fit(&case).unwrap();
                for handle in file.handles(&case, &fitted) {
                    for plane in [Plane::Face, Plane::Section] {
                        if handle.place.moves(plane) == [false; 2] {
                            continue;
                        }
                        let there = file.moved(&case, &fitted, &handle, plane, [0.2, 0.2]);
                        let moved = ConstructFile::parse(name, &there.text).unwrap();
                        let on = moved.fit(&case).unwrap_or_else(|p| panic!("{name} {}: {p}", handle.id));
                        let new = moved.handles(&case, &on).into_iter().find(|h| h.id == handle.id).unwrap();
                        let own = |h: &Handle| flat(&case.fragment, plane, &h.point);
                        let [a, b] = [own(&handle), own(&new)];
                        let back = moved.moved(&case, &on, &new, plane, [a[0] - b[0], a[1] - b[1]]);
                        let again = ConstructFile::parse(name, &back.text).unwrap();
                        let on = again.fit(&case).unwrap();
                        let last = again.handles(&case, &on).into_iter().find(|h| h.id == handle.id).unwrap();
                        let off = (last.point - handle.point).norm();
                        // What stood nearer to something than is allowed does not come back as near.
                        assert!(off < 0.05 || back.stopped.is_some(), "{name} {} {plane:?}: {off} mm", handle.id);
                    }
                }
            }
        }
    }

    #[test]
    fn a_face_anchor_stops_before_rim_and_neighbour_and_says_so() {
        let (case, file, fitted) = scene("two-by-two-crossed");
        let handles = file.handles(&case, &fitted);
        let upper = handles.iter().find(|h| h.id == "anchor.lateral-upper").unwrap();
        let lower = fitted.anchors.iter().find(|a| a.name == "lateral-lower").unwrap().point;
        let to = lower - upper.point;
        let moved = file.moved(&case, &fitted, upper, Plane::Face, [to.x, to.y]);
        let why = moved.stopped.unwrap();
        assert!(why.contains("lateral-lower") && why.contains("6 mm"), "{why}");
        let again = ConstructFile::parse("x", &moved.text).unwrap().fit(&case).unwrap();
        let now = again.anchors.iter().find(|a| a.name == "lateral-upper").unwrap().point;
        let apart = (now - lower).norm();
        // As near as it may, to the ring and its halvings and the tenth of a percent of a place.
        assert!((apart - 6.0).abs() < 0.05, "{apart}");
        // What is not in the way stays free.
        let (case, file, fitted) = scene("one-by-one");
        let handles = file.handles(&case, &fitted);
        let lateral = handles.iter().find(|h| h.id == "anchor.lateral").unwrap();
        let free = file.moved(&case, &fitted, lateral, Plane::Face, [-0.5, 0.0]);
        assert_eq!(free.stopped, None);
        assert_ne!(free.text, *file.source.text);
    }

    #[test]
    fn a_bite_ends_with_the_labrum_of_the_fragment() {
        let (case, file, fitted) = scene("single-row");
        let handles = file.handles(&case, &fitted);
        let bite = handles.iter().find(|h| h.kind == HandleKind::Bite).unwrap();
        let moved = file.moved(&case, &fitted, bite, Plane::Face, [0.0, -40.0]);
        assert!(moved.stopped.is_some());
        assert!(ConstructFile::parse("x", &moved.text).unwrap().fit(&case).is_ok());
    }
}
