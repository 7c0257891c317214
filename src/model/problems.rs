//! Everything that is wrong with one file, said at once, each with the text it is about.

#[cfg(feature = "cli")]
mod drawn;

#[cfg(feature = "cli")]
use drawn::draw;
use std::fmt;
use std::ops::Range;
use std::sync::Arc;

/// A stretch of the source text, in bytes.
pub type Span = Range<usize>;

/// Problems shown in full; the rest are counted.
const SHOWN: usize = 30;

/// The name and the text of a file, shared by everything that points into it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SourceText {
    /// Its path as given, or what it is (`quarter (built in)`).
    pub name: Arc<str>,
    /// Its text, without a byte-order mark; empty when it could not be read.
    pub text: Arc<str>,
}

impl SourceText {
    /// A source with a name and a text; a byte-order mark is dropped.
    pub fn new(name: &str, text: &str) -> Self {
        Self { name: name.into(), text: text.strip_prefix('\u{feff}').unwrap_or(text).into() }
    }

    /// Line and column of a byte offset, both counted from 1, the column in characters.
    pub fn position(&self, offset: usize) -> (usize, usize) {
        let mut offset = offset.min(self.text.len());
        while !self.text.is_char_boundary(offset) {
            offset -= 1;
        }
        let before = &self.text[..offset];
        let start = before.rfind('\n').map_or(0, |k| k + 1);
        (before.bytes().filter(|&b| b == b'\n').count() + 1, before[start..].chars().count() + 1)
    }

    /// The nearest stretch that lies in the text on character boundaries, one line at most, and
    /// not empty unless the text is.
    fn clamp(&self, span: &Span) -> Span {
        let text = &*self.text;
        let mut start = span.start.min(text.len());
        if start == text.len() {
            start = text.trim_end().len();
            start = start.saturating_sub(1);
        }
        while !text.is_char_boundary(start) {
            start -= 1;
        }
        let line_end = text[start..].find(['\n', '\r']).map_or(text.len(), |k| start + k);
        let mut end = span.end.clamp(start, line_end);
        while !text.is_char_boundary(end) {
            end -= 1;
        }
        if end == start {
            end = start + text[start..].chars().next().filter(|&c| c != '\n' && c != '\r').map_or(0, char::len_utf8);
        }
        start..end
    }
}

/// One mistake.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Problem {
    /// What is wrong, with the value.
    pub message: String,
    /// The text it is about; absent when the file as a whole is meant.
    pub span: Option<Span>,
    /// What is said at that text: mostly the allowed range.
    pub label: String,
    /// What to do about it.
    pub hint: Option<String>,
}

impl Problem {
    /// A mistake without a place.
    pub fn whole(message: impl Into<String>, hint: impl Into<String>) -> Self {
        Self { message: message.into(), span: None, label: String::new(), hint: Some(hint.into()) }
    }

    /// A mistake at a stretch of the text: what is wrong, what is said there, and what to do about it.
    pub fn at(span: Span, message: impl Into<String>, label: impl Into<String>, hint: impl Into<String>) -> Self {
        Self { message: message.into(), span: Some(span), label: label.into(), hint: Some(hint.into()) }
    }
}

/// All mistakes of one file, in the order in which they stand there. Never empty.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Problems {
    /// The file.
    pub source: SourceText,
    /// The mistakes.
    pub problems: Vec<Problem>,
}

impl std::error::Error for Problems {}

impl fmt::Display for Problems {
    /// The report without colour.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.render(false))
    }
}

impl Problems {
    /// Gathers mistakes, sorted by where they stand.
    pub fn new(source: SourceText, mut problems: Vec<Problem>) -> Self {
        problems.sort_by_key(|p| p.span.as_ref().map_or(0, |s| s.start));
        problems.dedup();
        Self { source, problems }
    }

    /// A single mistake of a file as a whole.
    pub fn whole(name: &str, message: impl Into<String>, hint: impl Into<String>) -> Self {
        Self::new(SourceText::new(name, ""), vec![Problem::whole(message, hint)])
    }

    /// Line and column (from 1, column in characters) of each mistake that has a place.
    pub fn positions(&self) -> Vec<Option<(usize, usize)>> {
        self.problems
            .iter()
            .map(|p| p.span.as_ref().map(|s| self.source.position(self.source.clamp(s).start)))
            .collect()
    }

    /// The whole report, as wide as a page, for a terminal with or without colour: each mistake
    /// with file, line, column, the text underlined and a hint, and their number at the end.
    pub fn render(&self, colour: bool) -> String {
        let mut out = String::new();
        let source = SourceText { name: tame(&self.source.name).into(), text: tame(&self.source.text).into() };
        for problem in self.problems.iter().take(SHOWN) {
            draw(&source, problem, colour, &mut out);
            while out.ends_with('\n') {
                out.pop();
            }
            out.push_str("\n\n");
        }
        let n = self.problems.len();
        if n > SHOWN {
            out.push_str(&format!("… and {} more\n", n - SHOWN));
        }
        if n > 1 {
            out.push_str(&format!("{n} mistakes in {}\n", source.name));
        }
        while out.ends_with("\n\n") {
            out.pop();
        }
        out
    }
}

/// A mistake in one line: where, what, and what to do about it.
#[cfg(not(feature = "cli"))]
fn draw(source: &SourceText, problem: &Problem, _colour: bool, out: &mut String) {
    let place = problem.span.as_ref().map_or_else(String::new, |span| {
        let (line, column) = source.position(source.clamp(span).start);
        format!("{line}:{column}: ")
    });
    let parts = [Some(problem.message.as_str()), Some(problem.label.as_str()), problem.hint.as_deref()];
    let said: Vec<&str> = parts.into_iter().flatten().filter(|p| !p.is_empty()).collect();
    out.push_str(&tame(&format!("{}:{place}{}", source.name, said.join("; "))));
}

/// Whether a character steers a terminal or turns words round: a control character other than the end of a line,
/// or one of Unicode's bidirectional controls.
pub(crate) fn steers(c: char) -> bool {
    (c.is_control() && c != '\n')
        || matches!(c, '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
}

/// A text without control characters, byte for byte as long: what a file holds must not steer the
/// terminal that shows it.
fn tame(text: &str) -> String {
    let wild = |c: char| steers(c) && !matches!(c, '\r' | '\t');
    if !text.contains(wild) {
        return text.to_owned();
    }
    text.chars()
        .flat_map(|c| {
            let (shown, times) = if wild(c) { ('?', c.len_utf8()) } else { (c, 1) };
            std::iter::repeat_n(shown, times)
        })
        .collect()
}
