//! A spread on a case and its constructs: what exactly is drawn, and what each draw sets.

use super::super::problems::{Problem, Problems};
use super::super::reader::said;
use super::super::{Tag, Warning};
use super::known::{HINGE, HINGE_STATES, Known, unknown};
use super::subject::Subject;
use super::table::{Law, SpreadLine, SpreadTable, Usage};
use crate::stats::{Copula, Distribution, Shape};
use schemars::JsonSchema;
use serde::Serialize;

/// Share of a distribution outside the physical range above which it is refused.
const MOST_CUT: f64 = 0.5;
/// Share below which a cut is not worth a warning.
const LEAST_CUT: f64 = 0.001;

/// A line of the spread as it is used.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct LineUsed {
    /// Its dotted path as given, with `*` where it stands for several.
    pub path: String,
    /// The paths of files that it sets, one draw each unless shared.
    pub targets: Vec<String>,
    /// Whether all targets share one draw.
    pub shared: bool,
    /// The distribution in words, e.g. `triangular 0.3, 0.5, 0.9`.
    pub distribution: String,
    /// How the draw is used: as the value, as a factor of it, or added to it.
    pub usage: String,
    /// Unit of the value.
    pub unit: String,
    /// How it is backed.
    pub tag: Tag,
    /// Where it comes from.
    pub source: String,
    /// Share of the distribution that lay outside its truncation or the physical range and was cut.
    pub cut: f64,
    /// Its first dimension.
    #[serde(skip)]
    pub dimension: usize,
}

/// What is drawn, and what each draw sets.
#[derive(Debug, Clone, Default)]
pub struct Design {
    /// The lines in use.
    pub lines: Vec<LineUsed>,
    /// The numbers drawn.
    pub dimensions: Vec<Dimension>,
    /// Dimensions that are correlated, with the rank correlation asked for.
    pub correlations: Vec<(usize, usize, f64)>,
    /// How each of these is backed, and where it comes from.
    pub correlation_backing: Vec<(Tag, &'static str)>,
    /// What makes them so.
    copula: Option<Copula>,
    /// What was cut, and the like.
    pub warnings: Vec<Warning>,
    /// Where the spread comes from.
    pub source: String,
}

impl Design {
    /// A spread on a subject. With `lenient`, lines that stand for nothing are left out.
    ///
    /// # Errors
    /// Every line that is wrong for this case and these constructs.
    pub fn new(table: &SpreadTable, subject: &Subject, lenient: bool) -> Result<Self, Problems> {
        let known = subject.known();
        let mut design = Self { source: table.source.name.to_string(), ..Self::default() };
        let mut problems = Vec::new();
        let mut taken: Vec<(String, usize)> = Vec::new();
        for (number, line) in table.lines.iter().enumerate() {
            let targets = subject.targets(&line.path);
            if targets.is_empty() {
                if !lenient {
                    problems.push(unknown(line, &known));
                }
                continue;
            }
            let before = problems.len();
            for target in &targets {
                let clash = taken.iter().find(|t| {
                    t.0 == target.path
                        || (t.0 == HINGE && target.path.starts_with("tether.hinge."))
                        || (target.path == HINGE && t.0.starts_with("tether.hinge."))
                });
                match clash {
                    // The built-in spread gives way to nothing but itself: it does not clash.
                    Some((_, other)) => problems.push(Problem::at(
                        line.span.clone(),
                        format!("`{}` is set by two lines of the spread", target.path),
                        "second one here",
                        format!("the other is `{}`; leave one out", table.lines[*other].path),
                    )),
                    None => taken.push((target.path.clone(), number)),
                }
            }
            if problems.len() == before {
                design.take(line, &targets.iter().collect::<Vec<_>>(), &mut problems);
            }
        }
        design.correlate(table, lenient, &mut problems);
        if problems.is_empty() && design.dimensions.is_empty() {
            problems.push(Problem::whole("nothing is left to vary", "name an input of this case"));
        }
        if problems.is_empty() { Ok(design) } else { Err(Problems::new(table.source.clone(), problems)) }
    }

    fn take(&mut self, line: &SpreadLine, targets: &[&Known], problems: &mut Vec<Problem>) {
        let groups: Vec<Vec<&Known>> =
            if line.shared { vec![targets.to_vec()] } else { targets.iter().map(|t| vec![*t]).collect() };
        let first = self.dimensions.len();
        let (mut widest, mut outside): (f64, f64) = (0.0, 0.0);
        for group in groups {
            let wanted = distribution(line, group[0]);
            let range = physical(&group, line.usage);
            let within = wanted.within(range);
            if line.usage != Usage::Value && group.iter().flat_map(|k| &k.places).any(|p| !p.1.is_finite()) {
                problems.push(Problem::at(
                    line.span.clone(),
                    format!("`{}` has no value in the files that could be changed", group[0].path),
                    "no number to start from",
                    "leave out `use`, so that the draw is the value",
                ));
                continue;
            }
            // Of what the truncation left, the share that cannot be.
            let kept = 1.0 - wanted.cut();
            let lost = if kept > 0.0 { 1.0 - (1.0 - within.cut()) / kept } else { 1.0 };
            if lost > MOST_CUT || within.cut() >= 1.0 {
                problems.push(Problem::at(
                    line.span.clone(),
                    format!(
                        "{:.0} % of the distribution of `{}` lie outside the physical range",
                        100.0 * lost,
                        group[0].path
                    ),
                    format!("allowed: {} to {}", said(range[0]), said(range[1])),
                    format!(
                        "{}, usually {} to {} {}",
                        group[0].meaning, group[0].spread[0], group[0].spread[2], group[0].unit
                    ),
                ));
                continue;
            }
            outside = outside.max(lost);
            widest = widest.max(within.cut());
            self.dimensions.push(Dimension {
                path: if group.len() > 1 { line.path.clone() } else { group[0].path.clone() },
                line: self.lines.len(),
                distribution: within,
                usage: line.usage,
                targets: group.into_iter().cloned().collect(),
            });
        }
        if self.dimensions.len() == first {
            return;
        }
        // One line may stand for inputs of different kinds, each with its own spread.
        let mut said: Vec<String> = Vec::new();
        for dimension in &self.dimensions[first..] {
            let words = words(dimension);
            if !said.contains(&words) {
                said.push(words);
            }
        }
        if outside > LEAST_CUT {
            self.warnings.push(Warning {
                message: format!(
                    "{:.1} % of the distribution of {} lay outside the physical range and were cut",
                    100.0 * outside,
                    line.path
                ),
                advice: "give a narrower distribution, or one that ends where it must".into(),
            });
        }
        let target = targets[0];
        self.lines.push(LineUsed {
            path: line.path.clone(),
            targets: targets.iter().map(|t| t.path.clone()).collect(),
            shared: line.shared,
            distribution: said.join(" / "),
            usage: line.usage.word().to_owned(),
            unit: match line.usage {
                Usage::Factor => "times".into(),
                _ => target.unit.into(),
            },
            tag: match (&line.law, &line.source) {
                (Law::Default, _) => target.tag,
                (_, Some(_)) if line.span == (0..0) => Tag::Assumed,
                _ => Tag::Given,
            },
            source: line.source.clone().unwrap_or_else(|| match line.law {
                Law::Default => target.source.to_owned(),
                Law::Given(..) => "given".to_owned(),
            }),
            cut: widest,
            dimension: first,
        });
    }

    fn correlate(&mut self, table: &SpreadTable, lenient: bool, problems: &mut Vec<Problem>) {
        for line in &table.correlations {
            let mut ends = Vec::new();
            for path in &line.between {
                let own: Vec<usize> = (0..self.dimensions.len())
                    .filter(|d| {
                        let dimension = &self.dimensions[*d];
                        dimension.path == *path || self.lines[dimension.line].path == *path
                    })
                    .collect();
                match own.as_slice() {
                    [one] => ends.push(*one),
                    _ if lenient => {}
                    [] => problems.push(Problem::at(
                        line.span.clone(),
                        format!("the correlation names `{path}`, which is not varied"),
                        "here",
                        "write a line for it, or name one that is there",
                    )),
                    _ => problems.push(Problem::at(
                        line.span.clone(),
                        format!("`{path}` stands for {} draws", own.len()),
                        "here",
                        "name one of them, or give the line shared = true",
                    )),
                }
            }
            if let [a, b] = ends[..] {
                if a == b || self.correlations.iter().any(|c| [c.0, c.1] == [a, b] || [c.1, c.0] == [a, b]) {
                    problems.push(Problem::at(
                        line.span.clone(),
                        "this pair is correlated twice, or with itself",
                        "here",
                        "give each pair once",
                    ));
                } else {
                    self.correlations.push((a, b, line.rank));
                    self.correlation_backing.push((line.tag, line.source));
                }
            }
        }
        match Copula::new(&self.correlations) {
            Ok(copula) => self.copula = copula,
            Err(e) => {
                let span = table.correlations.last().map_or(0..0, |l| l.span.clone());
                problems.push(Problem::at(
                    span,
                    e.to_string(),
                    "the last of them",
                    "weaken one of the correlations, or give the pair that is missing its own",
                ));
            }
        }
    }

    /// Turns a point of the unit cube into draws, one for each dimension.
    pub fn draw(&self, point: &mut [f64]) {
        if let Some(copula) = &self.copula {
            copula.apply(point);
        }
        for (u, dimension) in point.iter_mut().zip(&self.dimensions) {
            *u = dimension.distribution.quantile(*u);
        }
    }

    /// Sets a subject to draws.
    pub fn apply(&self, draws: &[f64], subject: &mut Subject) {
        self.apply_over(draws, &|_| None, subject);
    }

    /// The same where some inputs no longer have the values of their files: `set` gives the present
    /// one of a path.
    pub fn apply_over(&self, draws: &[f64], set: &dyn Fn(&str) -> Option<f64>, subject: &mut Subject) {
        for (draw, dimension) in draws.iter().zip(&self.dimensions) {
            for target in &dimension.targets {
                let present = set(&target.path);
                for (owner, now) in &target.places {
                    let now = present.unwrap_or(*now);
                    let value = match dimension.usage {
                        Usage::Value => *draw,
                        Usage::Factor => now * draw,
                        Usage::Added => now + draw,
                    };
                    subject.set(target, *owner, value, false);
                }
            }
        }
    }

    /// Groups of lines that may be taken as independent of each other: those joined by a correlation
    /// stand together. Each is its path and its dimensions.
    pub fn independent_groups(&self) -> Vec<(String, Vec<usize>)> {
        let mut group: Vec<usize> = (0..self.lines.len()).collect();
        for (a, b, _) in &self.correlations {
            let (a, b) = (self.dimensions[*a].line, self.dimensions[*b].line);
            let (keep, drop) = (group[a].min(group[b]), group[a].max(group[b]));
            group.iter_mut().filter(|g| **g == drop).for_each(|g| *g = keep);
        }
        (0..self.lines.len())
            .filter(|k| group[*k] == *k)
            .map(|k| {
                let own = |line: &usize| group[*line] == k;
                let paths: Vec<&str> = (0..self.lines.len()).filter(own).map(|l| self.lines[l].path.as_str()).collect();
                let dimensions = (0..self.dimensions.len()).filter(|d| own(&self.dimensions[*d].line)).collect();
                (paths.join(" + "), dimensions)
            })
            .collect()
    }
}

// One number that is drawn: its distribution, its physical range, and what it sets.

/// One number that is drawn for each sample.
#[derive(Debug, Clone, PartialEq)]
pub struct Dimension {
    /// Path of what it sets (with `*` when shared).
    pub path: String,
    /// Index of its line.
    pub line: usize,
    /// Its distribution, cut to the physical range.
    pub distribution: Distribution,
    /// How it is used.
    pub(super) usage: Usage,
    /// What it sets.
    pub(super) targets: Vec<Known>,
}

impl Dimension {
    /// Whether it sets anything of a construct, or of the case.
    pub fn concerns(&self, construct: usize) -> bool {
        use super::Owner;
        self.targets.iter().flat_map(|t| &t.places).any(|p| p.0 == Owner::Case || p.0 == Owner::Construct(construct))
    }

    /// How a draw is used, in the word of a file.
    pub fn use_word(&self) -> &'static str {
        self.usage.word()
    }

    /// Unit of a draw.
    pub fn unit(&self) -> &'static str {
        match self.usage {
            Usage::Factor => "times",
            Usage::Value | Usage::Added => self.targets[0].unit,
        }
    }

    /// What a draw is in words, with what it makes of the value.
    pub fn said(&self, value: f64) -> String {
        let target = &self.targets[0];
        if target.path == HINGE {
            return HINGE_STATES.get(value as usize).unwrap_or(&"none").to_string();
        }
        let unit = target.unit;
        match self.usage {
            Usage::Value => format!("{value:.4} {unit}"),
            Usage::Factor => format!("{value:.4} times"),
            Usage::Added => format!("{value:+.4} {unit}"),
        }
    }
}

/// The distribution of an input by its line of the spread.
pub(super) fn distribution(line: &SpreadLine, target: &Known) -> Distribution {
    let free = [f64::NEG_INFINITY, f64::INFINITY];
    match &line.law {
        Law::Given(shape, range) => Distribution::new(shape.clone(), range.unwrap_or(free)),
        Law::Default if target.path == HINGE => {
            Distribution::new(Shape::Discrete { values: vec![0.0, 1.0, 2.0], weights: vec![1.0; 3] }, free)
        }
        Law::Default if target.path.ends_with("_error") => {
            let widest = target.spread[2];
            let shape = Shape::Normal { mean: 0.0, deviation: 0.5 * widest };
            Distribution::new(shape, [-widest, widest])
        }
        Law::Default => {
            let [low, usual, high] = target.spread;
            let now = target.places.iter().map(|p| p.1).find(|v| v.is_finite());
            // A value of the file outside the usual range widens it: it stays the most probable one.
            let mode = now.unwrap_or(usual);
            let (low, high) = (low.min(mode), high.max(mode));
            // The strand and its like may have no width at all in the table.
            let shape = if low < high {
                Shape::Triangular { low, mode, high }
            } else {
                Shape::Discrete { values: vec![low], weights: vec![1.0] }
            };
            Distribution::new(shape, free)
        }
    }
}

/// The range of draws for which every value stays physical.
pub(super) fn physical(targets: &[&Known], usage: Usage) -> [f64; 2] {
    let mut range = [f64::NEG_INFINITY, f64::INFINITY];
    for known in targets {
        let (low, high) = known.allowed;
        for (_, now) in &known.places {
            let own = match usage {
                Usage::Value => [low, high],
                Usage::Added => [low - now, high - now],
                Usage::Factor if *now > 0.0 => [low / now, high / now],
                Usage::Factor => [f64::NEG_INFINITY, f64::INFINITY],
            };
            if own.iter().all(|v| !v.is_nan()) {
                range = [range[0].max(own[0]), range[1].min(own[1])];
            }
        }
    }
    range
}

/// A distribution in words.
pub(super) fn words(dimension: &Dimension) -> String {
    match dimension.distribution.shape() {
        Shape::Discrete { values, weights } if dimension.targets[0].path == HINGE => {
            let total: f64 = weights.iter().sum();
            let list: Vec<String> = values
                .iter()
                .zip(weights)
                .map(|(v, w)| {
                    let state = HINGE_STATES.get(*v as usize).unwrap_or(&"none");
                    format!("{state} {:.0} %", 100.0 * w / total)
                })
                .collect();
            list.join(", ")
        }
        _ => dimension.distribution.to_string(),
    }
}
