//! The numbers behind a figure, as comma-separated values (RFC 4180).

/// A field.
#[derive(Debug)]
pub(crate) struct Cell(String);

impl From<&str> for Cell {
    /// Words, quoted when they must be. A spreadsheet takes what begins like a formula for one: an
    /// apostrophe before it keeps it words.
    fn from(text: &str) -> Self {
        let formula = text.starts_with(['=', '+', '-', '@', '\t', '\r']) && text.parse::<f64>().is_err();
        let text = if formula { format!("'{text}") } else { text.to_owned() };
        let quoted = text.contains([',', '"', '\n', '\r']);
        Self(if quoted { format!("\"{}\"", text.replace('"', "\"\"")) } else { text })
    }
}

impl From<String> for Cell {
    fn from(text: String) -> Self {
        text.as_str().into()
    }
}

impl From<&String> for Cell {
    fn from(text: &String) -> Self {
        text.as_str().into()
    }
}

impl From<f64> for Cell {
    /// A number in nine digits: more than any of them means, and no rounding error shows.
    fn from(value: f64) -> Self {
        let rounded = format!("{value:.8e}").parse().unwrap_or(value);
        Self(if rounded.abs() < 1e-12 { "0".to_owned() } else { rounded.to_string() })
    }
}

macro_rules! as_written {
    ($($kind:ty),*) => { $(impl From<$kind> for Cell {
        fn from(value: $kind) -> Self {
            Self(value.to_string())
        }
    })* };
}
as_written!(usize, u64, bool);

impl From<&f64> for Cell {
    fn from(value: &f64) -> Self {
        (*value).into()
    }
}

impl<T: Into<Self>> From<Option<T>> for Cell {
    fn from(value: Option<T>) -> Self {
        value.map_or(Self(String::new()), Into::into)
    }
}

/// The cells of a row.
macro_rules! row {
    ($($value:expr),* $(,)?) => { vec![$($crate::show::chart::Cell::from($value)),*] };
}
pub(crate) use row;

/// A table of numbers and words under one heading.
#[derive(Debug)]
pub(crate) struct Csv(String);

impl Csv {
    /// Starts with the heading.
    pub fn new<T: AsRef<str>>(heading: impl IntoIterator<Item = T>) -> Self {
        let mut csv = Self(String::new());
        csv.row(heading.into_iter().map(|h| h.as_ref().into()));
        csv
    }

    /// Adds a row.
    pub fn row(&mut self, cells: impl IntoIterator<Item = Cell>) {
        let row: Vec<String> = cells.into_iter().map(|c| c.0).collect();
        self.0.push_str(&row.join(","));
        self.0.push('\n');
    }

    /// The whole text.
    pub fn finish(self) -> String {
        self.0
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_rounded_and_names_are_no_formulas() {
        let mut csv = Csv::new(["a,b"]);
        csv.row(row![0.04999999999999982, -0.0, -1e-17, 1.0 / 3.0, None::<f64>, "=cmd|calc!A0", "-1", "say \"so\""]);
        assert_eq!(csv.finish(), "\"a,b\"\n0.05,0,0,0.333333333,,'=cmd|calc!A0,-1,\"say \"\"so\"\"\"\n");
    }
}
