//! The numbers behind a figure, as comma-separated values (RFC 4180).

use crate::show::table::{csv_line, csv_text};
use serde_json::Value;

/// Rows under a heading. A row is an array; an array in it takes a field for each of its parts.
pub(crate) fn csv<T: AsRef<str>>(
    heading: impl IntoIterator<Item = T>,
    rows: impl IntoIterator<Item = Value>,
) -> String {
    let heading = csv_line(heading.into_iter().map(|head| csv_text(head.as_ref())));
    rows.into_iter().fold(heading, |text, row| text + &csv_line(fields(&row)))
}

fn fields(value: &Value) -> Vec<String> {
    match value {
        Value::Null => vec![String::new()],
        Value::Array(parts) => parts.iter().flat_map(fields).collect(),
        // What is called like a number is no formula.
        Value::String(text) if text.parse::<f64>().is_err() => vec![csv_text(text)],
        Value::String(text) => vec![text.clone()],
        Value::Number(number) if number.is_f64() => vec![number.as_f64().map_or_else(String::new, nine_digits)],
        other => vec![other.to_string()],
    }
}

/// More digits than any number means, and so few that no rounding error shows.
fn nine_digits(value: f64) -> String {
    let rounded = format!("{value:.8e}").parse().unwrap_or(value);
    if rounded.abs() < 1e-12 { "0".to_owned() } else { rounded.to_string() }
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    #[test]
    fn numbers_are_rounded_and_names_are_no_formulas() {
        let row =
            json!([0.04999999999999982, [-0.0, -1e-17], 1.0 / 3.0, None::<f64>, "=cmd|calc!A0", "-1", "say \"so\""]);
        assert_eq!(csv(["a,b"], [row]), "\"a,b\"\n0.05,0,0,0.333333333,,'=cmd|calc!A0,-1,\"say \"\"so\"\"\"\n");
    }
}
