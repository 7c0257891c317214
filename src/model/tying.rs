//! Reads the order of ties.

use super::document::{Node, Value};
use super::problems::{Problem, Problems, SourceText, Span};
use super::reader::{Log, Section, listed, meant, quoted, text, wrong_type};
use super::{Construct, LimbSpec, Stop, StopRule, TieSpec, document};
use std::path::Path;

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
pub(super) fn read_tying(root: &mut Section<'_>, limbs: &[String], screws: &[String], log: &mut Log) -> Vec<RawTie> {
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
    let mut ties = Vec::new();
    match s.get("order") {
        None => {
            log.practice("tying.order", "one by one, as in the file");
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
    ties
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
    let name = text(node, path, &format!("the name of a {}", known.what[0]), log)?;
    let [what, all_of_them] = known.what;
    let Some(k) = known.names.iter().position(|l| l == name.trim()) else {
        let all = || known.names.iter().map(String::as_str);
        let hint = meant(name, all()).unwrap_or_else(|| format!("{all_of_them} here: {}", listed(all())));
        return log.refuse(
            node.span.clone(),
            format!("`{path}` names `{}`, but there is no such {what}", quoted(name)),
            format!("unknown {what}"),
            hint,
        );
    };
    if seen[k].is_some() {
        return log.refuse(node.span.clone(), format!("the order ties `{name}` twice"), "again here", known.once());
    }
    seen[k] = Some(node.span.clone());
    Some(k)
}

// Reads a list of tying orders: one a line, ties parted by commas.
//
// ```text
// # comments run to the end of the line; empty lines count for nothing
// inferior-loop, bridge-lower, superior-loop
// bridge-lower+bridge-upper, inferior-loop, superior-loop
// ```
//
// A tie of several limbs or screws is named by any of them, or by several joined with `+`, in any order. Every
// order names every tie of the construct exactly once.

/// What the orders given on the command line are called in messages: one a line.
const TYPED: &str = "--order";

impl Construct {
    /// The orders in a file, each as indices of this construct's ties.
    ///
    /// # Errors
    /// Every mistake of the file with its place, or why it could not be read.
    pub fn read_orders(&self, path: &Path) -> Result<Vec<Vec<usize>>, Problems> {
        self.orders_of(document::read(path)?, true)
    }

    /// The orders as typed, one a text.
    ///
    /// # Errors
    /// Every mistake; its line counts the texts.
    pub fn parse_orders(&self, typed: &[String]) -> Result<Vec<Vec<usize>>, Problems> {
        let one_line = |order: &String| order.replace(['\n', '\r'], " ");
        let lines: Vec<String> = typed.iter().map(one_line).collect();
        self.orders_of(SourceText::new(TYPED, &lines.join("\n")), false)
    }

    fn orders_of(&self, source: SourceText, is_file: bool) -> Result<Vec<Vec<usize>>, Problems> {
        let mut list = List { construct: self, orders: Vec::new(), lines: Vec::new(), problems: Vec::new() };
        let text = source.text.clone();
        let mut start = 0;
        for (k, line) in text.split('\n').enumerate() {
            let order = match line.find('#') {
                Some(comment) if is_file => &line[..comment],
                _ => line,
            };
            if !(is_file && order.trim().is_empty()) {
                list.read(order, start, k + 1);
            }
            start += line.len() + 1;
        }
        if list.orders.is_empty() && list.problems.is_empty() {
            list.problems
                .push(Problem::whole("no order stands here", format!("write one a line, like: {}", self.written())));
        }
        if list.problems.is_empty() { Ok(list.orders) } else { Err(Problems::new(source, list.problems)) }
    }

    /// The construct's own order as it would be written.
    fn written(&self) -> String {
        let names: Vec<String> = self.ties.iter().map(|tie| self.tie_name(tie)).collect();
        names.join(", ")
    }

    /// Limbs and screws of a tie, joined by `+`.
    fn tie_name(&self, tie: &TieSpec) -> String {
        self.names_of(tie).join("+")
    }
}

/// Orders read so far, with the lines they stand in.
struct List<'a> {
    construct: &'a Construct,
    orders: Vec<Vec<usize>>,
    lines: Vec<usize>,
    problems: Vec<Problem>,
}

impl List<'_> {
    /// Reads a line that begins at byte `start`.
    fn read(&mut self, line: &str, start: usize, number: usize) {
        let before = self.problems.len();
        let lead = line.len() - line.trim_start().len();
        let whole = start + lead..start + line.trim_end().len().max(lead);
        let mut order: Vec<usize> = Vec::new();
        let mut at = start;
        for item in line.split(',') {
            if let Some(tie) = self.tie(item, at) {
                if order.contains(&tie) {
                    let name = self.construct.tie_name(&self.construct.ties[tie]);
                    self.problems.push(Problem::at(
                        trimmed(item, at),
                        format!("the order ties `{name}` twice"),
                        "again here",
                        "every tie stands in an order exactly once",
                    ));
                } else {
                    order.push(tie);
                }
            }
            at += item.len() + 1;
        }
        let missed: Vec<String> = (0..self.construct.ties.len())
            .filter(|tie| !order.contains(tie))
            .map(|tie| self.construct.tie_name(&self.construct.ties[tie]))
            .collect();
        if !missed.is_empty() {
            let hint = if self.problems.len() > before {
                "perhaps a name in it is mistyped".to_owned()
            } else {
                format!("every tie once, like: {}", self.construct.written())
            };
            self.problems.push(Problem::at(
                whole,
                format!("the order never ties {}", listed(missed.iter().map(String::as_str))),
                "not in this order",
                hint,
            ));
        } else if let Some(k) = self.orders.iter().position(|o| *o == order) {
            self.problems.push(Problem::at(
                whole,
                format!("this order stands already in line {}", self.lines[k]),
                "again here",
                "leave one of them out",
            ));
        } else if self.problems.len() == before {
            self.orders.push(order);
            self.lines.push(number);
        }
    }

    /// The tie that an item names.
    fn tie(&mut self, item: &str, start: usize) -> Option<usize> {
        let construct = self.construct;
        let mut found: Option<usize> = None;
        let mut sound = true;
        let mut at = start;
        for part in item.split('+') {
            let (name, span) = (part.trim(), trimmed(part, at));
            at += part.len() + 1;
            let holds = |t: &TieSpec| construct.names_of(t).contains(&name);
            let lettered = |t: &usize| letter(*t) == name;
            let named = construct.ties.iter().position(holds);
            let Some(tie) = named.or_else(|| (0..construct.ties.len()).find(lettered)) else {
                self.unknown(name, span);
                sound = false;
                continue;
            };
            match found {
                Some(other) if other != tie => {
                    self.problems.push(Problem::at(
                        span,
                        format!("`{name}` is not tied together with what stands before it"),
                        "another tie",
                        format!(
                            "`{name}` belongs to the tie {}; its construct says which limbs are pulled \
                             together",
                            construct.tie_name(&construct.ties[tie])
                        ),
                    ));
                    sound = false;
                }
                _ => found = Some(tie),
            }
        }
        found.filter(|_| sound)
    }

    fn unknown(&mut self, name: &str, span: Span) {
        let construct = self.construct;
        let known = || {
            let limbs = construct.limbs.iter().map(|l| l.name.as_str());
            limbs.chain(construct.screws.iter().map(|s| s.name.as_str()))
        };
        let what = if construct.screws.is_empty() { "limb" } else { "limb or screw" };
        let problem = if name.is_empty() {
            Problem::at(
                span,
                format!("no {what} is named here"),
                "empty",
                format!("ties are parted by one comma; known here: {}", listed(known())),
            )
        } else {
            let hint = meant(name, known()).unwrap_or_else(|| format!("known here: {}", listed(known())));
            Problem::at(
                span,
                format!("`{}` is no {what} of {}", quoted(name), construct.name),
                format!("unknown {what}"),
                hint,
            )
        };
        self.problems.push(problem);
    }
}

/// The letter of a tie, by its place in the construct's own order: A, B, …, Z, AA, AB, …
pub(crate) fn letter(k: usize) -> String {
    let own = char::from(b'A' + (k % 26) as u8);
    if k < 26 { own.to_string() } else { format!("{}{own}", letter(k / 26 - 1)) }
}

/// The stretch of a part without the spaces round it; of nothing but spaces the whole.
fn trimmed(part: &str, start: usize) -> Span {
    let lead = part.len() - part.trim_start().len();
    if lead == part.len() {
        return start..start + part.len();
    }
    start + lead..start + part.trim_end().len()
}

// Ties of several limbs taken apart.

/// How ties are taken apart.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[cfg_attr(feature = "cli", derive(clap::ValueEnum))]
pub enum Split {
    /// Limbs of a tie whose tie ends sit in different anchors are tied one anchor after the other:
    /// a clamp fixes all limbs in its anchor at once.
    Anchor,
    /// Every limb and every screw alone.
    Limb,
}

impl Construct {
    /// The construct with its ties of several limbs taken apart, the parts in the order in which
    /// their first limbs stand in the tie, each with the tie's stop rule; then its screws, each alone.
    #[must_use]
    pub fn split(&self, by: Split) -> Self {
        let mut split = self.clone();
        split.ties = self.ties.iter().flat_map(|tie| self.parts(tie, by)).collect();
        split
    }

    fn parts(&self, tie: &TieSpec, by: Split) -> Vec<TieSpec> {
        let mut parts: Vec<TieSpec> = Vec::new();
        for &k in &tie.limbs {
            let end = tie_end(&self.limbs[k]);
            let same = |part: &&mut TieSpec| {
                by == Split::Anchor && end.is_some() && part.limbs.iter().all(|l| tie_end(&self.limbs[*l]) == end)
            };
            match parts.iter_mut().find(same) {
                Some(part) => part.limbs.push(k),
                None => parts.push(TieSpec { limbs: vec![k], screws: Vec::new(), ..tie.clone() }),
            }
        }
        parts.extend(tie.screws.iter().map(|&k| TieSpec {
            limbs: Vec::new(),
            screws: vec![k],
            stop: StopRule::Tension,
            held: tie.held,
        }));
        parts
    }
}

/// The anchor in which a limb's tie end sits; a closed strand has none.
fn tie_end(limb: &LimbSpec) -> Option<usize> {
    match limb.path.last() {
        Some(Stop::Anchor { index, .. }) if !limb.closed => Some(*index),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    #[test]
    fn letters_go_on_after_z() {
        let words: Vec<String> = [0, 25, 26, 27, 51, 52].map(super::letter).to_vec();
        assert_eq!(words, ["A", "Z", "AA", "AB", "AZ", "BA"]);
    }
}
