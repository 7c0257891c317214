//! A table, and its three forms: Markdown, CSV and HTML.

use super::fact::Fact;
use schemars::JsonSchema;
use serde::Serialize;

/// Length, in bytes, up to which a word among numbers is set like them.
const SHORT: usize = 24;

/// Columns beyond which a table is not squeezed into a narrow screen.
const MANY: usize = 5;

/// A cell: what is printed, and the full number where it is one.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Cell {
    /// As printed.
    pub text: String,
    /// As computed; absent for words.
    pub value: Option<f64>,
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

impl From<Fact> for Cell {
    fn from(fact: Fact) -> Self {
        Self { text: fact.text, value: Some(fact.value) }
    }
}

impl<T: Into<Cell>> From<Option<T>> for Cell {
    fn from(cell: Option<T>) -> Self {
        cell.map_or_else(|| "–".into(), Into::into)
    }
}

/// A table. Units stand in the heads, except where each row has its own.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Table {
    /// Name: the stem of its files.
    pub name: String,
    /// What it shows.
    pub title: String,
    /// Heads of the columns.
    pub heads: Vec<String>,
    /// Rows, each as long as the heads.
    pub rows: Vec<Vec<Cell>>,
}

impl Table {
    /// A table without rows yet.
    pub fn new(name: &str, title: &str, heads: &[&str]) -> Self {
        Self {
            name: name.to_owned(),
            title: title.to_owned(),
            heads: heads.iter().map(|h| (*h).to_owned()).collect(),
            rows: Vec::new(),
        }
    }

    /// Adds a row.
    pub fn row(&mut self, cells: impl IntoIterator<Item = Cell>) {
        self.rows.push(cells.into_iter().collect());
    }

    /// Whether a column holds numbers for the most part: it is set to the right.
    fn is_numeric(&self, column: usize) -> bool {
        let numbers = self.rows.iter().filter(|r| r[column].value.is_some());
        2 * numbers.count() > self.rows.len()
    }

    /// As Markdown (pipe table).
    pub fn markdown(&self) -> String {
        let line = |cells: Vec<String>| format!("| {} |\n", cells.join(" | "));
        let clean = |text: &str| text.replace('|', "\\|").replace('\n', " ");
        let mut text = line(self.heads.iter().map(|h| clean(h)).collect());
        text.push_str(&line(
            (0..self.heads.len()).map(|k| if self.is_numeric(k) { "--:" } else { "---" }.to_owned()).collect(),
        ));
        for row in &self.rows {
            text.push_str(&line(row.iter().map(|c| clean(&c.text)).collect()));
        }
        text
    }

    /// As comma-separated values (RFC 4180), numbers with all their digits.
    pub fn csv(&self) -> String {
        let field = |text: &str| {
            if text.contains([',', '"', '\n', '\r']) {
                format!("\"{}\"", text.replace('"', "\"\""))
            } else {
                text.to_owned()
            }
        };
        let mut text = String::new();
        let heads: Vec<String> = self.heads.iter().map(|h| field(h)).collect();
        text.push_str(&heads.join(","));
        text.push('\n');
        for row in &self.rows {
            let cells: Vec<String> = row
                .iter()
                .map(|c| match c.value {
                    Some(value) => value.to_string(),
                    None => field(&c.text),
                })
                .collect();
            text.push_str(&cells.join(","));
            text.push('\n');
        }
        text
    }

    /// As HTML, in a box that scrolls on a narrow screen.
    pub fn html(&self) -> String {
        let mut text = format!(
            "<div class=\"table{1}\" tabindex=\"0\" role=\"region\" aria-label=\"{0}\"><table>\n<caption>{0}</caption>\n<thead><tr>",
            escape(&self.title),
            if self.heads.len() > MANY { " many" } else { "" }
        );
        let class_of = |k: usize, short: bool| {
            if short && self.is_numeric(k) { " class=\"number\"" } else { "" }
        };
        let class = |k: usize| class_of(k, true);
        // Numbers do not break, nor does a short word among them; what is longer has to.
        let is_short = |cell: &Cell| cell.value.is_some() || cell.text.len() <= SHORT;
        for (k, head) in self.heads.iter().enumerate() {
            text.push_str(&format!("<th scope=\"col\"{}>{}</th>", class(k), escape(head)));
        }
        text.push_str("</tr></thead>\n<tbody>\n");
        for row in &self.rows {
            text.push_str("<tr>");
            for (k, cell) in row.iter().enumerate() {
                let words = escape(&cell.text);
                let class = class_of(k, is_short(cell));
                if k == 0 {
                    text.push_str(&format!("<th scope=\"row\"{class}>{words}</th>"));
                } else {
                    text.push_str(&format!("<td{class}>{words}</td>"));
                }
            }
            text.push_str("</tr>\n");
        }
        text.push_str("</tbody></table></div>\n");
        text
    }
}

/// Text made fit for HTML, in an element or a quoted attribute.
pub(super) fn escape(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;").replace('"', "&quot;")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_form_keeps_hostile_words_in_their_place() {
        let mut table = Table::new("t", "<T>", &["a|b", "N"]);
        table.row(["x, \"y\" & <z>".into(), Fact::new(1.26, 1, "N").into()]);
        assert_eq!(table.markdown(), "| a\\|b | N |\n| --- | --: |\n| x, \"y\" & <z> | 1.3 |\n");
        assert_eq!(table.csv(), "a|b,N\n\"x, \"\"y\"\" & <z>\",1.26\n");
        let html = table.html();
        assert!(html.contains("x, &quot;y&quot; &amp; &lt;z&gt;"), "{html}");
        assert!(html.contains("aria-label=\"&lt;T&gt;\""));
    }
}
