//! Every input of a case and its constructs that can be varied, with its present value.

use super::super::case_file::CaseFile;
use super::super::forces::RawTether;
use super::super::parameters::{Access, Parameter, parameters, row, rows_of};
use super::super::places::{At, along_of, numbers_of};
use super::super::problems::Problem;
use super::super::reader::nearest;
use super::super::settings::Reach;
use super::super::{Case, Construct, ConstructFile, Edge, LimbSpec, Stop, Tag};
use super::table::SpreadLine;
use crate::anatomy::{Along, Fragment, Place};

/// Name of the tether that is a hinge.
pub const HINGE: &str = "tether.hinge";
/// States of the hinge, weakest first; a draw is the index here.
pub const HINGE_STATES: [&str; 3] = ["none", "weak", "intact"];

/// Where the ends of the hinge of the built-in cases sit on the rim, percent of the half chord: on the fragment, and on
/// the scapula.
pub const HINGE_ENDS: [f64; 2] = [-92.0, -108.0];
/// Stiffness (N/mm) and slack (mm) of a hinge that is weak or intact, as in the built-in cases (assumed).
pub const WEAK_HINGE: [f64; 2] = [5.0, 2.0];
/// The same of one that is intact.
pub const INTACT_HINGE: [f64; 2] = [20.0, 0.5];

/// Whose input it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Owner {
    /// The case's.
    Case,
    /// That of the construct with this index.
    Construct(usize),
}

/// An input that can be varied.
#[derive(Debug, Clone, PartialEq)]
pub struct Known {
    /// Dotted path.
    pub path: String,
    /// In plain words.
    pub meaning: String,
    /// Unit.
    pub unit: &'static str,
    /// Physical range.
    pub allowed: (f64, f64),
    /// Plausible spread: low, most probable, high.
    pub spread: [f64; 3],
    /// How that is backed.
    pub tag: Tag,
    /// Where it comes from.
    pub source: &'static str,
    /// Range in percent, where percent are understood.
    pub percent: Option<(f64, f64)>,
    /// Whose it is, with its present value; NaN where it has none.
    pub places: Vec<(Owner, f64)>,
}

impl Known {
    pub(super) fn of(path: String, row: &'static Parameter, owner: Owner, value: f64) -> Self {
        Self {
            path,
            meaning: row.meaning.to_owned(),
            unit: row.unit,
            allowed: row.allowed,
            spread: [row.low, row.default.unwrap_or(0.5 * (row.low + row.high)), row.high],
            tag: row.tag,
            source: row.source,
            percent: None,
            places: vec![(owner, value)],
        }
    }

    /// Whether a pattern stands for it: part by part, `*` for any name.
    pub fn matches(&self, pattern: &str) -> bool {
        let (mut a, mut b) = (self.path.split('.'), pattern.split('.'));
        loop {
            match (a.next(), b.next()) {
                (None, None) => return true,
                (Some(x), Some(y)) if y == "*" || x == y => {}
                _ => return false,
            }
        }
    }
}

/// All inputs, those of the case first.
pub(super) fn all(read: &CaseFile, case: &Case, constructs: &[(ConstructFile, Construct)]) -> Vec<Known> {
    let mut list = Vec::new();
    for row in parameters() {
        let Access::Case(at) = row.access else {
            continue;
        };
        // A length that is not given is the whole chord; to vary it, say it first.
        if row.path == "fragment.length" && read.shape.length.is_none() {
            continue;
        }
        let mut known = Known::of(row.path.into(), row, Owner::Case, (at.get)(read));
        if row.path == "fragment.width" {
            known.percent = Some(super::super::parameters::row("fragment.width[percent]").allowed);
        }
        list.push(known);
    }
    for load in &read.loads {
        if let Some(force) = load.magnitude {
            list.push(Known::of(load.path(), row("load.*.force[magnitude]"), Owner::Case, force));
        }
    }
    // Added with its built-in ends as soon as one of its numbers is varied.
    let default = |key: &str| row(&format!("tether.*.{key}")).default.unwrap_or(f64::NAN);
    let absent = (!read.tethers.iter().any(|t| t.name == "hinge"))
        .then(|| built_in_hinge([default("stiffness"), default("slack")]));
    for tether in read.tethers.iter().chain(&absent) {
        for row in rows_of("tether.*") {
            if let Access::Tether(at) = row.access {
                let path = format!("tether.{}.{}", tether.name, row.key());
                list.push(Known::of(path, row, Owner::Case, (at.get)(tether)));
            }
        }
    }
    list.push(Known {
        path: HINGE.into(),
        meaning: "inferior hinge: none, weak or intact".into(),
        unit: "",
        allowed: (0.0, 2.0),
        spread: [0.0, 1.0, 2.0],
        tag: Tag::Assumed,
        source: "placeholder: intact 20 N/mm with 0.5 mm slack, weak 5 N/mm with 2 mm",
        percent: None,
        places: vec![(Owner::Case, f64::NAN)],
    });
    for (k, (file, construct)) in constructs.iter().enumerate() {
        of_construct(case, file, construct, Owner::Construct(k), &mut list);
    }
    list
}

/// A hinge with the ends of the built-in cases, from the fragment's inferior end to the rim just beyond
/// it; its numbers are to be set.
pub(super) fn built_in_hinge([stiffness, slack]: [f64; 2]) -> RawTether {
    let [fragment, scapula] =
        HINGE_ENDS.map(|percent| Some(At { span: 0..0, value: Place::Rim { along: Along::Percent(percent) } }));
    RawTether { name: "hinge".to_owned(), span: 0..0, fragment, scapula, stiffness, slack }
}

// The inputs of a construct that can be varied.

/// Numbers of a screw that move the answer and are no choice of size.
const OF_A_SCREW: [&str; 4] = ["preload", "foundation", "working_length", "modulus"];

/// Adds an input, joining it to the one of the same path.
fn join(list: &mut Vec<Known>, new: Known) {
    match list.iter_mut().find(|k| k.path == new.path) {
        Some(known) => known.places.extend(new.places),
        None => list.push(new),
    }
}

/// Adds the inputs of a construct, each joined to that of the same path.
pub(super) fn of_construct(
    case: &Case,
    file: &ConstructFile,
    construct: &Construct,
    owner: Owner,
    list: &mut Vec<Known>,
) {
    let reach = Reach { construct: &file.settings, case: &case.settings };
    for limb in &construct.limbs {
        let kind = limb.fixing.table();
        for (key, part, value) in [
            ("tension", "tension", limb.tension),
            ("knot_slack", "slack", limb.knot_slack),
            ("knot_limit", "limit", limb.knot_limit),
        ] {
            let path = format!("limb.{}.{key}", limb.name);
            join(list, Known::of(path, row(&format!("{kind}.{part}")), owner, value));
        }
        crossings(case, limb, owner, list);
        let path = format!("strand.{}.rigidity", limb.strand.class);
        let row =
            super::super::parameters().iter().find(|p| p.path == path).unwrap_or_else(|| row("strand.*.rigidity"));
        if !list.iter().any(|k| k.path == path && k.places.iter().any(|p| p.0 == owner)) {
            join(list, Known::of(path, row, owner, limb.strand.rigidity));
        }
    }
    for anchor in &construct.anchors {
        let path = |key: &str| format!("anchor.{}.{key}", anchor.name);
        let class = format!("anchor-class.{}.stiffness", anchor.class);
        let class_row = super::super::parameter(&class);
        if let (Some(stiffness), Some(row)) = (anchor.stiffness, class_row) {
            join(list, Known::of(path("stiffness"), row, owner, stiffness));
            // An anchor with a stiffness of its own does not listen to its class.
            let own = file.anchors.iter().any(|a| a.name == anchor.name && a.stiffness.is_some());
            if !own && !list.iter().any(|k| k.path == class && k.places.iter().any(|p| p.0 == owner)) {
                join(list, Known::of(class, row, owner, stiffness));
            }
        }
        if let Some(holding) = anchor.holding {
            join(list, Known::of(path("holding"), row("anchor-class.*.holding"), owner, holding));
        }
        placing(case, &anchor.place, &path, owner, list);
    }
    for screw in &file.screws {
        for row in rows_of("screw.*").filter(|row| OF_A_SCREW.contains(&row.key())) {
            if let Access::Screw(at) = row.access {
                join(list, Known::of(format!("screw.{}.{}", screw.name, row.key()), row, owner, (at.get)(screw)));
            }
        }
    }
    for row in parameters() {
        if matches!(row.access, Access::Setting) {
            join(list, Known::of(row.path.into(), row, owner, reach.quiet(row.path)));
        }
    }
}

/// Where a limb crosses rim or margin, for each crossing whose place is given: one that is taut finds
/// its place by itself. They are numbered along the limb, the free end first.
fn crossings(case: &Case, limb: &LimbSpec, owner: Owner, list: &mut Vec<Known>) {
    let given = limb.path.iter().filter_map(|stop| match stop {
        Stop::Crossing { edge: Edge::Rim | Edge::Margin, point: Some(point), .. } => Some(point),
        _ => None,
    });
    for (k, point) in given.enumerate() {
        let path = format!("limb.{}.crossing.{}.along", limb.name, k + 1);
        let along = (point - case.fragment.bed_origin()).dot(&case.fragment.along);
        let mut known = Known::of(path, row("along"), owner, along);
        known.percent = Some(row("along[percent]").allowed);
        join(list, known);
    }
}

/// Where an anchor sits, and how far it may land from there.
fn placing(case: &Case, place: &Place, path: &dyn Fn(&str) -> String, owner: Owner, list: &mut Vec<Known>) {
    let mut place = *place;
    if let Some(along) = along_of(&mut place) {
        let mut known = Known::of(path("along"), row("along"), owner, along.on(&case.fragment));
        known.percent = Some(row("along[percent]").allowed);
        join(list, known);
    }
    for (key, of, value) in numbers_of(&mut place) {
        join(list, Known::of(path(key), row(of), owner, *value));
    }
    let has_across = !matches!(place, Place::Rim { .. } | Place::Margin { .. });
    for key in ["along_error", "across_error"].into_iter().take(1 + usize::from(has_across)) {
        join(list, Known::of(path(key), row(&format!("anchor.*.{key}")), owner, 0.0));
    }
}

// Where an anchor lands when it misses its place.

/// The place an error away, in the anchor's own plane: `along` (mm) along the fracture line, positive
/// superior, and `across` (mm) in the second coordinate of the place, away from the fracture line or
/// medially. The anchor stays on the surface that its kind of place lies on.
pub(crate) fn shifted(place: &Place, [along, across]: [f64; 2], on: &Fragment) -> Place {
    if along == 0.0 && across == 0.0 {
        return *place;
    }
    let moved = |a: Along| Along::Mm(a.on(on) + along);
    match *place {
        Place::Face { along, inset } => Place::Face { along: moved(along), inset: inset + across },
        Place::Wall { along, below } => Place::Wall { along: moved(along), below: below + across },
        Place::Neck { along, beyond } => Place::Neck { along: moved(along), beyond: beyond + across },
        Place::Crater { along, deep } => Place::Crater { along: moved(along), deep: deep + across },
        Place::Rim { along } => Place::Rim { along: moved(along) },
        Place::Margin { along } => Place::Margin { along: moved(along) },
        Place::Clock { hours, inset } => {
            // An arc about the socket's centre; hours run from superior to anterior.
            let radius = (on.socket.radius - inset).max(1.0);
            Place::Clock {
                hours: (hours - (along / radius).to_degrees() / 30.0).clamp(0.0, 12.0),
                inset: inset + across,
            }
        }
        Place::Point(p) => {
            let moved = crate::math::Vec3::from(p) + on.along * along - on.outward * across;
            Place::Point(moved.into())
        }
    }
}

// What is said of a path that stands for nothing.

/// A path that stands for nothing, with the nearest known ones.
pub(super) fn unknown(line: &SpreadLine, known: &[Known]) -> Problem {
    Problem::at(
        line.span.clone(),
        format!("`{}` is no input of this case and these constructs", line.path),
        "unknown path",
        near(&line.path, known),
    )
}

/// The known paths nearest to one that is not, those that end in the very word first, and where all
/// of them are listed.
pub(super) fn near(path: &str, known: &[Known]) -> String {
    let last = |path: &str| path.rsplit('.').next().unwrap_or_default().to_lowercase();
    let word = last(path);
    let mut scored: Vec<(bool, f64, &str)> = known
        .iter()
        .map(|k| {
            let same = word != "*" && last(&k.path) == word;
            let alike = strsim::jaro_winkler(path, &k.path);
            (same, alike, k.path.as_str())
        })
        .collect();
    scored.sort_by(|a, b| b.0.cmp(&a.0).then(b.1.total_cmp(&a.1)).then(a.2.cmp(b.2)));
    let best: Vec<String> = scored.iter().take(3).map(|s| format!("`{}`", s.2)).collect();
    let same = scored.first().is_some_and(|s| s.0);
    let mistyped = same || nearest(path, known.iter().map(|k| k.path.as_str())).is_some();
    let beginning = if mistyped {
        format!("did you mean {}?", best.join(", "))
    } else {
        format!("known are for instance {};", best.join(", "))
    };
    format!("{beginning} `rimhold scatter --inputs CASE CONSTRUCT` lists all; `*` stands for a whole name")
}
