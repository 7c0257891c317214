//! Reads the `[spread]` table: one line an input, and rank correlations between them.

use super::super::Tag;
use super::super::document::{self, Entry, Node, Value};
use super::super::problems::{Problems, SourceText, Span};
use super::super::reader::{Log, Section, is_word, list, listed, mistyped, nearest, quoted, whole, wrong_type};
use super::known::HINGE_STATES;
use crate::stats::{Shape, normal};
use std::path::Path;

/// Most inputs of a table.
const MOST: usize = 64;
/// The kinds of distribution, in the words of a file.
const KINDS: [&str; 5] = ["normal", "lognormal", "uniform", "triangular", "discrete"];

/// How a draw is used.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Usage {
    /// It is the value.
    Value,
    /// The value of the file is multiplied by it.
    Factor,
    /// It is added to the value of the file.
    Added,
}

/// How a draw is used, in words.
const USAGES: [(&str, Usage); 3] = [("value", Usage::Value), ("factor", Usage::Factor), ("added", Usage::Added)];

impl Usage {
    /// The word for it in a file.
    pub fn word(self) -> &'static str {
        USAGES[self as usize].0
    }
}

/// What an input may be.
#[derive(Debug, Clone, PartialEq)]
pub enum Law {
    /// The program's own spread for this input.
    Default,
    /// A distribution, cut to a range if one is given.
    Given(Shape, Option<[f64; 2]>),
}

/// One line of the table.
#[derive(Debug, Clone, PartialEq)]
pub struct SpreadLine {
    /// Dotted path, with `*` for any name.
    pub path: String,
    /// Where it stands.
    pub span: Span,
    /// What it may be.
    pub law: Law,
    /// How a draw is used.
    pub usage: Usage,
    /// Whether everything that the path stands for shares one draw.
    pub shared: bool,
    /// Where it comes from, in the user's words.
    pub source: Option<String>,
}

/// A rank correlation of two lines.
#[derive(Debug, Clone, PartialEq)]
pub struct CorrelationLine {
    /// Paths of the two lines.
    pub between: [String; 2],
    /// Spearman's coefficient.
    pub rank: f64,
    /// How that is backed.
    pub tag: Tag,
    /// Where it comes from.
    pub source: &'static str,
    /// Where it stands.
    pub span: Span,
}

/// A `[spread]` table.
#[derive(Debug, Clone, PartialEq)]
pub struct SpreadTable {
    /// The file that it stands in.
    pub source: SourceText,
    /// Its inputs.
    pub lines: Vec<SpreadLine>,
    /// Its correlations.
    pub correlations: Vec<CorrelationLine>,
}

impl SpreadTable {
    /// Reads the `[spread]` table of a file of its own.
    ///
    /// # Errors
    /// Every mistake of the file, or why it could not be read.
    pub fn read(path: &Path) -> Result<Self, Problems> {
        Self::from_source(document::read(path)?)
    }

    /// Checks a text with a `[spread]` table; `name` stands for the file in messages.
    ///
    /// # Errors
    /// Every mistake of the text.
    pub fn parse(name: &str, text: &str) -> Result<Self, Problems> {
        Self::from_source(SourceText::new(name, text))
    }

    fn from_source(source: SourceText) -> Result<Self, Problems> {
        let read = whole(source, |root, source, log| {
            let mut root = Section::of(root, "", log)?;
            let table = read_spread(&mut root, source, log);
            if root.get("spread").is_none() {
                let what = "write [spread] with lines like bed.friction = { triangular = [0.3, 0.5, 0.9] }";
                root.missing("spread", what, log);
            }
            root.done(log);
            table
        });
        read.map(|(table, _)| table)
    }
}

/// The `spread` table of a file, if it has one.
pub(in super::super) fn read_spread(root: &mut Section<'_>, source: &SourceText, log: &mut Log) -> Option<SpreadTable> {
    let entry = root.get("spread")?;
    let Value::Table(entries) = &entry.node.value else {
        return mistyped(&entry.node, "spread", "a table", log);
    };
    let mut table = SpreadTable { source: source.clone(), lines: Vec::new(), correlations: Vec::new() };
    for entry in entries {
        if entry.key == "correlation" {
            read_correlations(&entry.node, &mut table, log);
        } else {
            read_entry(entry, "", &mut table, log);
        }
    }
    if table.lines.is_empty() && log.problems.is_empty() {
        log.wrong(
            entry.key_span.clone(),
            "`spread` names no input",
            "empty",
            "a line is like bed.friction = { triangular = [0.3, 0.5, 0.9] }",
        );
    }
    Some(table)
}

/// An input, or a table of inputs whose paths go on.
fn read_entry(entry: &Entry, before: &str, table: &mut SpreadTable, log: &mut Log) {
    let key = entry.key.trim();
    let path = if before.is_empty() { key.to_owned() } else { format!("{before}.{key}") };
    if table.lines.len() == MOST {
        log.wrong(
            entry.key_span.clone(),
            "too many inputs",
            format!("allowed: up to {MOST}"),
            "leave out those that matter least, or share one draw with `*`",
        );
        return;
    }
    let line = match &entry.node.value {
        Value::Text(word) if is_word(word, "default") => Some(SpreadLine {
            path,
            span: entry.key_span.clone(),
            law: Law::Default,
            usage: Usage::Value,
            shared: false,
            source: None,
        }),
        Value::Table(inner) => {
            // A table without any word of a distribution is a table of inputs, as in a case.
            if !inner.is_empty() && !inner.iter().any(|e| is_leaf_word(&e.key)) {
                for e in inner {
                    read_entry(e, &path, table, log);
                }
                return;
            }
            read_line(entry, &path, log)
        }
        _ => log.refuse(
            entry.node.span.clone(),
            format!("`{path}` is {}, not a distribution", entry.node.kind()),
            "allowed: a table, or \"default\"",
            match nearest(&entry.key, KINDS) {
                Some(kind) => format!("did you mean the distribution `{kind}`?"),
                None => {
                    "write { triangular = [low, most probable, high] }, { normal = { mean = …, sd = … } } or another"
                        .to_owned()
                }
            },
        ),
    };
    table.lines.extend(line);
}

fn is_leaf_word(key: &str) -> bool {
    KINDS.contains(&key) || ["truncate", "use", "shared", "source"].contains(&key)
}

fn read_line(entry: &Entry, path: &str, log: &mut Log) -> Option<SpreadLine> {
    let mut s = Section::of(&entry.node, path, log)?;
    let before = log.problems.len();
    let usage = s.word("use", &USAGES, log).unwrap_or(Usage::Value);
    let shared = s.flag("shared", log).unwrap_or(false);
    let source = s.text("source", 200, log);
    let truncate = match s.get("truncate") {
        None => None,
        Some(e) => numbers::<2>(&e.node, &s.at("truncate"), "two numbers [low, high]", log).filter(|[low, high]| {
            if low >= high {
                log.wrong(
                    e.node.span.clone(),
                    format!("`{path}` is cut to {low} to {high}, which leaves nothing"),
                    "low must be below high",
                    "write truncate = [low, high]",
                );
            }
            low < high
        }),
    };
    let mut shapes = Vec::new();
    let given: Vec<&Entry> = KINDS.iter().filter_map(|kind| s.get(kind)).collect();
    if given.len() != 1 {
        log.wrong(
            entry.key_span.clone(),
            format!("`{path}` has {} distributions, not one", given.len()),
            "one here",
            format!("one of {}", listed(KINDS)),
        );
    }
    for e in given {
        let at = format!("{path}.{}", e.key);
        if let Some(shape) = read_shape(e, &at, log) {
            match shape.fault() {
                Some(fault) => log.wrong(
                    e.node.span.clone(),
                    format!("`{at}`: {fault}"),
                    "impossible",
                    "give numbers that a distribution can have",
                ),
                None => shapes.push(shape),
            }
        }
    }
    s.done(log);
    let shape = shapes.pop()?;
    (log.problems.len() == before).then(|| SpreadLine {
        path: path.to_owned(),
        span: entry.key_span.clone(),
        law: Law::Given(shape, truncate),
        usage,
        shared,
        source,
    })
}

fn read_correlations(node: &Node, table: &mut SpreadTable, log: &mut Log) {
    let form = "a list of [\"path\", \"path\", coefficient]";
    let Value::List(nodes) = &node.value else {
        wrong_type(node, "spread.correlation", form, log);
        return;
    };
    for (k, node) in nodes.iter().enumerate() {
        let at = format!("spread.correlation[{}]", k + 1);
        let parts = match &node.value {
            Value::List(parts) => parts.iter().map(|p| &p.value).collect(),
            _ => Vec::new(),
        };
        let [Value::Text(a), Value::Text(b), Value::Number(rank)] = parts.as_slice() else {
            wrong_type(node, &at, form, log);
            continue;
        };
        if rank.is_nan() || rank.abs() >= 1.0 {
            log.wrong(
                node.span.clone(),
                format!("`{at}` is a rank correlation of {rank}"),
                "allowed: above -1 and below 1",
                "inputs that always go together are one input: use `*` and shared = true",
            );
            continue;
        }
        table.correlations.push(CorrelationLine {
            between: [a.trim().to_owned(), b.trim().to_owned()],
            rank: *rank,
            tag: Tag::Given,
            source: "given",
            span: node.span.clone(),
        });
    }
}

// Reads a distribution of a `[spread]` table.

/// The distribution of an entry by its kind.
pub(super) fn read_shape(entry: &Entry, at: &str, log: &mut Log) -> Option<Shape> {
    let node = &entry.node;
    match entry.key.as_str() {
        "uniform" => {
            let [low, high] = numbers(node, at, "two numbers [low, high]", log)?;
            Some(Shape::Uniform { low, high })
        }
        "triangular" => {
            let [low, mode, high] = numbers(node, at, "three numbers [low, most probable, high]", log)?;
            Some(Shape::Triangular { low, mode, high })
        }
        "discrete" => read_discrete(node, at, log),
        kind => {
            let mut s = Section::of(node, at, log)?;
            let mut get = |key: &'static str, log: &mut Log| {
                let path = s.at(key);
                let entry = s.get(key)?;
                finite(&entry.node, &path, log)
            };
            let normal = kind == "normal";
            let (first, second) =
                if normal { (get("mean", log), get("sd", log)) } else { (get("median", log), get("cv", log)) };
            let range = (get("low", log), get("high", log));
            s.done(log);
            // From 5 % to 95 % there are twice 1.645 standard deviations.
            let wide = 2.0 * normal::quantile(0.95);
            match (first, second, range) {
                (Some(mean), Some(deviation), (None, None)) if normal => Some(Shape::Normal { mean, deviation }),
                (Some(median), Some(cv), (None, None)) => {
                    Some(Shape::Lognormal { median, sigma: if cv > 0.0 { libm::log1p(cv * cv).sqrt() } else { cv } })
                }
                (None, None, (Some(low), Some(high))) if normal => {
                    Some(Shape::Normal { mean: 0.5 * (low + high), deviation: (high - low) / wide })
                }
                (None, None, (Some(low), Some(high))) if low > 0.0 => {
                    Some(Shape::Lognormal { median: (low * high).sqrt(), sigma: libm::log(high / low) / wide })
                }
                _ => log.refuse(
                    node.span.clone(),
                    format!("`{at}` is not complete"),
                    "here",
                    if normal {
                        "write { mean = …, sd = … }, or { low = …, high = … } for 5 and 95 %"
                    } else {
                        "write { median = …, cv = … }, or { low = …, high = … } for 5 and 95 %, both above zero"
                    },
                ),
            }
        }
    }
}

/// Weights of the words of a hinge, or pairs of value and weight.
fn read_discrete(node: &Node, at: &str, log: &mut Log) -> Option<Shape> {
    let mut pairs: Vec<(f64, f64)> = Vec::new();
    match &node.value {
        Value::Table(entries) => {
            for e in entries {
                let Some(state) = HINGE_STATES.iter().position(|s| is_word(&e.key, s)) else {
                    return log.refuse(
                        e.key_span.clone(),
                        format!("`{}` is no state of a hinge", quoted(&e.key)),
                        "unknown",
                        format!("one of {}; numbers are written as pairs [[value, weight], …]", listed(HINGE_STATES)),
                    );
                };
                pairs.push((state as f64, finite(&e.node, at, log)?));
            }
        }
        Value::List(nodes) => {
            for node in nodes {
                let [value, weight] = numbers(node, at, "pairs [value, weight]", log)?;
                pairs.push((value, weight));
            }
        }
        _ => {
            return mistyped(node, at, "weights of states, or pairs [value, weight]", log);
        }
    }
    pairs.sort_by(|a, b| a.0.total_cmp(&b.0));
    let (values, weights) = pairs.into_iter().unzip();
    Some(Shape::Discrete { values, weights })
}

/// A list of so many finite numbers.
pub(super) fn numbers<const N: usize>(node: &Node, at: &str, form: &str, log: &mut Log) -> Option<[f64; N]> {
    let nodes = list(node, at, form, log)?;
    if nodes.len() != N {
        return log.refuse(
            node.span.clone(),
            format!("`{at}` has {} numbers, not {N}", nodes.len()),
            format!("allowed: {form}"),
            format!("write {form}"),
        );
    }
    let mut values = [0.0; N];
    for (value, node) in values.iter_mut().zip(nodes) {
        *value = finite(node, at, log)?;
    }
    Some(values)
}

fn finite(node: &Node, at: &str, log: &mut Log) -> Option<f64> {
    match node.value {
        Value::Number(value) if value.is_finite() => Some(value),
        Value::Number(value) => log.refuse(
            node.span.clone(),
            format!("`{at}` is {value}, not a finite number"),
            "allowed: finite numbers",
            "write a number",
        ),
        _ => mistyped(node, at, "a number", log),
    }
}

// The spread that is taken when nobody gives one.

/// Inputs that take their spread from the table of parameters: triangular from its low to its high
/// end, most probable at the value of the file. Everything that moves the answers and that nobody
/// measures in a patient.
const FROM_TABLE: [&str; 26] = [
    "bed.friction",
    "bed.normal_stiffness",
    "bed.shear_stiffness",
    "envelope.shift_stiffness",
    "envelope.turn_stiffness",
    "tether.*.stiffness",
    "tether.*.slack",
    "friction.rim",
    "friction.labrum",
    "bite.stiffness",
    "limb.*.knot_slack",
    "strand.*.rigidity",
    "anchor-class.*.stiffness",
    "bed.crush_strength",
    "bed.asperity_angle",
    "bed.asperity_height",
    "bite.stiffening",
    "bite.strength",
    "anchor-class.*.set",
    "settling.bite_kept",
    "settling.bite_set",
    "settling.set_growth",
    "settling.knot_growth",
    "settling.clamp_growth",
    "screw.*.preload",
    "screw.*.foundation",
];

/// The built-in spread. Lines that stand for nothing in a case and its constructs are left out of a
/// run without a word.
pub fn default_spread() -> SpreadTable {
    let line = |path: &str, law: Law, usage: Usage, source: &str| SpreadLine {
        path: path.to_owned(),
        span: 0..0,
        law,
        usage,
        shared: false,
        source: (!source.is_empty()).then(|| source.to_owned()),
    };
    let given = |shape: Shape, range: [f64; 2]| Law::Given(shape, Some(range));
    let normal = |deviation: f64, widest: f64| given(Shape::Normal { mean: 0.0, deviation }, [-widest, widest]);
    let mut lines = vec![
        // A user measures these; how far two readers differ is not known.
        line("fragment.width", normal(0.5, 1.5), Usage::Added, "reading of CT, assumed"),
        line("fragment.depth", normal(1.0, 2.5), Usage::Added, "reading of CT, assumed"),
        line("fragment.tilt", normal(3.0, 8.0), Usage::Added, "reading of CT, assumed"),
        line(
            "limb.*.tension",
            given(Shape::Lognormal { median: 1.0, sigma: libm::log1p(0.35f64 * 0.35).sqrt() }, [0.4, 2.0]),
            Usage::Factor,
            "operators tying one task vary by CV 25–56 %, JAVMA 2002;220:334 (seen); 35 % chosen",
        ),
        line("anchor.*.along_error", Law::Default, Usage::Value, ""),
        line("anchor.*.across_error", Law::Default, Usage::Value, ""),
    ];
    lines.extend(FROM_TABLE.map(|path| line(path, Law::Default, Usage::Value, "")));
    // Strand on cartilage and on labrum is the same strand: one doubt.
    let correlation = CorrelationLine {
        between: ["friction.rim".into(), "friction.labrum".into()],
        rank: 0.8,
        tag: Tag::Assumed,
        source: "one strand on both: strong, not whole; the number is our choice",
        span: 0..0,
    };
    SpreadTable { source: SourceText::new("built-in spread", ""), lines, correlations: vec![correlation] }
}
