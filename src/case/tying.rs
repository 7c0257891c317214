//! Reads the order of ties.

use super::document::{Node, Value};
use super::problems::{Problem, Span};
use super::reader::{Log, Section, wrong_type};
use super::words::{listed, nearest, quoted};
use super::{StopRule, Tag};

/// When a pull ends, in words.
pub(super) const STOPS: [(&str, StopRule); 2] = [
    ("tension", StopRule::Tension),
    ("reduced", StopRule::Reduced),
];

/// A tie as it was written, its limbs as indices.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct RawTie {
    pub limbs: Vec<usize>,
    pub stop: Option<StopRule>,
    pub held: bool,
}

/// The order of ties and the share of tension retained. Without an order the limbs are tied one by
/// one as they stand in the file.
pub(super) fn read_tying(
    root: &mut Section<'_>,
    limbs: &[String],
    log: &mut Log,
) -> (Vec<RawTie>, f64) {
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
            tie.stop = s.word("stop", &STOPS, log);
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
