//! The numbers behind a figure, as comma-separated values (RFC 4180).

use std::fmt::Write as _;

/// A field, quoted when it must be.
pub(crate) fn field(text: &str) -> String {
    if text.contains([',', '"', '\n', '\r']) { format!("\"{}\"", text.replace('"', "\"\"")) } else { text.to_owned() }
}

/// A table of numbers and words under one header.
#[derive(Debug)]
pub(crate) struct Csv {
    text: String,
}

impl Csv {
    /// Starts with the header row.
    pub fn new(header: &[&str]) -> Self {
        let mut csv = Self { text: String::new() };
        csv.row(header.iter().map(|h| (*h).to_owned()));
        csv
    }

    /// Adds a row of fields (words through [`field`]).
    pub fn row(&mut self, fields: impl IntoIterator<Item = String>) {
        let row: Vec<String> = fields.into_iter().collect();
        let _ = writeln!(self.text, "{}", row.join(","));
    }

    /// The whole text.
    pub fn finish(self) -> String {
        self.text
    }
}
