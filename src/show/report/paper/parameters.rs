//! Every value that a run used: what was typed, and what was taken because nothing was.

use super::fact::Fact;
use super::record::Source;
use crate::model::{Tag, Taken, parameter};
use crate::show::table::{Cell, Table};
use crate::show::words;
use serde::Serialize;

/// One value.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub(super) struct Value {
    /// `case`, or the construct's name.
    #[serde(skip)]
    pub of: String,
    /// Dotted path.
    pub path: String,
    /// As typed or taken.
    pub value: String,
    /// Its unit.
    pub unit: String,
    /// How it is backed.
    pub backing: &'static str,
    /// Where it comes from.
    pub source: String,
}

/// Values of a file: those typed in the order of their paths, then the defaults.
pub(super) fn values(file: &Source, taken: &[Taken]) -> Vec<Value> {
    let mut values = Vec::new();
    if let Ok(table) = file.text.parse::<toml::Table>() {
        flatten("", &toml::Value::Table(table), &mut |path, value| {
            // What describes the file is no number of the model.
            if matches!(path.as_str(), "name" | "description") {
                return;
            }
            // A table of a list stands for any name.
            let unit = parameter(&path.replace('[', ".").replace(']', "")).map_or("", |p| p.unit);
            values.push(Value {
                of: file.name.clone(),
                path,
                unit: if value.ends_with(unit) { "" } else { unit }.to_owned(),
                value,
                backing: words::tag(Tag::Given),
                source: "typed in the file".to_owned(),
            });
        });
    }
    values.extend(taken.iter().map(|t| Value {
        of: file.name.clone(),
        path: t.path.clone(),
        value: t.value.clone(),
        unit: t.unit.clone(),
        backing: words::tag(t.tag),
        source: t.source.clone(),
    }));
    values
}

fn flatten(path: &str, value: &toml::Value, put: &mut impl FnMut(String, String)) {
    let below = |key: &str| {
        if path.is_empty() { key.to_owned() } else { format!("{path}.{key}") }
    };
    match value {
        toml::Value::Table(table) => {
            for (key, value) in table {
                flatten(&below(key), value, put);
            }
        }
        toml::Value::Array(list) if list.iter().all(toml::Value::is_table) => {
            for (k, value) in list.iter().enumerate() {
                flatten(&format!("{path}[{}]", k + 1), value, put);
            }
        }
        toml::Value::String(text) => put(path.to_owned(), text.clone()),
        other => put(path.to_owned(), other.to_string()),
    }
}

/// Joins what several constructs have in common: the same value, backed the same way, once, with the
/// names of those that have it.
pub(super) fn joined(values: Vec<Value>, constructs: usize) -> Vec<Value> {
    let mut once: Vec<(Value, Vec<String>)> = Vec::new();
    for value in values {
        let same = |v: &Value| {
            v.path == value.path
                && v.value == value.value
                && v.unit == value.unit
                && v.backing == value.backing
                && v.source == value.source
        };
        match once.iter_mut().find(|(v, _)| same(v)) {
            Some((_, names)) => names.push(value.of),
            None => {
                let names = vec![value.of.clone()];
                once.push((value, names));
            }
        }
    }
    once.into_iter()
        .map(|(value, names)| Value {
            of: if names.len() == constructs && constructs > 1 {
                "each construct".to_owned()
            } else {
                names.join(", ")
            },
            ..value
        })
        .collect()
}

/// The values as a table.
pub(super) fn table(values: &[Value]) -> Table {
    let mut table = Table::new(
        "parameters",
        "Every value used, its unit and its backing",
        &["of", "value of", "value", "unit", "backing", "source"],
    );
    for v in values {
        let value: Cell = match v.value.parse::<f64>() {
            Ok(number) if number.is_finite() => Cell { text: v.value.clone(), ..Fact::exact(number, &v.unit).into() },
            _ => v.value.clone().into(),
        };
        table.row([
            v.of.as_str().into(),
            v.path.as_str().into(),
            value,
            v.unit.as_str().into(),
            v.backing.into(),
            v.source.as_str().into(),
        ]);
    }
    table
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_is_laid_out_value_by_value() {
        let file = Source {
            name: "mine".to_owned(),
            text: "name = \"mine\"\n[bed]\nfriction = 0.4\n[limb.a]\npath = [\"x\", \"y\"]\n".to_owned(),
            stem: "mine".to_owned(),
        };
        let found = values(&file, &[]);
        assert_eq!(found.len(), 2);
        assert_eq!((found[0].path.as_str(), found[0].value.as_str()), ("bed.friction", "0.4"));
        assert_eq!(found[1].path, "limb.a.path");
    }
}
