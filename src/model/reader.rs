//! Walks a document table by table, collecting every mistake and every default taken.

use super::document::{Entry, Node, Value, parse};
use super::parameters::{Parameter, parameter};
use super::problems::{Problem, Problems, SourceText, Span};
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

    /// Records a mistake: where, what, what is said there, and what to do about it.
    pub fn wrong(&mut self, span: Span, what: impl Into<String>, label: impl Into<String>, hint: impl Into<String>) {
        self.push(Problem::at(span, what, label, hint));
    }

    /// The same where nothing comes of what was read.
    pub fn refuse<T>(
        &mut self,
        span: Span,
        what: impl Into<String>,
        label: impl Into<String>,
        hint: impl Into<String>,
    ) -> Option<T> {
        self.wrong(span, what, label, hint);
        None
    }

    /// Records a default under `path`, as backed by its row.
    pub fn take(&mut self, path: &str, value: f64, parameter: &Parameter) -> f64 {
        self.note(path, &value.to_string(), parameter.unit, parameter.tag, parameter.source);
        value
    }

    /// Records a default that is common practice.
    pub fn practice(&mut self, path: &str, value: &str) {
        self.note(path, value, "", Tag::Practice, "common practice, no source");
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

/// What `read` makes of the whole of a source, with what it has found.
///
/// # Errors
/// Every mistake that it found.
pub(super) fn whole<T>(
    source: SourceText,
    read: impl FnOnce(&Node, &SourceText, &mut Log) -> Option<T>,
) -> Result<(T, Log), Problems> {
    let (root, doubled) = parse(&source)?;
    let mut log = Log { problems: doubled, ..Log::default() };
    match read(&root, &source, &mut log) {
        Some(found) if log.problems.is_empty() => Ok((found, log)),
        _ => Err(Problems::new(source, log.problems)),
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
            _ => mistyped(node, path, "a table", log),
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

    /// Whether a key is given a text.
    pub fn is_text(&self, key: &str) -> bool {
        self.entries.iter().any(|e| e.key == key && matches!(e.node.value, Value::Text(_)))
    }

    /// Where the value of a key stands; the table when it is not given.
    pub fn span_of(&self, key: &str) -> Span {
        self.entries.iter().find(|e| e.key == key).map_or(self.span.clone(), |e| e.node.span.clone())
    }

    /// The value of a key that has to be given, read at its path; `what` says how one is written.
    pub fn required<T>(
        &mut self,
        key: &'static str,
        what: &str,
        log: &mut Log,
        read: impl FnOnce(&'a Node, &str, &mut Log) -> Option<T>,
    ) -> Option<T> {
        let path = self.at(key);
        match self.get(key) {
            Some(entry) => read(&entry.node, &path, log),
            None => {
                self.missing(key, what, log);
                None
            }
        }
    }

    /// A missing value that has no default.
    pub fn missing(&self, key: &str, what: &str, log: &mut Log) {
        let at = self.at(key);
        let table = if self.path.is_empty() { "the file".to_owned() } else { format!("[{}]", self.path) };
        log.wrong(self.span.clone(), format!("`{at}` is missing"), format!("{table} does not give `{key}`"), what);
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
            Value::List(nodes) => self.listed(key, entry, nodes, &mut sections, log),
            _ => wrong_type(&entry.node, &path, &format!("tables with names, [{path}.NAME]"), log),
        }
        sections
    }

    /// The tables of a list, `[[key]]`, in their order.
    pub fn list(&mut self, key: &'static str, most: usize, what: &str, log: &mut Log) -> Vec<Section<'a>> {
        let path = self.at(key);
        let Some(entry) = self.get(key) else {
            return Vec::new();
        };
        let Value::List(nodes) = &entry.node.value else {
            wrong_type(&entry.node, &path, what, log);
            return Vec::new();
        };
        if nodes.len() > most {
            too_many(&entry.key_span, key, nodes.len(), most, log);
        }
        let numbered = nodes.iter().take(most).enumerate();
        numbered.filter_map(|(k, node)| Section::of(node, &format!("{path}[{}]", k + 1), log)).collect()
    }

    /// Tables written as a list: refused, with what to write instead. What they say is read all the
    /// same, so that the rest of the file is judged as it was meant.
    fn listed(
        &self,
        key: &str,
        entry: &Entry,
        nodes: &'a [Node],
        sections: &mut Vec<(String, Span, Section<'a>)>,
        log: &mut Log,
    ) {
        let path = self.at(key);
        for (k, node) in nodes.iter().enumerate() {
            if let Some(mut s) = Section::of(node, &format!("{path}.{}", k + 1), log) {
                let name = s.text("name", LONGEST_NAME, log).unwrap_or_else(|| format!("{}", k + 1));
                sections.push((name, node.span.clone(), s));
            }
        }
        let first = sections.first().map_or("NAME", |s| &s.0);
        let header = |name: &str| {
            let bare = |c: char| c.is_ascii_alphanumeric() || c == '-' || c == '_';
            if name.chars().all(bare) { format!("[{path}.{name}]") } else { format!("[{path}.\"{name}\"]") }
        };
        log.wrong(
            entry.key_span.clone(),
            format!("`{path}` is a list, not tables with names"),
            "a list here",
            format!(
                "write {} in place of [[{path}]], one such table for each, and leave out its key `name`",
                header(first)
            ),
        );
    }

    /// A number in the range of `row`, if given and right.
    pub fn number_if(&mut self, key: &'static str, row: &Parameter, log: &mut Log) -> Option<f64> {
        let path = self.at(key);
        let entry = self.get(key)?;
        number(&entry.node, &path, row, log)
    }

    /// A number in the range of `row`, or its default, recorded; NaN after a mistake.
    pub fn number_as(&mut self, key: &'static str, row: &Parameter, log: &mut Log) -> f64 {
        let path = self.at(key);
        match self.get(key) {
            Some(entry) => number(&entry.node, &path, row, log).unwrap_or(f64::NAN),
            None => match row.default {
                Some(default) => {
                    #[cfg(test)]
                    log.numbers.push((path.clone(), row.path));
                    log.take(&path, default, row)
                }
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
        let text = text(&entry.node, &path, "a text in quotes", log)?;
        let many_lines = longest == LONGEST_TEXT;
        let bad = |c: char| unprintable(c) && !(many_lines && matches!(c, '\n' | '\r' | '\t'));
        let text = text.trim();
        if text.chars().count() > longest || text.contains(bad) || (text.is_empty() && !many_lines) {
            return log.refuse(
                entry.node.span.clone(),
                format!("`{path}` is not a plain text"),
                format!("allowed: up to {longest} visible characters"),
                "shorten it, and leave out control characters and those that turn the direction of writing",
            );
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
        mistyped(&entry.node, &path, "true or false", log)
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
            log.wrong(
                entry.key_span.clone(),
                format!("unknown key `{}`", self.at(&quoted(key))),
                "not known here",
                hint,
            );
        }
    }

    /// [`Section::finish`] for a table that no other file has.
    pub fn done(self, log: &mut Log) {
        self.finish((&[], ""), log);
    }
}

fn too_many(span: &Span, key: &str, given: usize, most: usize, log: &mut Log) {
    log.wrong(
        span.clone(),
        format!("{given} tables of `{key}` are too many"),
        format!("allowed: up to {most}"),
        "leave some out",
    );
}

/// What no name may hold, because paths, orders and patterns are made of it.
pub(super) const OF_PATHS: &str = ".*,+#";

/// Names are shown in tables and figures, and paths and orders are made of them: short, visible, on
/// one line, and without what parts a path.
fn check_name(name: &str, span: &Span, log: &mut Log) {
    let why = if !name.chars().any(visible) {
        "nothing of it can be seen"
    } else if name.trim() != name {
        "it begins or ends with a blank"
    } else if name.chars().count() > LONGEST_NAME {
        "it is too long"
    } else if name.contains(unprintable) {
        "it holds control characters, or such as turn the direction of writing or cannot be seen"
    } else if name.contains(|c| OF_PATHS.contains(c)) {
        "paths, orders and patterns are made of . * , + and #"
    } else {
        return;
    };
    log.wrong(
        span.clone(),
        format!("`{}` is not a name", quoted(name)),
        why,
        format!("1 to {LONGEST_NAME} visible characters without . * , + #; letters, digits, `-` and `_` are best"),
    );
}

// Single values of a table: numbers in their range, and words of a few.

/// A number in the range of `row`.
pub(super) fn number(node: &Node, path: &str, row: &Parameter, log: &mut Log) -> Option<f64> {
    let Value::Number(value) = node.value else {
        return mistyped(node, path, "a number", log);
    };
    in_range(value, node.span.clone(), path, row, log)
}

/// A value already in the unit of its row, checked against it.
pub(super) fn in_range(value: f64, span: Span, path: &str, row: &Parameter, log: &mut Log) -> Option<f64> {
    #[cfg(test)]
    log.numbers.push((path.into(), row.path));
    if row.accepts(value) && !(row.is_whole() && value.fract() != 0.0) {
        return Some(value);
    }
    let message = if !value.is_finite() {
        format!("`{path}` is {value}, not a finite number")
    } else if row.accepts(value) {
        format!("`{path}` is {}, not a whole number", said(value))
    } else {
        let percent = if row.unit == "%" { " %" } else { "" };
        format!("`{path}` is {}{percent}, outside its range", said(value))
    };
    log.refuse(span, message, format!("allowed: {}", row.range()), row.about())
}

/// One of a few words.
pub(super) fn word<T: Copy>(node: &Node, path: &str, words: &[(&'static str, T)], log: &mut Log) -> Option<T> {
    let names: Vec<&str> = words.iter().map(|w| w.0).collect();
    let text = text(node, path, &format!("one of {}", listed(names.iter().copied())), log)?;
    if let Some(found) = words.iter().find(|w| is_word(text, w.0)) {
        return Some(found.1);
    }
    let all = listed(names.iter().copied());
    // A long list is wrapped in the hint; at the text it would run off the page.
    let (label, hint) = match nearest(text, names.iter().copied()) {
        _ if all.len() <= 50 => (format!("allowed: {all}"), suggest(text, &names)),
        Some(near) => ("not a word known here".into(), format!("did you mean `{near}`? allowed: {all}")),
        None => ("not a word known here".into(), format!("allowed: {all}")),
    };
    log.refuse(node.span.clone(), format!("`{path}` is \"{}\"", quoted(text)), label, hint)
}

/// The values of a list; anything else is a wrong type.
pub(super) fn list<'a>(node: &'a Node, path: &str, wanted: &str, log: &mut Log) -> Option<&'a [Node]> {
    match &node.value {
        Value::List(nodes) => Some(nodes),
        _ => mistyped(node, path, wanted, log),
    }
}

/// A text; anything else is a wrong type.
pub(super) fn text<'a>(node: &'a Node, path: &str, wanted: &str, log: &mut Log) -> Option<&'a str> {
    match &node.value {
        Value::Text(text) => Some(text),
        _ => mistyped(node, path, wanted, log),
    }
}

/// A value of the wrong kind.
pub(super) fn wrong_type(node: &Node, path: &str, wanted: &str, log: &mut Log) {
    let hint = match parameter(path) {
        Some(row) => row.about(),
        None => format!("write {wanted}"),
    };
    log.wrong(
        node.span.clone(),
        format!("`{path}` is {}, not {wanted}", node.kind()),
        format!("allowed: {wanted}"),
        hint,
    );
}

/// The same where nothing comes of the value.
pub(super) fn mistyped<T>(node: &Node, path: &str, wanted: &str, log: &mut Log) -> Option<T> {
    wrong_type(node, path, wanted, log);
    None
}

// The words of a message: nearest known word, lists, shortened texts, numbers.

/// The known word nearest to a mistyped one, if any is near.
pub(super) fn nearest<'a>(word: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    // Comparing a very long word with each known one costs its length squared for nothing.
    if word.len() > 200 {
        return None;
    }
    let word = word.to_lowercase();
    known
        .into_iter()
        .map(|k| (strsim::jaro_winkler(&word, &k.to_lowercase()), k))
        .filter(|(score, _)| *score > 0.75)
        .max_by(|a, b| a.0.total_cmp(&b.0))
        .map(|(_, k)| k)
}

/// `a`, `b` and `c` in back quotes, for hints.
pub(super) fn listed<'a>(words: impl IntoIterator<Item = &'a str>) -> String {
    let words: Vec<String> = words.into_iter().map(|w| format!("`{w}`")).collect();
    if words.is_empty() { "none".into() } else { words.join(", ") }
}

/// Whether a text is a word, in capitals or not, with blanks round it or not.
pub(crate) fn is_word(text: &str, word: &str) -> bool {
    text.trim().eq_ignore_ascii_case(word)
}

/// "did you mean" with the nearest word, if any is near.
pub(super) fn meant<'a>(word: &str, known: impl IntoIterator<Item = &'a str>) -> Option<String> {
    nearest(word, known).map(|near| format!("did you mean `{near}`?"))
}

/// The same, otherwise all of them.
pub(super) fn suggest(word: &str, known: &[&str]) -> String {
    let all = || format!("known here: {}", listed(known.iter().copied()));
    meant(word, known.iter().copied()).unwrap_or_else(all)
}

/// A text shortened for a message, without control characters.
pub(super) fn quoted(text: &str) -> String {
    let mut short: String = text.chars().take(60).map(|c| if unprintable(c) { ' ' } else { c }).collect();
    if short.len() < text.len() {
        short.push('…');
    }
    short
}

/// A number as the message says it.
pub(super) fn said(value: f64) -> String {
    if value != 0.0 && (value.abs() >= 1e7 || value.abs() < 1e-4) { format!("{value:e}") } else { format!("{value}") }
}

/// Whether a character steers what is shown rather than being shown: control characters, breaks of
/// lines, marks that turn the direction of writing, and letters without width that no script needs
/// (joiners and variation selectors are needed by some).
pub(super) fn unprintable(c: char) -> bool {
    c.is_control()
        || (!visible(c) && !c.is_whitespace() && !matches!(c, '\u{200c}' | '\u{200d}' | '\u{fe00}'..='\u{fe0f}'))
        || matches!(c, '\u{2028}' | '\u{2029}')
}

/// Whether anything can be seen of a character (Unicode: no white space, and none of those that are
/// ignored by default when a text is drawn).
pub(super) fn visible(c: char) -> bool {
    !c.is_whitespace()
        && !c.is_control()
        && !matches!(c,
            '\u{ad}' | '\u{34f}' | '\u{61c}' | '\u{115f}' | '\u{1160}' | '\u{17b4}' | '\u{17b5}'
            | '\u{180b}'..='\u{180f}' | '\u{200b}'..='\u{200f}' | '\u{202a}'..='\u{202e}'
            | '\u{2060}'..='\u{206f}' | '\u{2800}' | '\u{3164}' | '\u{fe00}'..='\u{fe0f}' | '\u{feff}'
            | '\u{ffa0}' | '\u{fff0}'..='\u{fffb}' | '\u{1bca0}'..='\u{1bca3}' | '\u{1d173}'..='\u{1d17a}'
            | '\u{e0000}'..='\u{e0fff}')
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_what_paths_and_orders_can_carry() {
        let refused = |name: &str| {
            let mut log = Log::default();
            check_name(name, &(0..1), &mut log);
            log.problems.pop().map(|p| p.label)
        };
        for name in ["a", "hinge", "über-lang 2", "=1", "-1", "@x", "خيط", "می\u{200c}شود", "ab/c", "b:1"] {
            assert_eq!(refused(name), None, "{name}");
        }
        for (name, why) in [
            ("b.1", "paths"),
            ("*", "paths"),
            ("a,b", "paths"),
            ("a+b", "paths"),
            ("#1", "paths"),
            ("", "nothing"),
            ("\u{200b}", "nothing"),
            ("\u{200d}\u{200c}", "nothing"),
            ("\u{3164}", "nothing"),
            ("\u{a0}", "nothing"),
            (" =1", "blank"),
            ("a\u{2009}", "blank"),
            ("a\nb", "control"),
            ("a\u{2028}b", "control"),
            ("a\u{202e}b", "control"),
            ("a\u{2066}b", "control"),
            ("a\u{200b}b", "control"),
            ("a\u{feff}b", "control"),
            ("a\u{e0041}", "control"),
            ("aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa", "long"),
        ] {
            assert!(refused(name).is_some_and(|w| w.contains(why)), "{name:?}: {:?}", refused(name));
        }
    }
}
