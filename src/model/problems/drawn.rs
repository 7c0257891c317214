//! A mistake drawn for a terminal, its text underlined.

use super::{Problem, SourceText, tame};
use miette::{
    Diagnostic, GraphicalReportHandler, GraphicalTheme, LabeledSpan, MietteError, MietteSpanContents, SourceCode,
    SourceSpan, SpanContents, ThemeCharacters, ThemeStyles,
};
use std::fmt;

/// Columns that a report may fill.
const WIDTH: usize = 100;
/// Lines longer than this are not quoted: a report of a machine-made file must stay readable.
const LONGEST_QUOTED_LINE: usize = 400;

/// Draws a mistake.
pub(super) fn draw(source: &SourceText, problem: &Problem, colour: bool, out: &mut String) {
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
    let shown = Shown::new(source, problem);
    if handler.render_report(out, &shown).is_err() {
        out.push_str(&shown.message);
    }
}

/// A mistake as it is drawn.
struct Shown<'a> {
    source: &'a SourceText,
    message: String,
    label: Option<LabeledSpan>,
    hint: Option<String>,
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

impl SourceText {
    fn line_length(&self, offset: usize) -> usize {
        let start = self.text[..offset].rfind('\n').map_or(0, |k| k + 1);
        let end = self.text[offset..].find('\n').map_or(self.text.len(), |k| offset + k);
        end - start
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
