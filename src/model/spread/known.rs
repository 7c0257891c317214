//! Every input of a case and its constructs that can be varied, with its present value.

use super::super::case_file::CaseFile;
use super::super::forces::RawTether;
use super::super::parameters::{Access, Parameter, parameters, row, rows_of};
use super::super::{Case, Construct, ConstructFile, Tag};
use super::construct_inputs::of_construct;

/// Name of the tether that is a hinge.
pub const HINGE: &str = "tether.hinge";
/// States of the hinge, weakest first; a draw is the index here.
pub const HINGE_STATES: [&str; 3] = ["none", "weak", "intact"];

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
    let absent = (!read.tethers.iter().any(|t| t.name == "hinge")).then(|| {
        let mut hinge = built_in_hinge();
        for row in rows_of("tether.*") {
            if let (Access::Tether(at), Some(default)) = (row.access, row.default) {
                (at.set)(&mut hinge, default);
            }
        }
        hinge
    });
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
pub(super) fn built_in_hinge() -> RawTether {
    RawTether::at_the_rim("hinge", [-92.0, -108.0])
}
