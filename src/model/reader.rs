//! Walks a document table by table, collecting every mistake and every default taken.

use super::document::{Entry, Node, Value};
use super::parameters::{Parameter, row};
use super::problems::{Problem, Span};
use super::value::{number, word, wrong_type};
use super::words::{quoted, suggest};
use super::{Tag, Taken};

/// Most mistakes that are kept; a file with more is the wrong file.
const MOST: usize = 500;
/// Longest name, characters.
pub(super) const LONGEST_NAME: usize = 40;
/// Longest description, characters.
pub(super) const LONGEST_TEXT: usize = 2000;

/// What reading has found so far.
#[derive(Debug, Clone, Default)]
pub(super) struct Log {
    pub problems: Vec<Problem>,
    pub taken: Vec<Taken>,
    /// What was asked for, so that a test can hold the schema against it: the path of each table
    /// with its known keys, and of each number with its row.
    #[cfg(test)]
    pub tables: Vec<(String, Vec<&'static str>)>,
    #[cfg(test)]
    pub numbers: Vec<(String, &'static str)>,
}

impl Log {
    pub fn push(&mut self, problem: Problem) {
        if self.problems.len() < MOST {
            self.problems.push(problem);
        }
    }

    /// Records a default under `path`, as backed by its row.
    pub fn take(&mut self, path: &str, value: f64, parameter: &Parameter) -> f64 {
        self.note(path, &value.to_string(), parameter.unit, parameter.tag, parameter.source);
        value
    }

    /// Records a default once.
    pub fn note(&mut self, path: &str, value: &str, unit: &str, tag: Tag, source: &str) {
        if self.taken.iter().all(|t| t.path != path) {
            self.taken.push(Taken {
                path: path.into(),
                value: value.into(),
                unit: unit.into(),
                tag,
                source: source.into(),
            });
        }
    }
}

/// One table being read. Every key asked for is a known one; [`Section::finish`] reports the rest.
pub(super) struct Section<'a> {
    /// Dotted path, empty at the root.
    pub path: String,
    /// Where the table stands.
    pub span: Span,
    entries: &'a [Entry],
    known: Vec<&'static str>,
}

impl<'a> Section<'a> {
    /// A table's section; anything else is a wrong type.
    pub fn of(node: &'a Node, path: &str, log: &mut Log) -> Option<Self> {
        match &node.value {
            Value::Table(entries) => {
                Some(Self { path: path.into(), span: node.span.clone(), entries, known: Vec::new() })
            }
            _ => {
                wrong_type(node, path, "a table", log);
                None
            }
        }
    }

    /// A section without entries, standing where its parent does: every value is a default.
    pub fn absent(path: &str, span: Span) -> Self {
        Self { path: path.into(), span, entries: &[], known: Vec::new() }
    }

    /// The dotted path of a key.
    pub fn at(&self, key: &str) -> String {
        if self.path.is_empty() { key.into() } else { format!("{}.{key}", self.path) }
    }

    /// The entries of the table, in the order of the file.
    pub fn entries(&self) -> &'a [Entry] {
        self.entries
    }

    /// Declares a key known and gives its entry.
    pub fn get(&mut self, key: &'static str) -> Option<&'a Entry> {
        if !self.known.contains(&key) {
            self.known.push(key);
        }
        self.entries.iter().find(|e| e.key == key)
    }

    /// A missing value that has no default.
    pub fn missing(&self, key: &str, what: &str, log: &mut Log) {
        let at = self.at(key);
        let table = if self.path.is_empty() { "the file".to_owned() } else { format!("[{}]", self.path) };
        log.push(
            Problem::at(self.span.clone(), format!("`{at}` is missing"), format!("{table} does not give `{key}`"))
                .hint(what),
        );
    }

    /// A sub-table; an empty section when it is not given.
    pub fn table(&mut self, key: &'static str, log: &mut Log) -> Section<'a> {
        let path = self.at(key);
        match self.get(key) {
            None => Section::absent(&path, self.span.clone()),
            Some(entry) => {
                Section::of(&entry.node, &path, log).unwrap_or_else(|| Section::absent(&path, entry.key_span.clone()))
            }
        }
    }

    /// The named tables under `key` (`[key.NAME]`), each with its name and the place of that name.
    pub fn named(&mut self, key: &'static str, most: usize, log: &mut Log) -> Vec<(String, Span, Section<'a>)> {
        let path = self.at(key);
        let Some(entry) = self.get(key) else {
            return Vec::new();
        };
        let mut sections = Vec::new();
        match &entry.node.value {
            Value::Table(entries) => {
                for e in entries {
                    if sections.len() == most {
                        too_many(&e.key_span, key, entries.len(), most, log);
                        break;
                    }
                    check_name(&e.key, &e.key_span, log);
                    if let Some(s) = Section::of(&e.node, &format!("{path}.{}", quoted(&e.key)), log) {
                        sections.push((e.key.clone(), e.key_span.clone(), s));
                    }
                }
            }
            Value::List(nodes) => {
                for (k, node) in nodes.iter().enumerate() {
                    if sections.len() == most {
                        too_many(&node.span, key, nodes.len(), most, log);
                        break;
                    }
                    let place = format!("{path}.{}", k + 1);
                    if let Some(mut s) = Section::of(node, &place, log) {
                        let name = s.text("name", LONGEST_NAME, log).unwrap_or_else(|| format!("{key} {}", k + 1));
                        if sections.iter().any(|(n, ..)| *n == name) {
                            log.push(
                                Problem::at(
                                    node.span.clone(),
                                    format!("the name `{name}` is given to two tables of `{path}`"),
                                    "second one here",
                                )
                                .hint("give each its own `name`"),
                            );
                        }
                        sections.push((name, node.span.clone(), s));
                    }
                }
            }
            _ => wrong_type(&entry.node, &path, &format!("tables with names, [{path}.NAME]"), log),
        }
        sections
    }

    /// A number in the range of `row`, if given and right.
    pub fn number_if(&mut self, key: &'static str, row: &Parameter, log: &mut Log) -> Option<f64> {
        let path = self.at(key);
        let entry = self.get(key)?;
        number(&entry.node, &path, row, log)
    }

    /// A number in the range of its row (the one of its dotted path), or its default, recorded.
    pub fn number(&mut self, key: &'static str, log: &mut Log) -> f64 {
        let row = row(&self.at(key));
        self.number_as(key, row, log)
    }

    /// A number in the range of `row`, or its default, recorded; NaN after a mistake.
    pub fn number_as(&mut self, key: &'static str, row: &Parameter, log: &mut Log) -> f64 {
        let path = self.at(key);
        match self.get(key) {
            Some(entry) => number(&entry.node, &path, row, log).or(row.default).unwrap_or(f64::NAN),
            None => match row.default {
                Some(default) => log.take(&path, default, row),
                None => {
                    self.missing(key, &row.about(), log);
                    f64::NAN
                }
            },
        }
    }

    /// A text of one or more lines.
    pub fn text(&mut self, key: &'static str, longest: usize, log: &mut Log) -> Option<String> {
        let path = self.at(key);
        let entry = self.get(key)?;
        let Value::Text(text) = &entry.node.value else {
            wrong_type(&entry.node, &path, "a text in quotes", log);
            return None;
        };
        let many_lines = longest == LONGEST_TEXT;
        let bad = |c: char| c.is_control() && !(many_lines && matches!(c, '\n' | '\r' | '\t'));
        let text = text.trim();
        if text.chars().count() > longest || text.contains(bad) || (text.is_empty() && !many_lines) {
            log.push(
                Problem::at(
                    entry.node.span.clone(),
                    format!("`{path}` is not a plain text"),
                    format!("allowed: up to {longest} characters, no control characters"),
                )
                .hint("shorten it"),
            );
            return None;
        }
        Some(text.to_owned())
    }

    /// The `name` of a file.
    pub fn name(&mut self, log: &mut Log) -> Option<String> {
        self.text("name", LONGEST_NAME, log)
    }

    /// The `description` of a file.
    pub fn description(&mut self, log: &mut Log) -> String {
        self.text("description", LONGEST_TEXT, log).unwrap_or_default().replace("\r\n", "\n")
    }

    /// One of a few words.
    pub fn word<T: Copy>(&mut self, key: &'static str, words: &[(&'static str, T)], log: &mut Log) -> Option<T> {
        let path = self.at(key);
        let entry = self.get(key)?;
        word(&entry.node, &path, words, log)
    }

    /// True or false.
    pub fn flag(&mut self, key: &'static str, log: &mut Log) -> Option<bool> {
        let path = self.at(key);
        let entry = self.get(key)?;
        if let Value::Flag(b) = entry.node.value {
            return Some(b);
        }
        wrong_type(&entry.node, &path, "true or false", log);
        None
    }

    /// Reports every key that nobody asked for. `elsewhere` lists root keys of the other kind of
    /// file with the name of that kind.
    pub fn finish(self, elsewhere: (&[&str], &str), log: &mut Log) {
        #[cfg(test)]
        log.tables.push((self.path.clone(), self.known.clone()));
        for entry in self.entries {
            let key = entry.key.as_str();
            if self.known.contains(&key) {
                continue;
            }
            let hint = if elsewhere.0.contains(&key) {
                format!("`{key}` belongs in a {} file", elsewhere.1)
            } else {
                suggest(key, &self.known)
            };
            log.push(
                Problem::at(
                    entry.key_span.clone(),
                    format!("unknown key `{}`", self.at(&quoted(key))),
                    "not known here",
                )
                .hint(hint),
            );
        }
    }

    /// [`Section::finish`] for a table that no other file has.
    pub fn done(self, log: &mut Log) {
        self.finish((&[], ""), log);
    }
}

fn too_many(span: &Span, key: &str, given: usize, most: usize, log: &mut Log) {
    log.push(
        Problem::at(span.clone(), format!("{given} tables of `{key}` are too many"), format!("allowed: up to {most}"))
            .hint("leave some out"),
    );
}

/// Names are shown in tables and figures: short, visible, on one line.
fn check_name(name: &str, span: &Span, log: &mut Log) {
    let bad = name.trim() != name
        || name.is_empty()
        || name.chars().count() > LONGEST_NAME
        || name.chars().any(char::is_control);
    if bad {
        log.push(
            Problem::at(
                span.clone(),
                format!("`{}` is not a name", quoted(name)),
                format!("allowed: 1 to {LONGEST_NAME} visible characters"),
            )
            .hint("letters, digits, `-` and `_` are best"),
        );
    }
}
