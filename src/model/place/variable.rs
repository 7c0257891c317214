//! Free variables: which numbers of a construct a search may change, and between what.

use super::super::problems::{Problem, Problems};
use super::super::reader::said;
use super::super::spread::{Known, Subject};
use super::super::{Construct, Stop, Tag};
use super::table::FreeLine;
use crate::anatomy::{Along, Fragment};

/// Coordinates of a place that can be free.
const COORDINATES: [&str; 6] = ["along", "inset", "below", "beyond", "deep", "hours"];

/// How far a clock position is free to either side when nothing is said, hours (assumed).
const HOURS: f64 = 1.5;

/// A free variable.
#[derive(Debug, Clone, PartialEq)]
pub struct Variable {
    /// The input that it is.
    pub known: Known,
    /// Low end of its range, in its unit.
    pub low: f64,
    /// High end.
    pub high: f64,
    /// Its value in the construct's file.
    pub given: f64,
    /// How its range is backed.
    pub tag: Tag,
    /// Where the range comes from.
    pub source: String,
}

impl Variable {
    /// Dotted path.
    pub fn path(&self) -> &str {
        &self.known.path
    }

    /// The anchor of which it is a coordinate, and which.
    pub fn coordinate(&self) -> Option<(&str, &str)> {
        let mut parts = self.known.path.split('.');
        match (parts.next(), parts.next(), parts.next(), parts.next()) {
            (Some("anchor"), Some(anchor), Some(key), None) => Some((anchor, key)),
            _ => None,
        }
    }
}

/// Whether an input is a coordinate of an anchor, a crossing's place, or a tension.
pub fn can_be_free(known: &Known) -> bool {
    let parts: Vec<&str> = known.path.split('.').collect();
    match parts.as_slice() {
        ["anchor", _, key] => COORDINATES.contains(key),
        ["limb", _, "tension"] | ["limb", _, "crossing", _, "along"] => true,
        _ => false,
    }
}

/// Every input of the first construct that can be free, with its usual range.
pub fn free_variables(subject: &Subject) -> Vec<Variable> {
    let fragment = &subject.case().fragment;
    let all = subject.known().into_iter().filter(can_be_free);
    all.map(|known| usual(known, fragment)).collect()
}

/// An input with its usual range, widened to where the construct has it: along the fragment's whole
/// chord, and otherwise what the table of parameters calls usual.
fn usual(known: Known, fragment: &Fragment) -> Variable {
    let given = known.places[0].1;
    let [low, _, high] = known.spread;
    let key = known.path.rsplit('.').next().unwrap_or_default();
    let ((low, high), tag, source) = match key {
        "along" => {
            let half = fragment.half_chord;
            ((-half, half), Tag::Derived, "the fragment's whole chord")
        }
        "hours" => (
            (given - HOURS, given + HOURS),
            Tag::Assumed,
            "an hour and a half to either side: beyond it a place is another one",
        ),
        _ => ((low, high), known.tag, known.source),
    };
    Variable {
        tag,
        source: source.to_owned(),
        low: low.min(given).max(known.allowed.0),
        high: high.max(given).min(known.allowed.1),
        given,
        known,
    }
}

/// The free variables of the first construct: those that its `[place]` table names, otherwise both
/// coordinates of every anchor that a bridge uses (of every anchor when there is no bridge).
///
/// # Errors
/// Unknown paths, ranges that are none, and paths that stand twice, with their places in the file;
/// no free variable at all.
pub fn variables(subject: &Subject) -> Result<Vec<Variable>, Problems> {
    let all = free_variables(subject);
    let (Some(file), Some(construct)) = (subject.files().next(), subject.constructs().next()) else {
        return Err(Problems::whole("place", "no construct is given", "name one"));
    };
    let Some(lines) = file.place.as_ref().and_then(|p| p.free.as_ref()) else {
        let bridged = bridged(construct);
        let chosen: Vec<Variable> =
            all.into_iter().filter(|v| v.coordinate().is_some_and(|c| bridged.contains(&c.0))).collect();
        return if chosen.is_empty() {
            Err(Problems::whole(
                &file.source.name,
                "no anchor of this construct has a place that could move, so there is nothing to search",
                "give an anchor a place like { face = { along = 0, inset = 2 } }, or name tensions in [place] free",
            ))
        } else {
            Ok(chosen)
        };
    };
    let mut problems = Vec::new();
    let mut chosen: Vec<Variable> = Vec::new();
    for line in lines {
        let matching: Vec<&Variable> = all.iter().filter(|v| v.known.matches(&line.path)).collect();
        if matching.is_empty() {
            problems.push(unknown(line, &all, subject));
        }
        for variable in matching {
            if chosen.iter().any(|c| c.path() == variable.path()) {
                problems.push(Problem::at(
                    line.span.clone(),
                    format!("`{}` is named by two lines of `place.free`", variable.path()),
                    "second one here",
                    "leave one out",
                ));
                continue;
            }
            match bounded(variable, line, &subject.case().fragment) {
                Ok(variable) => chosen.push(variable),
                Err(problem) => problems.push(problem),
            }
        }
    }
    if problems.is_empty() { Ok(chosen) } else { Err(Problems::new(file.source.clone(), problems)) }
}

/// Anchors at an end or eyelet of a limb that is no loop; all when every limb is one.
fn bridged(construct: &Construct) -> Vec<&str> {
    let anchors = |limb: &super::super::LimbSpec| -> Vec<usize> {
        limb.path
            .iter()
            .filter_map(|s| match s {
                Stop::Anchor { index, .. } => Some(*index),
                _ => None,
            })
            .collect()
    };
    let mut used = vec![false; construct.anchors.len()];
    for limb in &construct.limbs {
        let own = anchors(limb);
        if own.iter().any(|a| *a != own[0]) {
            own.iter().for_each(|a| used[*a] = true);
        }
    }
    let any = used.contains(&true);
    construct.anchors.iter().zip(used).filter(|(_, used)| *used || !any).map(|(a, _)| a.name.as_str()).collect()
}

/// A variable between the ends of a line.
fn bounded(variable: &Variable, line: &FreeLine, on: &Fragment) -> Result<Variable, Problem> {
    let (low, high) = variable.known.allowed;
    let wrong =
        |message: String, label: &str, hint: String| Problem::at(line.span.clone(), message, label.to_owned(), hint);
    let end = |end: Option<Along>, usual: f64| match end {
        None => Ok(usual),
        Some(Along::Percent(_)) if variable.known.percent.is_none() => Err(wrong(
            format!("`{}` is not given in percent", variable.path()),
            "in percent here",
            format!("its unit is {}", unit(&variable.known)),
        )),
        Some(end) => Ok(end.on(on)),
    };
    let (from, to) = (end(line.low, variable.low)?, end(line.high, variable.high)?);
    for value in [from, to] {
        if !(low..=high).contains(&value) {
            return Err(wrong(
                format!("`{}` cannot be {}", variable.path(), said(value)),
                "outside its physical range",
                format!("allowed: {low} to {high} {}", variable.known.unit),
            ));
        }
    }
    if from >= to {
        return Err(wrong(
            format!("`{}` runs from {} to {}, which leaves nothing", variable.path(), said(from), said(to)),
            "low must be below high",
            format!("its usual range is {} to {}", said(variable.low), said(variable.high)),
        ));
    }
    let (tag, source) = match (line.low, line.high) {
        (None, None) => (variable.tag, variable.source.clone()),
        (Some(_), Some(_)) => (Tag::Given, "[place] free".to_owned()),
        _ => (Tag::Given, format!("one end by [place] free; the other: {}", variable.source)),
    };
    Ok(Variable { low: from, high: to, tag, source, ..variable.clone() })
}

fn unit(known: &Known) -> &str {
    if known.unit.is_empty() { "none" } else { known.unit }
}

/// A path that stands for nothing free: an input that is no place, or none at all.
fn unknown(line: &FreeLine, all: &[Variable], subject: &Subject) -> Problem {
    let input = subject.known().iter().any(|k| k.matches(&line.path));
    let mut scored: Vec<(f64, &str)> =
        all.iter().map(|v| (strsim::jaro_winkler(&line.path, v.path()), v.path())).collect();
    scored.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(b.1)));
    let near: Vec<String> = scored.iter().take(3).map(|s| format!("`{}`", s.1)).collect();
    let what = if input {
        format!("`{}` is no coordinate of an anchor, no crossing's place and no tension", line.path)
    } else {
        format!("`{}` is no input of this construct", line.path)
    };
    Problem::at(
        line.span.clone(),
        what,
        "cannot be free",
        if near.is_empty() {
            "nothing of this construct can be free".to_owned()
        } else {
            format!("nearest are {}; `rimhold place --variables` lists all", near.join(", "))
        },
    )
}
