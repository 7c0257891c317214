//! Reads a list of tying orders: one a line, ties parted by commas.
//!
//! ```text
//! # comments run to the end of the line; empty lines count for nothing
//! inferior-loop, bridge-lower, superior-loop
//! bridge-lower+bridge-upper, inferior-loop, superior-loop
//! ```
//!
//! A tie of several limbs or screws is named by any of them, or by several joined with `+`, in any order. Every
//! order names every tie of the construct exactly once.

use super::document;
use super::problems::{Problem, Problems, SourceText, Span};
use super::words::{listed, nearest, quoted};
use super::{Construct, TieSpec};
use std::path::Path;

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
                    self.problems.push(
                        Problem::at(trimmed(item, at), format!("the order ties `{name}` twice"), "again here")
                            .hint("every tie stands in an order exactly once"),
                    );
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
            self.problems.push(
                Problem::at(
                    whole,
                    format!("the order never ties {}", listed(missed.iter().map(String::as_str))),
                    "not in this order",
                )
                .hint(hint),
            );
        } else if let Some(k) = self.orders.iter().position(|o| *o == order) {
            self.problems.push(
                Problem::at(whole, format!("this order stands already in line {}", self.lines[k]), "again here")
                    .hint("leave one of them out"),
            );
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
                    self.problems.push(
                        Problem::at(
                            span,
                            format!("`{name}` is not tied together with what stands before it"),
                            "another tie",
                        )
                        .hint(format!(
                            "`{name}` belongs to the tie {}; its construct says which limbs are pulled \
                             together",
                            construct.tie_name(&construct.ties[tie])
                        )),
                    );
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
            Problem::at(span, format!("no {what} is named here"), "empty")
                .hint(format!("ties are parted by one comma; known here: {}", listed(known())))
        } else {
            let hint = match nearest(name, known()) {
                Some(near) => format!("did you mean `{near}`?"),
                None => format!("known here: {}", listed(known())),
            };
            Problem::at(
                span,
                format!("`{}` is no {what} of {}", quoted(name), construct.name),
                format!("unknown {what}"),
            )
            .hint(hint)
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

#[cfg(test)]
mod tests {
    #[test]
    fn letters_go_on_after_z() {
        let words: Vec<String> = [0, 25, 26, 27, 51, 52].map(super::letter).to_vec();
        assert_eq!(words, ["A", "Z", "AA", "AB", "AZ", "BA"]);
    }
}
