//! A table as a value, and its forms: Markdown, comma-separated values and HTML here, a terminal's in
//! [`terminal`](super::terminal). Each form escapes in its one writer, so that a name can hold anything.

use super::words;
use crate::quantities::quantity;
use schemars::JsonSchema;
use serde::Serialize;

/// Length, in bytes, up to which a word among numbers is set like them.
const SHORT: usize = 24;
/// Columns beyond which a table is not squeezed into a narrow screen.
const MANY: usize = 5;
/// What stands where there is nothing to say.
pub(crate) const NONE: &str = "–";

/// A cell: what is printed, and the full number where it is one.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Cell {
    /// As printed.
    pub text: String,
    /// As computed; absent for words.
    pub value: Option<f64>,
}

impl Cell {
    /// A number with so many decimals.
    pub fn fixed(value: f64, decimals: usize) -> Self {
        Self { text: words::num(value, decimals), value: Some(value) }
    }

    /// The same with its sign, where a sign means a direction.
    pub fn signed(value: f64, decimals: usize) -> Self {
        Self { text: words::signed(value, decimals), value: Some(value) }
    }

    /// A value of a quantity by its key, rounded as it is everywhere.
    pub(crate) fn of(key: &str, value: f64) -> Self {
        Self { text: words::rounded(quantity(key), value), value: Some(value) }
    }

    /// A share (0 to 1), in whole percent.
    pub fn percent(share: f64) -> Self {
        Self::fixed(100.0 * share, 0)
    }

    /// A number as it was typed or set, with the digits that it needs.
    pub fn exact(value: f64) -> Self {
        Self { text: words::exact(value), value: Some(value) }
    }

    /// With so many significant digits, and none that says nothing.
    pub fn significant(value: f64, digits: usize) -> Self {
        Self { text: words::significant(value, digits), value: Some(value) }
    }

    /// A count.
    pub fn count(count: usize) -> Self {
        Self { text: count.to_string(), value: Some(count as f64) }
    }

    /// Nothing.
    pub fn none() -> Self {
        NONE.into()
    }
}

impl From<&str> for Cell {
    fn from(text: &str) -> Self {
        Self { text: text.to_owned(), value: None }
    }
}

impl From<String> for Cell {
    fn from(text: String) -> Self {
        Self { text, value: None }
    }
}

impl From<&String> for Cell {
    fn from(text: &String) -> Self {
        text.as_str().into()
    }
}

impl<T: Into<Cell>> From<Option<T>> for Cell {
    fn from(cell: Option<T>) -> Self {
        cell.map_or_else(Cell::none, Into::into)
    }
}

/// A column: its head, its unit (empty where there is none), and its cell of an item.
pub(crate) type Column<'a, T> = (&'a str, &'a str, &'a dyn Fn(&T) -> Cell);

/// A table.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Table {
    /// Name: the stem of its files.
    pub name: String,
    /// What it shows.
    pub title: String,
    /// Heads of the columns, each with its unit in parentheses, except where each row has its own.
    pub heads: Vec<String>,
    /// Rows, each as long as the heads.
    pub rows: Vec<Vec<Cell>>,
}

impl Table {
    /// A table without rows yet.
    pub fn new<H: AsRef<str>>(name: &str, title: &str, heads: &[H]) -> Self {
        Self {
            name: name.to_owned(),
            title: title.to_owned(),
            heads: heads.iter().map(|h| h.as_ref().to_owned()).collect(),
            rows: Vec::new(),
        }
    }

    /// A table of one row an item.
    pub(crate) fn of<T>(
        name: &str,
        title: &str,
        items: impl IntoIterator<Item = T>,
        columns: &[Column<'_, T>],
    ) -> Self {
        let heads: Vec<String> =
            columns.iter().map(|(head, unit, _)| crate::study::result::with_unit(head, unit)).collect();
        let mut table = Self::new(name, title, &heads);
        table.rows = items.into_iter().map(|item| columns.iter().map(|(_, _, cell)| cell(&item)).collect()).collect();
        table
    }

    /// Adds a row.
    pub fn row(&mut self, cells: impl IntoIterator<Item = Cell>) {
        self.rows.push(cells.into_iter().collect());
    }

    /// The table, unless it has no row.
    pub(crate) fn filled(self) -> Option<Self> {
        (!self.rows.is_empty()).then_some(self)
    }

    /// Without the columns that say nothing in any row.
    pub(crate) fn without_empty(mut self) -> Self {
        for k in (0..self.heads.len()).rev() {
            if self.rows.iter().all(|row| row[k].text.is_empty() || row[k].text == NONE) {
                self.heads.remove(k);
                self.rows.iter_mut().for_each(|row| drop(row.remove(k)));
            }
        }
        self
    }

    /// Without a column, where there is one of that head.
    pub(crate) fn without(mut self, head: &str) -> Self {
        if let Some(k) = self.heads.iter().position(|h| h == head) {
            self.heads.remove(k);
            self.rows.iter_mut().for_each(|row| drop(row.remove(k)));
        }
        self
    }

    /// Whether a column holds numbers for the most part: it is set to the right.
    pub(crate) fn is_numeric(&self, column: usize) -> bool {
        let said = |c: &&Vec<Cell>| !c[column].text.is_empty() && c[column].text != NONE;
        let of = self.rows.iter().filter(said).count();
        2 * self.rows.iter().filter(|r| r[column].value.is_some()).count() > of
    }

    /// As Markdown (pipe table).
    pub fn markdown(&self) -> String {
        let line = |cells: Vec<String>| format!("| {} |\n", cells.join(" | "));
        let rule = |k| if self.is_numeric(k) { "--:" } else { "---" }.to_owned();
        let mut text = line(self.heads.iter().map(|h| markdown(h)).collect());
        text += &line((0..self.heads.len()).map(rule).collect());
        for row in &self.rows {
            text += &line(row.iter().map(|c| markdown(&c.text)).collect());
        }
        text
    }

    /// The same under its title.
    pub fn page(&self) -> String {
        format!("{}\n\n{}", markdown(&self.title), self.markdown())
    }

    /// As comma-separated values (RFC 4180): the heads, then the rows.
    pub fn csv(&self) -> String {
        let mut text = csv_line(self.heads.iter().map(|h| csv_text(h)));
        for row in &self.rows {
            text += &csv_line(row.iter().map(|c| match c.value {
                Some(value) => csv_number(value),
                None if c.text == NONE => String::new(),
                None => csv_text(&c.text),
            }));
        }
        text
    }

    /// As HTML, in a box that scrolls on a narrow screen.
    pub fn html(&self) -> String {
        let title = html(&self.title);
        let many = if self.heads.len() > MANY { " many" } else { "" };
        let mut text = format!(
            "<div class=\"table{many}\" tabindex=\"0\" role=\"region\" aria-label=\"{title}\"><p class=\"cue\">Scrolls sideways →</p><table>\n<caption>{title}</caption>\n<thead><tr>",
        );
        let class_of = |k: usize, short: bool| if short && self.is_numeric(k) { " class=\"number\"" } else { "" };
        // Numbers do not break, nor does a short word among them; what is longer has to.
        let is_short = |cell: &Cell| cell.value.is_some() || cell.text.len() <= SHORT;
        for (k, head) in self.heads.iter().enumerate() {
            text += &format!("<th scope=\"col\"{}>{}</th>", class_of(k, true), html(head));
        }
        text += "</tr></thead>\n<tbody>\n";
        for row in &self.rows {
            text += "<tr>";
            for (k, cell) in row.iter().enumerate() {
                let (words, class) = (html(&cell.text), class_of(k, is_short(cell)));
                text += &match k {
                    0 => format!("<th scope=\"row\"{class}>{words}</th>"),
                    _ => format!("<td{class}>{words}</td>"),
                };
            }
            text += "</tr>\n";
        }
        text + "</tbody></table></div>\n"
    }
}

/// Text made fit for HTML, in an element or a quoted attribute.
pub(crate) fn html(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;").replace('"', "&quot;").replace('\'', "&#39;")
}

/// Text made fit for a line of Markdown: no element, link, image, code or column comes of it.
pub(crate) fn markdown(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for (at, c) in text.char_indices() {
        match c {
            '\\' | '|' | '`' => out.extend(['\\', c]),
            // A bracket alone is a bracket; one before these ends the words of a link.
            ']' if text[at + 1..].starts_with(['(', '[', ':']) => out += "\\]",
            '<' => out += "&lt;",
            '\n' | '\r' => out.push(' '),
            c => out.push(c),
        }
    }
    out
}

/// A line of comma-separated fields.
pub(crate) fn csv_line(fields: impl IntoIterator<Item = String>) -> String {
    fields.into_iter().collect::<Vec<_>>().join(",") + "\n"
}

/// Words as a field of comma-separated values: quoted where they must be, and with an apostrophe before
/// what a spreadsheet would run as a formula.
pub(crate) fn csv_text(text: &str) -> String {
    let runs = text.starts_with(['=', '+', '-', '@', '\t', '\r']);
    let safe = if runs { format!("'{text}") } else { text.to_owned() };
    if safe.contains([',', '"', '\n', '\r']) { format!("\"{}\"", safe.replace('"', "\"\"")) } else { safe }
}

/// A number as a field, with all its digits; but a round number with the rounding error of a sum is the round
/// number (0.05 where 0.04999999999999982 was added up), zero has no sign, and what is no number is nothing.
pub(crate) fn csv_number(value: f64) -> String {
    if !value.is_finite() {
        return String::new();
    }
    let rounded: f64 = format!("{value:.9e}").parse().unwrap_or(value);
    let is_round = (rounded - value).abs() <= 1e-14 * value.abs();
    if value == 0.0 { "0".to_owned() } else { (if is_round { rounded } else { value }).to_string() }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_form_keeps_hostile_words_in_their_place() {
        let mut table = Table::new("t", "<T>", &["a|b", "N"]);
        table.row(["x, \"y\" & <z>".into(), Cell::fixed(1.26, 1)]);
        assert_eq!(table.markdown(), "| a\\|b | N |\n| --- | --: |\n| x, \"y\" & &lt;z> | 1.3 |\n");
        assert_eq!(table.csv(), "a|b,N\n\"x, \"\"y\"\" & <z>\",1.26\n");
        let html = table.html();
        assert!(html.contains("x, &quot;y&quot; &amp; &lt;z&gt;"), "{html}");
        assert!(html.contains("aria-label=\"&lt;T&gt;\""));
    }

    #[test]
    fn no_name_runs_in_a_spreadsheet_or_links_in_a_text() {
        for name in ["=cmd|calc!A0", "+1", "-1", "@x"] {
            assert_eq!(csv_text(name), format!("'{name}"));
        }
        assert_eq!(csv_text("=1,2"), "\"'=1,2\"");
        assert_eq!(markdown("[x](javascript:1)"), "[x\\](javascript:1)");
        assert_eq!(markdown("<img onerror=1>|`"), "&lt;img onerror=1>\\|\\`");
    }

    #[test]
    fn numbers_are_written_as_they_are_meant() {
        assert_eq!(csv_number(0.04999999999999982), "0.05");
        assert_eq!(csv_number(-0.0), "0");
        assert_eq!(csv_number(f64::NAN), "");
        assert_eq!(csv_number(-1.25), "-1.25");
        assert_eq!(csv_number(123456.789012345), "123456.789012345");
    }

    #[test]
    fn a_column_that_says_nothing_goes() {
        let columns: [Column<'_, f64>; 3] =
            [("a", "N", &|v| Cell::fixed(*v, 1)), ("b", "", &|_| Cell::none()), ("c", "", &|_| "x".into())];
        let table = Table::of("t", "T", [1.0, 2.0], &columns).without_empty();
        assert_eq!(table.csv(), "a (N),c\n1,x\n2,x\n");
    }
}
