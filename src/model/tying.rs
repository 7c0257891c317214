//! Reads the order of ties.

use super::document::{Node, Value};
use super::parameters::{Access, rows_of};
use super::problems::Span;
use super::reader::wrong_type;
use super::reader::{Log, Section};
use super::words::{listed, nearest, quoted};
use super::{StopRule, Tag, TyingSpec};

/// When a pull ends, in words.
pub(super) const STOPS: [(&str, StopRule); 2] = [("tension", StopRule::Tension), ("reduced", StopRule::Reduced)];

/// A tie as it was written, its limbs and screws as indices.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct RawTie {
    pub limbs: Vec<usize>,
    pub screws: Vec<usize>,
    pub stop: Option<StopRule>,
    pub held: bool,
}

/// The order of ties and how all are made. Without an order limbs, then screws are tied
/// one by one as they stand in the file.
pub(super) fn read_tying(
    root: &mut Section<'_>,
    limbs: &[String],
    screws: &[String],
    log: &mut Log,
) -> (Vec<RawTie>, TyingSpec) {
    // One list of what an order may name; what stands behind the limbs are the screws.
    let first = limbs.len();
    let known = Known {
        names: &[limbs, screws].concat(),
        what: match (limbs.is_empty(), screws.is_empty()) {
            (_, true) => ["limb", "limbs"],
            (true, false) => ["screw", "screws"],
            (false, false) => ["limb or screw", "limbs and screws"],
        },
    };
    let limbs = known.names;
    let mut s = root.table("tying", log);
    let mut tying = TyingSpec { retained: f64::NAN };
    for row in rows_of("tying") {
        if let Access::Tying(at) = row.access {
            (at.set)(&mut tying, s.number_as(row.key(), row, log));
        }
    }
    let mut ties = Vec::new();
    match s.get("order") {
        None => {
            log.note("tying.order", "one by one, as in the file", "", Tag::Practice, "common practice, no source");
            ties.extend((0..limbs.len()).map(|k| RawTie {
                limbs: vec![k],
                screws: Vec::new(),
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
                    let tie = read_tie(node, &path, &known, &mut seen, log);
                    ties.extend(tie.inspect(|t| check_stop(t, node, first, log)));
                }
                let missed = (0..limbs.len()).filter(|&k| seen[k].is_none());
                let missed: Vec<&str> = missed.map(|k| limbs[k].as_str()).collect();
                if !missed.is_empty() {
                    let hint = if log.problems.len() > before {
                        "perhaps a name above is mistyped".to_owned()
                    } else {
                        known.once()
                    };
                    log.wrong(
                        e.node.span.clone(),
                        format!("the order never ties {}", listed(missed)),
                        "not in this order",
                        hint,
                    );
                }
            }
            _ => wrong_type(
                &e.node,
                "tying.order",
                &format!("a list of {} like [\"a\", [\"b\", \"c\"]]", known.what[1]),
                log,
            ),
        },
    }
    s.done(log);
    for tie in &mut ties {
        let (limbs, screws) = tie.limbs.iter().partition(|k| **k < first);
        tie.limbs = limbs;
        tie.screws = screws;
        tie.screws.iter_mut().for_each(|k| *k -= first);
    }
    (ties, tying)
}

/// What an order may name.
struct Known<'a> {
    names: &'a [String],
    /// One of them, and all of them.
    what: [&'static str; 2],
}

impl Known<'_> {
    fn once(&self) -> String {
        let each = self.what[0].replace(" or ", " and ");
        format!("every {each} stands in the order exactly once")
    }
}

/// A screw draws nothing into place by itself, so nothing says when it has.
fn check_stop(tie: &RawTie, node: &Node, first: usize, log: &mut Log) {
    let alone = !tie.limbs.is_empty() && tie.limbs.iter().all(|k| *k >= first);
    if alone && tie.stop == Some(StopRule::Reduced) {
        log.wrong(
            node.span.clone(),
            "a tie of screws alone cannot stop when the fragment is reduced",
            "no limb in this tie",
            "leave `stop` out, or tie a reducing limb first",
        );
    }
}

fn read_tie(node: &Node, path: &str, known: &Known<'_>, seen: &mut [Option<Span>], log: &mut Log) -> Option<RawTie> {
    let mut tie = RawTie { limbs: Vec::new(), screws: Vec::new(), stop: None, held: false };
    match &node.value {
        Value::Text(_) => tie.limbs.extend(read_name(node, path, known, seen, log)),
        Value::List(_) => read_names(node, path, known, seen, &mut tie, log),
        Value::Table(_) => {
            let mut s = Section::of(node, path, log)?;
            let at = s.at("limbs");
            match s.get("limbs") {
                Some(e) if matches!(e.node.value, Value::Text(_)) => {
                    tie.limbs.extend(read_name(&e.node, &at, known, seen, log));
                }
                Some(e) => read_names(&e.node, &at, known, seen, &mut tie, log),
                None => s.missing("limbs", "limbs = [\"a\", \"b\"]", log),
            }
            tie.stop = s.word("stop", &STOPS, log);
            tie.held = s.flag("held", log).unwrap_or(false);
            s.done(log);
        }
        _ => {
            let wanted = format!("the name of a {}, a list of names or a table", known.what[0]);
            wrong_type(node, path, &wanted, log);
        }
    }
    Some(tie)
}

fn read_names(node: &Node, path: &str, known: &Known<'_>, seen: &mut [Option<Span>], tie: &mut RawTie, log: &mut Log) {
    let Value::List(nodes) = &node.value else {
        let wanted = format!("a list of names of {}", known.what[1]);
        wrong_type(node, path, &wanted, log);
        return;
    };
    if nodes.is_empty() {
        log.wrong(
            node.span.clone(),
            format!("`{path}` names no {}", known.what[0]),
            "empty",
            format!("name at least one {}, or remove it", known.what[0]),
        );
    }
    for n in nodes {
        tie.limbs.extend(read_name(n, path, known, seen, log));
    }
}

fn read_name(node: &Node, path: &str, known: &Known<'_>, seen: &mut [Option<Span>], log: &mut Log) -> Option<usize> {
    let Value::Text(name) = &node.value else {
        wrong_type(node, path, &format!("the name of a {}", known.what[0]), log);
        return None;
    };
    let [what, all_of_them] = known.what;
    let Some(k) = known.names.iter().position(|l| l == name.trim()) else {
        let all = || known.names.iter().map(String::as_str);
        let hint = match nearest(name, all()) {
            Some(near) => format!("did you mean `{near}`?"),
            None => format!("{all_of_them} here: {}", listed(all())),
        };
        log.wrong(
            node.span.clone(),
            format!("`{path}` names `{}`, but there is no such {what}", quoted(name)),
            format!("unknown {what}"),
            hint,
        );
        return None;
    };
    if seen[k].is_some() {
        log.wrong(node.span.clone(), format!("the order ties `{name}` twice"), "again here", known.once());
        return None;
    }
    seen[k] = Some(node.span.clone());
    Some(k)
}
