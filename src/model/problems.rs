//! Everything that is wrong with one file, said at once, each with the text it is about.

use miette::{
    Diagnostic, GraphicalReportHandler, GraphicalTheme, LabeledSpan, MietteError, MietteSpanContents, SourceCode,
    SourceSpan, SpanContents, ThemeCharacters, ThemeStyles,
};
use std::fmt;
use std::ops::Range;
use std::sync::Arc;

/// A stretch of the source text, in bytes.
pub type Span = Range<usize>;

/// Columns that a report may fill.
const WIDTH: usize = 100;
/// Problems shown in full; the rest are counted.
const SHOWN: usize = 30;
/// Lines longer than this are not quoted: a report of a machine-made file must stay readable.
const LONGEST_QUOTED_LINE: usize = 400;

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

    fn line_length(&self, offset: usize) -> usize {
        let start = self.text[..offset].rfind('\n').map_or(0, |k| k + 1);
        let end = self.text[offset..].find('\n').map_or(self.text.len(), |k| offset + k);
        end - start
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

    /// A mistake at a stretch of the text.
    pub fn at(span: Span, message: impl Into<String>, label: impl Into<String>) -> Self {
        Self { message: message.into(), span: Some(span), label: label.into(), hint: None }
    }

    /// The same with a hint.
    #[must_use]
    pub fn hint(mut self, hint: impl Into<String>) -> Self {
        self.hint = Some(hint.into());
        self
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

    /// The whole report, `WIDTH` columns wide, for a terminal with or without colour: each mistake
    /// with file, line, column, the text underlined and a hint, and their number at the end.
    pub fn render(&self, colour: bool) -> String {
        let mut characters = ThemeCharacters::unicode();
        characters.error = "×".into();
        let handler = GraphicalReportHandler::new_themed(GraphicalTheme {
            characters,
            styles: if colour { ThemeStyles::ansi() } else { ThemeStyles::none() },
        })
        .with_width(WIDTH)
        .with_wrap_lines(false)
        .with_context_lines(1)
        .with_links(false)
        .without_syntax_highlighting();
        let mut out = String::new();
        let source = SourceText { name: tame(&self.source.name).into(), text: tame(&self.source.text).into() };
        for problem in self.problems.iter().take(SHOWN) {
            let shown = Shown::new(&source, problem);
            if handler.render_report(&mut out, &shown).is_err() {
                out.push_str(&shown.message);
            }
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

/// A mistake as it is drawn.
struct Shown<'a> {
    source: &'a SourceText,
    message: String,
    label: Option<LabeledSpan>,
    hint: Option<String>,
}

/// A text without control characters, byte for byte as long: what a file holds must not steer the
/// terminal that shows it.
fn tame(text: &str) -> String {
    let wild = |c: char| c.is_control() && !matches!(c, '\n' | '\r' | '\t');
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

/// Breaks a sentence at its spaces only, so that a name with a hyphen stays whole.
fn wrapped(text: &str) -> String {
    let mut out = String::new();
    // Room for the indentation and the word before the sentence.
    let room = WIDTH - 10;
    let mut column = 0;
    for word in text.split(' ') {
        let width = unicode_width::UnicodeWidthStr::width(word);
        if column > 0 && column + 1 + width > room {
            out.push('\n');
            column = 0;
        } else if column > 0 {
            out.push(' ');
            column += 1;
        }
        out.push_str(word);
        column += width;
    }
    out
}

impl<'a> Shown<'a> {
    fn new(source: &'a SourceText, problem: &'a Problem) -> Self {
        let mut message = tame(&problem.message);
        let mut label = None;
        match &problem.span {
            None => message = format!("{}: {message}", source.name),
            Some(span) => {
                let span = source.clamp(span);
                let (line, column) = source.position(span.start);
                if source.line_length(span.start) > LONGEST_QUOTED_LINE {
                    message = format!("{}:{line}:{column}: {message}: {}", source.name, problem.label);
                } else {
                    label = Some(LabeledSpan::new_primary_with_span(
                        Some(tame(&problem.label)).filter(|l| !l.is_empty()),
                        SourceSpan::from(span),
                    ));
                }
            }
        }
        Self { source, message: wrapped(&message), label, hint: problem.hint.as_deref().map(|h| wrapped(&tame(h))) }
    }
}

impl fmt::Debug for Shown<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.message)
    }
}

impl fmt::Display for Shown<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.message)
    }
}

impl std::error::Error for Shown<'_> {}

impl Diagnostic for Shown<'_> {
    fn help<'b>(&'b self) -> Option<Box<dyn fmt::Display + 'b>> {
        self.hint.as_deref().map(|h| Box::new(h) as Box<dyn fmt::Display>)
    }

    fn source_code(&self) -> Option<&dyn SourceCode> {
        self.label.is_some().then_some(self.source as _)
    }

    fn labels(&self) -> Option<Box<dyn Iterator<Item = LabeledSpan> + '_>> {
        self.label.clone().map(|l| Box::new(std::iter::once(l)) as Box<dyn Iterator<Item = LabeledSpan>>)
    }
}

impl SourceCode for SourceText {
    /// As for any text, but columns count characters, not bytes.
    fn read_span<'a>(
        &'a self,
        span: &SourceSpan,
        before: usize,
        after: usize,
    ) -> Result<Box<dyn SpanContents<'a> + 'a>, MietteError> {
        let bytes = self.text.as_bytes().read_span(span, before, after)?;
        let column = if before == 0 { self.position(span.offset()).1 - 1 } else { 0 };
        // The lines are cut out as bytes: a `\r` at the end of one is dropped when it is drawn.
        Ok(Box::new(MietteSpanContents::new_named(
            self.name.to_string(),
            &self.text.as_bytes()[bytes.span().offset()..bytes.span().offset() + bytes.span().len()],
            *bytes.span(),
            bytes.line(),
            column,
            bytes.line_count(),
        )))
    }
}
