//! Writes a commented case from what was measured on CT.

use super::parameters::{Parameter, row};
use super::problems::{Problem, Problems, SourceText};
use super::reader::said;
use super::{Case, Side};
use crate::CAUTION;

/// The text of a new case. A line that begins with `@` stands for an entry: the path of a number, and what is said
/// of it (its row's own words where nothing is).
const TEXT: &str = include_str!("new_case.toml");

/// A fragment's width as it was measured.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Width {
    /// Millimetres from rim to fracture line.
    Mm(f64),
    /// Percent of the circle's diameter.
    Percent(f64),
}

/// What was measured on CT. What was not measured is written as a comment with the default that will be taken and
/// recorded; the components of a displaced pose that were not measured beside a measured one are zero.
#[derive(Debug, Clone, PartialEq)]
pub struct NewCase {
    /// Name of the case, if it has one.
    pub name: Option<String>,
    /// Which shoulder.
    pub side: Side,
    /// Path of each number that was measured, and its value in the unit of its row: mm, hours, degrees.
    measured: Vec<(&'static str, f64)>,
}

impl NewCase {
    /// The four measurements that every case needs: which shoulder, diameter of the best-fit circle of the inferior
    /// socket (mm), width of the fragment, and clock position of its middle (hours; 3 is anterior on either side).
    pub fn new(side: Side, diameter: f64, width: Width, middle: f64) -> Self {
        let width = match width {
            Width::Mm(w) => ("fragment.width", w),
            Width::Percent(p) => ("fragment.width[percent]", p),
        };
        Self { name: None, side, measured: vec![("socket.diameter", diameter), width, ("fragment.middle", middle)] }
    }

    /// With another number of the fragment or of its displaced pose, if it was measured.
    pub fn set(&mut self, path: &'static str, value: Option<f64>) {
        self.measured.extend(value.map(|value| (path, value)));
    }

    fn value(&self, path: &str) -> Option<f64> {
        self.measured.iter().find(|m| m.0 == path).map(|m| m.1)
    }

    /// Whether the displaced pose was measured.
    fn is_displaced(&self) -> bool {
        self.measured.iter().any(|m| m.0.starts_with("displaced."))
    }
}

/// The text of a case file with these measurements; it reads back with [`Case::parse`].
///
/// # Errors
/// Every measurement that is out of its range, or measurements that do not belong together; the
/// problems point into no text.
pub fn new_case(given: &NewCase) -> Result<String, Problems> {
    let source = SourceText::new("the measurements given", "");
    let wrong: Vec<Problem> = given.measured.iter().filter_map(|(path, value)| outside(row(path), *value)).collect();
    if !wrong.is_empty() {
        return Err(Problems::new(source, wrong));
    }
    let text = write(given);
    let Err(problems) = Case::parse("new.toml", &text) else {
        return Ok(text);
    };
    let unplaced = problems.problems.into_iter().map(|p| Problem {
        message: if p.label.is_empty() { p.message } else { format!("{} ({})", p.message, p.label) },
        span: None,
        label: String::new(),
        hint: p.hint,
    });
    Err(Problems::new(source, unplaced.collect()))
}

fn outside(row: &Parameter, value: f64) -> Option<Problem> {
    (!row.accepts(value)).then(|| {
        let path = row.path.replace("[percent]", "");
        Problem::whole(format!("`{path}` is {}; allowed: {}", said(value), row.range()), row.about())
    })
}

fn write(given: &NewCase) -> String {
    let mut out = String::new();
    for line in TEXT.lines() {
        let text = match line.strip_prefix('@') {
            Some(entry) => {
                let (path, what) = entry.split_once(' ').unwrap_or((entry, ""));
                match path {
                    // One sentence on two lines.
                    "caution" => Some(format!("# {}", CAUTION.replace("patient; ", "patient;\n# "))),
                    "name" => given.name.as_ref().map(|n| format!("name = {}", toml::Value::from(n.as_str()))),
                    "side" => {
                        let side = if given.side == Side::Right { "right" } else { "left" };
                        Some(format!("side = \"{side}\"    # {what}"))
                    }
                    "displaced" if given.is_displaced() => Some("[displaced]".to_owned()),
                    "displaced" => {
                        let how = "# Not measured: these are invented. Remove the # of the table and of what you know.";
                        Some(format!("{how}\n# [displaced]"))
                    }
                    _ => number(given, row(path), what),
                }
            }
            None => Some(line.to_owned()),
        };
        out.extend(text.map(|text| text + "\n"));
    }
    out
}

/// The line of a number: measured, or a comment with its default; none where there is neither.
fn number(given: &NewCase, row: &Parameter, what: &str) -> Option<String> {
    let key = row.key().trim_end_matches("[percent]");
    let rest = given.is_displaced() && row.path.starts_with("displaced.");
    Some(match given.value(row.path).or(rest.then_some(0.0)) {
        Some(value) if row.unit == "%" => format!("{key} = \"{value} %\"    # {what}"),
        Some(value) if row.unit == "h" => format!("{key} = {}    # {what}", clock(value)),
        Some(value) => format!("{key} = {value:?}    # {what}"),
        None => {
            let missing = if row.path.starts_with("fragment.") { "not measured; " } else { "" };
            let what = if what.is_empty() { row.spread() } else { what.to_owned() };
            format!("# {key} = {:?}    # {missing}{what}", row.default?)
        }
    })
}

/// Hours as `"4:30"` when they fall on a minute, otherwise as a number.
fn clock(hours: f64) -> String {
    let minutes = (hours * 60.0).round();
    if (minutes / 60.0 - hours).abs() < 1e-12 {
        format!("\"{}:{:02}\"", minutes as i64 / 60, minutes as i64 % 60)
    } else {
        format!("{hours:?}")
    }
}
