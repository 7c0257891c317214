//! A page of text for a terminal: headings, named values, tables and paragraphs, no wider than it.

use super::table::{NONE, Table};
use unicode_width::UnicodeWidthStr;

/// Columns that a page fills.
pub(crate) const WIDTH: usize = 80;
/// Columns before the text of a section.
const INDENT: usize = 2;
/// Columns between two columns of a grid.
const GAP: usize = 2;
/// Columns of the name of a value.
const NAME: usize = 24;
/// Least columns of words that are broken into lines.
const BROKEN: usize = 9;

/// A page under construction.
#[derive(Debug, Clone)]
pub struct Page {
    text: String,
    bold: bool,
}

impl Page {
    /// An empty page; headings are made bold for a terminal if `bold`.
    pub fn new(bold: bool) -> Self {
        Self { text: String::new(), bold }
    }

    /// The finished text.
    pub fn finish(self) -> String {
        self.text
    }

    /// An empty line, unless there is one already or nothing at all.
    pub(crate) fn gap(&mut self) {
        if !self.text.is_empty() && !self.text.ends_with("\n\n") {
            self.text.push('\n');
        }
    }

    /// A line as it is.
    pub(crate) fn line(&mut self, line: &str) {
        self.text.push_str(line.trim_end());
        self.text.push('\n');
    }

    /// A paragraph from the margin.
    pub fn plain(&mut self, words: &str) {
        wrap(words, WIDTH).iter().for_each(|line| self.line(line));
    }

    /// A line whose first columns are bold for a terminal.
    pub(crate) fn marked(&mut self, name: &str, words: &str) {
        let [on, off] = if self.bold { ["\u{1b}[1m", "\u{1b}[0m"] } else { [""; 2] };
        self.line(&format!("{on}{name}{off}{words}"));
    }

    /// A heading, after an empty line unless it is the first.
    pub(crate) fn heading(&mut self, words: &str) {
        self.gap();
        wrap(words, WIDTH).iter().for_each(|line| self.marked(line, ""));
    }

    /// A named value.
    pub(crate) fn value(&mut self, name: &str, value: impl AsRef<str>) {
        let lines = wrap(value.as_ref(), WIDTH - INDENT - NAME - GAP);
        let names = wrap(name, NAME);
        for k in 0..lines.len().max(names.len()) {
            let name = names.get(k).map_or("", String::as_str);
            let line = lines.get(k).map_or("", String::as_str);
            self.line(&format!("{}{}{}{line}", pad("", INDENT), pad(name, NAME), pad("", GAP)));
        }
    }

    /// Named values, each a line with its name before a bar.
    pub(crate) fn values(&mut self, lines: &[String]) {
        for (name, value) in lines.iter().filter_map(|line| line.split_once(" | ")) {
            self.value(name, value);
        }
    }

    /// A paragraph, indented.
    pub(crate) fn paragraph(&mut self, words: &str) {
        for line in wrap(words, WIDTH - INDENT) {
            self.line(&format!("{}{line}", pad("", INDENT)));
        }
    }

    /// A paragraph that hangs behind a mark.
    pub(crate) fn item(&mut self, words: &str) {
        for (k, line) in wrap(words, WIDTH - INDENT - 2).iter().enumerate() {
            let mark = if k == 0 { "- " } else { "  " };
            self.line(&format!("{}{mark}{line}", pad("", INDENT)));
        }
    }

    /// Sentences under a heading, where there are any.
    pub(crate) fn items(&mut self, heading: &str, sentences: &[String]) {
        if !sentences.is_empty() {
            self.heading(heading);
            sentences.iter().for_each(|s| self.item(s));
        }
    }

    /// A table under its title, where there is one.
    pub(crate) fn titled(&mut self, table: Option<Table>) {
        if let Some(table) = table {
            self.heading(&table.title);
            self.table(&table);
        }
    }

    /// A table: numbers to the right, words broken into lines where room is short, and columns that do not
    /// fit in blocks below each other, each with the first column before it.
    pub(crate) fn table(&mut self, table: &Table) {
        let room = WIDTH - INDENT;
        let columns: Vec<Measured> = (0..table.heads.len()).map(|k| Measured::new(table, k)).collect();
        let mut first = 1;
        loop {
            let mut shown = vec![0];
            let mut least = columns[0].least;
            while let Some(next) = columns.get(first).filter(|c| shown.len() == 1 || least + GAP + c.least <= room) {
                least += GAP + next.least;
                shown.push(first);
                first += 1;
            }
            let widths = widths(&shown.iter().map(|k| columns[*k]).collect::<Vec<_>>(), room);
            self.block(table, &shown, &widths);
            if first >= columns.len() {
                return;
            }
            self.line("");
        }
    }

    fn block(&mut self, table: &Table, shown: &[usize], widths: &[usize]) {
        let right: Vec<bool> = shown.iter().map(|k| table.is_numeric(*k)).collect();
        let pick = |cells: &[String]| shown.iter().map(|k| cells[*k].clone()).collect::<Vec<_>>();
        if table.heads.iter().any(|h| !h.is_empty()) {
            self.cells(&pick(&table.heads), &right, widths, true);
            let rules: Vec<String> = widths.iter().map(|w| "-".repeat(*w)).collect();
            self.cells(&rules, &right, widths, false);
        }
        for row in &table.rows {
            let texts: Vec<String> = shown.iter().map(|k| row[*k].text.replace(NONE, "-")).collect();
            self.cells(&texts, &right, widths, false);
        }
    }

    /// One row; cells that need several lines stand at the top, heads at the bottom.
    fn cells(&mut self, cells: &[String], right: &[bool], widths: &[usize], at_bottom: bool) {
        let broken: Vec<Vec<String>> = cells.iter().zip(widths).map(|(cell, width)| wrap(cell, *width)).collect();
        let height = broken.iter().map(Vec::len).max().unwrap_or(0);
        for k in 0..height {
            let mut line = pad("", INDENT);
            for (c, lines) in broken.iter().enumerate() {
                let skip = if at_bottom { height - lines.len() } else { 0 };
                let cell = k.checked_sub(skip).and_then(|i| lines.get(i)).map_or("", String::as_str);
                if c > 0 {
                    line += &pad("", GAP);
                }
                let blank = pad("", widths[c].saturating_sub(cell.width()));
                line += &if right[c] { blank + cell } else { cell.to_owned() + &blank };
            }
            self.line(&line);
        }
    }
}

/// What a column of a table asks for.
#[derive(Debug, Clone, Copy)]
struct Measured {
    /// Columns with its longest cell on one line.
    wanted: usize,
    /// Columns below which numbers would break, or words come to pieces.
    least: usize,
}

impl Measured {
    fn new(table: &Table, column: usize) -> Self {
        let cells = || table.rows.iter().map(|r| &r[column]);
        let head = longest_word(&table.heads[column]);
        let wanted = cells().map(|c| c.text.width()).max().unwrap_or(0).max(head);
        let numbers = cells().filter(|c| c.value.is_some()).map(|c| c.text.width()).max().unwrap_or(0);
        let words = cells().map(|c| longest_word(&c.text)).max().unwrap_or(0).clamp(BROKEN, 3 * BROKEN);
        Self { wanted, least: wanted.min(numbers.max(head).max(words)) }
    }
}

/// Widths that fit: what each column asks for, less what the widest can spare.
fn widths(columns: &[Measured], room: usize) -> Vec<usize> {
    let mut widths: Vec<usize> = columns.iter().map(|c| c.wanted).collect();
    let room = room.saturating_sub(GAP * (columns.len() - 1));
    while widths.iter().sum::<usize>() > room {
        // Where nothing can be spared words come to pieces, the widest first.
        let spare = |k: &usize| widths[*k].saturating_sub(columns[*k].least);
        let widest = (0..columns.len()).max_by_key(|k| (spare(k) > 0, widths[*k])).unwrap_or(0);
        if widths[widest] <= 1 {
            break;
        }
        widths[widest] -= 1;
    }
    widths
}

fn longest_word(text: &str) -> usize {
    text.split([' ', '-']).map(|w| w.width() + 1).max().unwrap_or(0).min(text.width())
}

/// A text filled up with spaces.
fn pad(text: &str, width: usize) -> String {
    let blank = width.saturating_sub(text.width());
    format!("{text}{}", " ".repeat(blank))
}

/// Words of a text; a unit stays with its number.
fn kept_together(text: &str) -> Vec<String> {
    let mut words: Vec<String> = Vec::new();
    for word in text.split(' ') {
        let bare = word.trim_end_matches([',', '.', ';', ':', ')']);
        let unit = ["%", "N", "mm", "mm²", "mm³", "deg", "MPa", "N/mm"].contains(&bare);
        match words.last_mut() {
            Some(last) if unit && last.ends_with(|c: char| c.is_ascii_digit()) => {
                last.push(' ');
                last.push_str(word);
            }
            _ => words.push(word.to_owned()),
        }
    }
    words
}

/// Breaks a text into lines: at spaces, then behind hyphens, then anywhere.
pub(crate) fn wrap(text: &str, width: usize) -> Vec<String> {
    let width = width.max(1);
    // Spaces at the start are an indentation and stay.
    let words = text.trim_start_matches(' ');
    let mut lines = vec![" ".repeat((text.len() - words.len()).min(width - 1))];
    let mut fresh = true;
    for word in kept_together(words) {
        let mut pieces = vec![word.clone()];
        if word.width() > width {
            pieces = word.split_inclusive('-').flat_map(|p| cut(p, width)).collect();
        }
        for (k, piece) in pieces.iter().enumerate() {
            let line = lines.last_mut().expect("there is always a line");
            let space = usize::from(k == 0 && !fresh);
            if !fresh && line.width() + space + piece.width() > width {
                lines.push(piece.clone());
            } else {
                if space == 1 {
                    line.push(' ');
                }
                line.push_str(piece);
            }
            fresh = false;
        }
    }
    lines
}

/// Pieces of a word no wider than `width`.
fn cut(word: &str, width: usize) -> Vec<String> {
    let mut pieces = vec![String::new()];
    for c in word.chars() {
        let piece = pieces.last_mut().expect("there is always a piece");
        let wider = format!("{piece}{c}");
        if wider.width() > width && !piece.is_empty() {
            pieces.push(c.to_string());
        } else {
            *piece = wider;
        }
    }
    pieces
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::show::table::Cell;

    #[test]
    fn words_break_at_spaces_then_hyphens_then_anywhere() {
        assert_eq!(wrap("two-by-two-crossed", 11), ["two-by-two-", "crossed"]);
        assert_eq!(wrap("a bc def", 4), ["a bc", "def"]);
        assert_eq!(wrap("abcdefgh", 3), ["abc", "def", "gh"]);
        assert_eq!(wrap("", 3), [""]);
        assert_eq!(wrap("of 12 N.", 5), ["of", "12 N."]);
        assert_eq!(wrap("  ab cd", 5), ["  ab", "cd"]);
    }

    #[test]
    fn a_table_fits_the_page_in_blocks_of_columns() {
        let heads: Vec<String> = (0..12).map(|k| format!("construct-number-{k}")).collect();
        let mut table = Table::new("t", "T", &heads);
        table.row((0..12).map(|k| if k % 2 == 0 { "two or three words here".into() } else { Cell::fixed(1.5, 1) }));
        let mut page = Page::new(false);
        page.table(&table);
        let text = page.finish();
        assert!(text.lines().all(|l| l.width() <= WIDTH), "{text}");
        // Each block begins with the first column.
        assert!(text.matches("two or").count() > 6 && text.matches("1.5").count() == 6, "{text}");
    }
}
