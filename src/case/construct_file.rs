//! Reads a construct, as far as it can be checked without a case.

use super::document::{self, Node, Value};
use super::parameters::row;
use super::path::{RawLimb, read_limb};
use super::places::{At, place};
use super::problems::{Problem, Problems, SourceText, Span};
use super::reader::{Log, Section, listed, nearest, quoted, wrong_type};
use super::settings::Settings;
use super::{Fixing, StopRule, Tag, Taken, builtin};
use crate::anatomy::Place;
use std::path::Path;

/// Most anchors, and most limbs.
const MOST: usize = 24;
/// Root keys that only a case has.
const OF_A_CASE: [&str; 10] = [
    "side",
    "socket",
    "fragment",
    "bed",
    "envelope",
    "tether",
    "load",
    "displaced",
    "seat",
    "anchors",
];
/// Words in a path that no anchor may bear.
const RESERVED: [&str; 5] = ["rim", "margin", "bite", "over", "eyelet"];

/// A construct file that is right in itself: it can be tried on any case with
/// [`ConstructFile::fit`], which puts its places on that case's bone.
#[derive(Debug, Clone, PartialEq)]
pub struct ConstructFile {
    /// Name (file stem, or `name` in the file).
    pub name: String,
    /// Free description from the file.
    pub description: String,
    /// Its text, for messages.
    pub source: SourceText,
    pub(super) anchors: Vec<RawAnchor>,
    pub(super) limbs: Vec<RawLimb>,
    pub(super) ties: Vec<RawTie>,
    pub(super) retained: f64,
    pub(super) settings: Settings,
    pub(super) taken: Vec<Taken>,
}

/// An anchor as it was written.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct RawAnchor {
    pub name: String,
    pub span: Span,
    pub place: At<Place>,
    pub class: At<String>,
    pub stiffness: Option<Option<f64>>,
    pub holding: Option<f64>,
}

/// A tie as it was written, its limbs as indices.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct RawTie {
    pub limbs: Vec<usize>,
    pub stop: Option<StopRule>,
    pub held: bool,
}

impl ConstructFile {
    /// Reads and checks a construct file.
    ///
    /// # Errors
    /// Every mistake of the file, or why it could not be read.
    pub fn read(path: &Path) -> Result<Self, Problems> {
        Self::from_source(document::read(path)?, &builtin::stem(path))
    }

    /// Checks the text of a construct; `name` stands for the file in messages and, without a
    /// directory and an ending, for the construct when the text gives no `name`.
    ///
    /// # Errors
    /// Every mistake of the text.
    pub fn parse(name: &str, text: &str) -> Result<Self, Problems> {
        Self::from_source(SourceText::new(name, text), &builtin::stem(Path::new(name)))
    }

    /// A construct by its argument: a path first, otherwise the name of a built-in construct.
    ///
    /// # Errors
    /// As [`ConstructFile::read`]; a name that is neither is a missing file, with the built-in
    /// names.
    pub fn open(argument: &str) -> Result<Self, Problems> {
        let (source, stem) = builtin::resolve(argument, builtin::CONSTRUCTS)?;
        Self::from_source(source, &stem)
    }

    fn from_source(source: SourceText, stem: &str) -> Result<Self, Problems> {
        let (root, doubled) = document::parse(&source)?;
        let mut log = Log {
            problems: doubled,
            ..Log::default()
        };
        let file = read_construct(&root, &source, stem, &mut log);
        match file {
            Some(mut file) if log.problems.is_empty() => {
                file.taken = log.taken;
                Ok(file)
            }
            _ => Err(Problems::new(source, log.problems)),
        }
    }
}

fn read_construct(
    root: &Node,
    source: &SourceText,
    stem: &str,
    log: &mut Log,
) -> Option<ConstructFile> {
    let mut root = Section::of(root, "", log)?;
    let name = root.name(log).unwrap_or_else(|| stem.into());
    let description = root.description(log);
    let mut names = Vec::new();
    let mut anchors = Vec::new();
    for (name, span, section) in root.named("anchor", MOST, log) {
        names.push(name.clone());
        anchors.extend(read_anchor(name, span, section, log));
    }
    if names.is_empty() {
        root.missing("anchor", "add [anchor.NAME] with `at` and `class`", log);
    }
    let mut limb_names = Vec::new();
    let mut limbs = Vec::new();
    for (name, span, section) in root.named("limb", MOST, log) {
        limb_names.push(name.clone());
        limbs.extend(read_limb(name, span, section, &names, log));
    }
    if limb_names.is_empty() {
        root.missing("limb", "add [limb.NAME] with its `path`", log);
    }
    let (ties, retained) = read_tying(&mut root, &limb_names, log);
    let settings = Settings::read(&mut root, log);
    root.finish((&OF_A_CASE, "case"), log);
    Some(ConstructFile {
        name,
        description,
        source: source.clone(),
        anchors,
        limbs,
        ties,
        retained,
        settings,
        taken: Vec::new(),
    })
}

fn read_anchor(name: String, span: Span, mut s: Section<'_>, log: &mut Log) -> Option<RawAnchor> {
    if RESERVED.contains(&name.as_str()) {
        log.push(
            Problem::at(
                span.clone(),
                format!("an anchor cannot be called `{name}`"),
                "a word of paths",
            )
            .hint(format!(
                "in a path, {} have a meaning of their own",
                listed(RESERVED)
            )),
        );
    }
    let at = s.at("at");
    let place = match s.get("at") {
        Some(e) => place(&e.node, &at, log),
        None => {
            s.missing(
                "at",
                "a place like { face = { along = \"-10 %\", inset = 2.5 } }",
                log,
            );
            None
        }
    };
    let class = class_of(&mut s, "class", "all-suture", "taken for granted", log);
    let path = s.at("stiffness");
    let stiffness = match s.get("stiffness") {
        Some(e) if matches!(&e.node.value, Value::Text(t) if t.trim() == "rigid") => Some(None),
        Some(e) if matches!(e.node.value, Value::Text(_)) => {
            wrong_type(&e.node, &path, "a number or \"rigid\"", log);
            None
        }
        _ => s
            .number_if("stiffness", row("anchor-class.*.stiffness"), log)
            .map(Some),
    };
    let holding = s.number_if("holding", row("anchor-class.*.holding"), log);
    s.done(log);
    Some(RawAnchor {
        name,
        span,
        place: place?,
        class,
        stiffness,
        holding,
    })
}

/// The name of a class, or its default, recorded.
pub(super) fn class_of(
    s: &mut Section<'_>,
    key: &'static str,
    default: &str,
    source: &str,
    log: &mut Log,
) -> At<String> {
    let path = s.at(key);
    match s.get(key) {
        Some(e) => At {
            span: e.node.span.clone(),
            value: s.text(key, 40, log).unwrap_or_default(),
        },
        None => {
            log.note(&path, default, "", Tag::Assumed, source);
            At {
                span: s.span.clone(),
                value: default.into(),
            }
        }
    }
}

/// The order of ties and the share of tension retained. Without an order the limbs are tied one by
/// one as they stand in the file.
fn read_tying(root: &mut Section<'_>, limbs: &[String], log: &mut Log) -> (Vec<RawTie>, f64) {
    let mut s = root.table("tying", log);
    let retained = s.number("retained", log);
    let mut ties = Vec::new();
    match s.get("order") {
        None => {
            log.note(
                "tying.order",
                "one by one, as in the file",
                "",
                Tag::Practice,
                "common practice, no source",
            );
            ties.extend((0..limbs.len()).map(|k| RawTie {
                limbs: vec![k],
                stop: None,
                held: false,
            }));
        }
        Some(e) => match &e.node.value {
            Value::List(nodes) => {
                let mut seen: Vec<Option<Span>> = vec![None; limbs.len()];
                let before = log.problems.len();
                for (k, node) in nodes.iter().enumerate() {
                    let path = format!("tying.order[{}]", k + 1);
                    ties.extend(read_tie(node, &path, limbs, &mut seen, log));
                }
                let missed = (0..limbs.len()).filter(|&k| seen[k].is_none());
                let missed: Vec<&str> = missed.map(|k| limbs[k].as_str()).collect();
                if !missed.is_empty() {
                    let hint = if log.problems.len() > before {
                        "perhaps a name above is mistyped"
                    } else {
                        "every limb stands in the order exactly once"
                    };
                    log.push(
                        Problem::at(
                            e.node.span.clone(),
                            format!("the order never ties {}", listed(missed)),
                            "not in this order",
                        )
                        .hint(hint),
                    );
                }
            }
            _ => wrong_type(
                &e.node,
                "tying.order",
                "a list of limbs like [\"a\", [\"b\", \"c\"]]",
                log,
            ),
        },
    }
    s.done(log);
    (ties, retained)
}

fn read_tie(
    node: &Node,
    path: &str,
    limbs: &[String],
    seen: &mut [Option<Span>],
    log: &mut Log,
) -> Option<RawTie> {
    let mut tie = RawTie {
        limbs: Vec::new(),
        stop: None,
        held: false,
    };
    match &node.value {
        Value::Text(_) => tie.limbs.extend(read_name(node, path, limbs, seen, log)),
        Value::List(_) => read_names(node, path, limbs, seen, &mut tie, log),
        Value::Table(_) => {
            let mut s = Section::of(node, path, log)?;
            let at = s.at("limbs");
            match s.get("limbs") {
                Some(e) if matches!(e.node.value, Value::Text(_)) => {
                    tie.limbs.extend(read_name(&e.node, &at, limbs, seen, log));
                }
                Some(e) => read_names(&e.node, &at, limbs, seen, &mut tie, log),
                None => s.missing("limbs", "limbs = [\"a\", \"b\"]", log),
            }
            tie.stop = s.word(
                "stop",
                &[
                    ("tension", StopRule::Tension),
                    ("reduced", StopRule::Reduced),
                ],
                log,
            );
            tie.held = s.flag("held", log).unwrap_or(false);
            s.done(log);
        }
        _ => wrong_type(node, path, "a limb's name, a list of names or a table", log),
    }
    Some(tie)
}

fn read_names(
    node: &Node,
    path: &str,
    limbs: &[String],
    seen: &mut [Option<Span>],
    tie: &mut RawTie,
    log: &mut Log,
) {
    let Value::List(nodes) = &node.value else {
        wrong_type(node, path, "a list of limbs' names", log);
        return;
    };
    if nodes.is_empty() {
        log.push(
            Problem::at(
                node.span.clone(),
                format!("`{path}` names no limb"),
                "empty",
            )
            .hint("name at least one limb, or remove it"),
        );
    }
    for n in nodes {
        tie.limbs.extend(read_name(n, path, limbs, seen, log));
    }
}

fn read_name(
    node: &Node,
    path: &str,
    limbs: &[String],
    seen: &mut [Option<Span>],
    log: &mut Log,
) -> Option<usize> {
    let Value::Text(name) = &node.value else {
        wrong_type(node, path, "a limb's name", log);
        return None;
    };
    let Some(k) = limbs.iter().position(|l| l == name) else {
        let known = || limbs.iter().map(String::as_str);
        let hint = match nearest(name, known()) {
            Some(near) => format!("did you mean `{near}`?"),
            None => format!("limbs here: {}", listed(known())),
        };
        log.push(
            Problem::at(
                node.span.clone(),
                format!(
                    "`{path}` names `{}`, but there is no such limb",
                    quoted(name)
                ),
                "unknown limb",
            )
            .hint(hint),
        );
        return None;
    };
    if seen[k].is_some() {
        log.push(
            Problem::at(
                node.span.clone(),
                format!("the order ties `{name}` twice"),
                "again here",
            )
            .hint("every limb stands in the order exactly once"),
        );
        return None;
    }
    seen[k] = Some(node.span.clone());
    Some(k)
}

/// How a limb is finished when it does not say: what shares one anchor or is closed is knotted, a
/// bridge is clamped.
pub(super) fn default_fixing(knotted: bool) -> Fixing {
    if knotted {
        Fixing::Knot
    } else {
        Fixing::Knotless
    }
}
