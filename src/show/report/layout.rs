//! A page of text: headings, named values, grids and paragraphs in at most 100 columns.

use unicode_width::UnicodeWidthStr;

/// Columns that a page may fill.
pub const WIDTH: usize = 100;
/// Columns before the text of a section.
const INDENT: usize = 2;
/// Columns between two columns of a grid.
const GAP: usize = 2;
/// Columns of the name of a value.
const NAME: usize = 30;

/// How the cells of a grid's column are set.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Set {
    /// Words, from the left.
    Left,
    /// Numbers, to the right.
    Right,
    /// The same in so many columns.
    Exact(usize),
    /// Words that fill what is left of the page and are broken into lines.
    Fill,
}

/// A page under construction.
#[derive(Debug, Clone, Default)]
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
    pub(super) fn gap(&mut self) {
        if !self.text.is_empty() && !self.text.ends_with("\n\n") {
            self.text.push('\n');
        }
    }

    /// A line as it is.
    pub(super) fn line(&mut self, line: &str) {
        self.text.push_str(line.trim_end());
        self.text.push('\n');
    }

    /// A heading, after an empty line unless it is the first.
    pub(super) fn heading(&mut self, words: &str) {
        self.gap();
        for line in wrap(words, WIDTH) {
            if self.bold {
                self.line(&format!("\u{1b}[1m{line}\u{1b}[0m"));
            } else {
                self.line(&line);
            }
        }
    }

    /// A named value.
    pub(super) fn value(&mut self, name: &str, value: impl AsRef<str>) {
        let lines = wrap(value.as_ref(), WIDTH - INDENT - NAME - GAP);
        let names = wrap(name, NAME);
        for k in 0..lines.len().max(names.len()) {
            let name = names.get(k).map_or("", String::as_str);
            let line = lines.get(k).map_or("", String::as_str);
            self.line(&format!("{}{}{}{line}", pad("", INDENT), pad(name, NAME), pad("", GAP)));
        }
    }

    /// A paragraph, indented.
    pub(super) fn paragraph(&mut self, words: &str) {
        for line in wrap(words, WIDTH - INDENT) {
            self.line(&format!("{}{line}", pad("", INDENT)));
        }
    }

    /// A paragraph that hangs behind a mark.
    pub(super) fn item(&mut self, words: &str) {
        for (k, line) in wrap(words, WIDTH - INDENT - 2).iter().enumerate() {
            let mark = if k == 0 { "- " } else { "  " };
            self.line(&format!("{}{mark}{line}", pad("", INDENT)));
        }
    }

    /// A grid: heads over columns. Columns that do not fit are broken into lines: the last one of
    /// kind [`Set::Fill`] takes what is left.
    pub(super) fn grid(&mut self, heads: &[(&str, Set)], rows: &[Vec<String>]) {
        let mut widths: Vec<usize> = (0..heads.len())
            .map(|c| rows.iter().map(|r| r[c].width()).max().unwrap_or(0).max(longest_word(heads[c].0)))
            .collect();
        for (width, head) in widths.iter_mut().zip(heads) {
            if let Set::Exact(exact) = head.1 {
                *width = exact;
            }
        }
        let fixed: usize = (0..heads.len()).filter(|c| heads[*c].1 != Set::Fill).map(|c| widths[c]).sum();
        let room = (WIDTH - INDENT).saturating_sub(fixed + GAP * (heads.len() - 1));
        let fills = heads.iter().filter(|h| h.1 == Set::Fill).count().max(1);
        for (c, head) in heads.iter().enumerate() {
            if head.1 == Set::Fill {
                widths[c] = (room / fills).max(8);
            }
        }
        if heads.iter().all(|h| h.1 != Set::Fill) {
            shrink(&mut widths, WIDTH - INDENT - GAP * (heads.len() - 1));
        }
        if heads.iter().any(|h| !h.0.is_empty()) {
            self.grid_row(&heads.iter().map(|h| h.0.to_owned()).collect::<Vec<_>>(), heads, &widths, true);
            let rules: Vec<String> = widths
                .iter()
                .zip(heads)
                .map(|(w, h)| {
                    let used = if h.1 == Set::Fill { (*w).min(12) } else { *w };
                    "-".repeat(used)
                })
                .collect();
            self.grid_row(&rules, heads, &widths, false);
        }
        for row in rows {
            self.grid_row(row, heads, &widths, false);
        }
    }

    /// One row; cells that need several lines stand at the top, heads at the bottom.
    fn grid_row(&mut self, cells: &[String], heads: &[(&str, Set)], widths: &[usize], at_bottom: bool) {
        let broken: Vec<Vec<String>> = cells.iter().zip(widths).map(|(cell, width)| wrap(cell, *width)).collect();
        let height = broken.iter().map(Vec::len).max().unwrap_or(0);
        for k in 0..height {
            let mut line = pad("", INDENT);
            for (c, lines) in broken.iter().enumerate() {
                let skip = if at_bottom { height - lines.len() } else { 0 };
                let cell = k.checked_sub(skip).and_then(|i| lines.get(i)).map_or("", String::as_str);
                if c > 0 {
                    line.push_str(&pad("", GAP));
                }
                let blank = widths[c].saturating_sub(cell.width());
                if matches!(heads[c].1, Set::Right | Set::Exact(_)) {
                    line.push_str(&pad("", blank));
                    line.push_str(cell);
                } else {
                    line.push_str(&pad(cell, widths[c]));
                }
            }
            self.line(&line);
        }
    }
}

/// Takes columns from the widest until all fit.
fn shrink(widths: &mut [usize], room: usize) {
    while widths.iter().sum::<usize>() > room {
        let Some(widest) = widths.iter_mut().max_by_key(|w| **w) else {
            return;
        };
        if *widest <= 6 {
            return;
        }
        *widest -= 1;
    }
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
        let unit = ["%", "N", "mm", "mm2", "mm3", "deg", "MPa", "N/mm"].contains(&bare);
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
pub(super) fn wrap(text: &str, width: usize) -> Vec<String> {
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
    fn a_grid_fits_the_page() {
        let mut page = Page::new(false);
        let heads = [("name", Set::Left), ("words", Set::Fill), ("N", Set::Right)];
        let rows = vec![vec!["x".repeat(30), "word ".repeat(80), "12.0".into()]];
        page.grid(&heads, &rows);
        page.grid(&[("a", Set::Left); 12], &[vec!["long-name-here".into(); 12]]);
        let text = page.finish();
        assert!(text.lines().all(|l| l.width() <= WIDTH), "{text}");
        assert!(text.lines().count() > 5);
    }
}
