//! Page and methods section from their templates: strict, so that a text never has a hole.
//!
//! A template sees the [`Record`] (without its bulky `results`, `verified`, `scatter`, `swept` and
//! `place`) and `table`, every table by its name
//! ready to be printed. A fact prints with its unit; `.text` is the number alone. A number that was
//! not rounded cannot be printed.

use super::plates::Plate;
use super::record::Record;
use super::table::{Table, escape};
use crate::show::figures::font_faces;
use base64::prelude::{BASE64_STANDARD, Engine as _};
use minijinja::value::ValueKind;
use minijinja::{AutoEscape, Environment, ErrorKind, Output, State, UndefinedBehavior, Value};
use serde_json::{Map, Value as Json};
use thiserror::Error;

/// The embedded template of the methods section.
pub const METHODS: &str = include_str!("templates/methods.md");
/// The embedded template of the page.
pub const PAGE: &str = include_str!("templates/index.html");

/// Why a template gave no text.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[error("{name}, line {line}: {message}")]
pub struct TemplateError {
    /// Name of the template.
    pub name: String,
    /// Line, counted from 1.
    pub line: usize,
    /// What is wrong there, with the field it names.
    pub message: String,
}

/// The methods section of a record, Markdown, by a template of the given name.
///
/// # Errors
/// A template that is no template, or names a field that the record does not have.
pub fn methods(record: &Record, name: &str, template: &str) -> Result<String, TemplateError> {
    let context = context(record, |t| format!("**{}**\n\n{}", t.title, t.markdown()));
    render(name, template, Json::Object(context), AutoEscape::None)
}

/// The page of a record with its figures.
///
/// # Errors
/// As [`methods`]; the embedded template has none.
pub fn page(record: &Record, plates: &[Plate]) -> Result<String, TemplateError> {
    let mut context = context(record, Table::html);
    let drawings = plates
        .iter()
        .map(|p| {
            let drawn = inline(&p.figure.svg, &p.figure.alt);
            Json::Object(Map::from_iter([
                ("svg".to_owned(), drawn.into()),
                ("name".to_owned(), p.figure.name.clone().into()),
                ("title".to_owned(), p.title.clone().into()),
                ("caption".to_owned(), p.figure.caption.clone().into()),
                ("wide".to_owned(), (p.figure.width_mm > 100.0).into()),
            ]))
        })
        .collect();
    context.insert("plates".to_owned(), Json::Array(drawings));
    context.insert("fonts".to_owned(), fonts().into());
    render("index.html", PAGE, Json::Object(context), AutoEscape::Html)
}

/// The font of drawings and words, inside the page: labels then take the room that they were given,
/// whatever is installed where the page is read.
fn fonts() -> String {
    font_faces()
        .iter()
        .map(|(weight, style, bytes)| {
            let data = BASE64_STANDARD.encode(bytes);
            format!(
                "@font-face {{ font-family: \"Liberation Sans\"; font-weight: {weight}; font-style: {style}; src: url(data:font/ttf;base64,{data}); }}\n"
            )
        })
        .collect()
}

/// A drawing inside the page: its words for those who do not see it as a label.
fn inline(svg: &str, alt: &str) -> String {
    let label = format!("role=\"img\" aria-label=\"{}\"", escape(alt));
    // Its own title and description would be read twice.
    let lines = svg.lines().filter(|l| !l.starts_with("<title>") && !l.starts_with("<desc>") && !l.starts_with("<!--"));
    let text: Vec<&str> = lines.collect();
    text.join("\n").replacen("role=\"img\"", &label, 1)
}

fn context(record: &Record, print: impl Fn(&Table) -> String) -> Map<String, Json> {
    // Plain data with text keys always has a JSON form.
    let mut context = match serde_json::to_value(record) {
        Ok(Json::Object(map)) => map,
        _ => Map::new(),
    };
    for bulky in ["results", "verified", "scatter", "swept", "place"] {
        context.remove(bulky);
    }
    let printed =
        |tables: &[Table]| -> Map<String, Json> { tables.iter().map(|t| (t.name.clone(), print(t).into())).collect() };
    context.insert("table".to_owned(), Json::Object(printed(&record.tables)));
    if let Some(Json::Array(list)) = context.get_mut("tying") {
        for (one, data) in list.iter_mut().zip(&record.tying) {
            if let Json::Object(map) = one {
                map.insert("table".to_owned(), print(&data.table).into());
            }
        }
    }
    if let Some(Json::Array(list)) = context.get_mut("constructs") {
        for (one, data) in list.iter_mut().zip(&record.constructs) {
            if let Json::Object(map) = one {
                map.insert("table".to_owned(), Json::Object(printed(&data.tables)));
                let list = data.tables.iter().map(|t| print(t).into()).collect();
                map.insert("printed".to_owned(), Json::Array(list));
            }
        }
    }
    context
}

fn render(name: &str, template: &str, context: Json, escaping: AutoEscape) -> Result<String, TemplateError> {
    let mut environment = Environment::new();
    environment.set_undefined_behavior(UndefinedBehavior::Strict);
    environment.set_trim_blocks(true);
    environment.set_lstrip_blocks(true);
    environment.set_keep_trailing_newline(true);
    environment.set_auto_escape_callback(move |_| escaping);
    environment.set_formatter(said);
    environment.add_filter("tight", tight);
    let fail = |e: &minijinja::Error| explain(name, template, e);
    environment.add_template("template", template).map_err(|e| fail(&e))?;
    environment.get_template("template").and_then(|t| t.render(Value::from_serialize(&context))).map_err(|e| fail(&e))
}

/// Prints a fact as its words and unit, words as they are, and no bare number.
fn said(out: &mut Output<'_>, state: &State<'_, '_>, value: &Value) -> Result<(), minijinja::Error> {
    let refuse = |what: &str| Err(minijinja::Error::new(ErrorKind::InvalidOperation, what.to_owned()));
    match value.kind() {
        ValueKind::Undefined => Err(minijinja::Error::from(ErrorKind::UndefinedError)),
        ValueKind::Map => {
            let part = |name: &str| value.get_attr(name).ok().filter(|v| v.kind() == ValueKind::String);
            match (part("text"), part("unit")) {
                (Some(text), Some(unit)) => {
                    let words = format!("{text} {unit}");
                    let words = Value::from(words.trim_end());
                    minijinja::escape_formatter(out, state, &words)
                }
                _ => refuse("this is a group of fields, not one of them"),
            }
        }
        ValueKind::Number => refuse("this is a number with all its digits: print its fact, or the fact's `text`"),
        ValueKind::Seq | ValueKind::Iterable => refuse("this is a list: go over it with `for`"),
        _ => minijinja::escape_formatter(out, state, value),
    }
}

/// Keeps a number and its unit on one line.
fn tight(text: String) -> String {
    let mut out = String::with_capacity(text.len());
    let mut rest = text.as_str();
    while let Some((before, after)) = rest.split_once(' ') {
        out.push_str(before);
        let unit = after.split([' ', ',', ';', '.', ')', ':', '?']).next();
        let is_unit = unit.is_some_and(|u| matches!(u, "N" | "mm" | "%" | "deg" | "MPa" | "N/mm"));
        let number = before.ends_with(|c: char| c.is_ascii_digit());
        out.push(if number && is_unit { '\u{a0}' } else { ' ' });
        rest = after;
    }
    out.push_str(rest);
    out
}

fn explain(name: &str, template: &str, e: &minijinja::Error) -> TemplateError {
    let line = e.line().unwrap_or(1);
    let whole = template.lines().nth(line - 1).unwrap_or_default().trim();
    // The expression at fault, where the engine tells it; otherwise its line.
    let at = e
        .range()
        .and_then(|r| template.get(r))
        .map(|t| t.trim_matches(['{', '}', '%', ' ', '-']))
        .filter(|t| !t.is_empty() && !t.contains('\n'))
        .unwrap_or(whole);
    let message = match e.kind() {
        ErrorKind::UndefinedError => {
            format!("there is no field `{at}` in the report; `results.json` of any report shows what there is")
        }
        _ => format!("`{at}`: {}", e.detail().map_or_else(|| e.kind().to_string(), str::to_owned)),
    };
    TemplateError { name: name.to_owned(), line, message }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn text(template: &str) -> Result<String, TemplateError> {
        let context = serde_json::json!({
            "case": { "width": { "text": "6.50", "unit": "mm", "value": 6.5 } },
            "name": "a < b",
            "list": ["x", "y"],
        });
        render("mine.md", template, context, AutoEscape::None)
    }

    #[test]
    fn facts_print_rounded_and_nothing_else_does() {
        assert_eq!(text("{{ case.width }}, {{ case.width.text }}\n").unwrap(), "6.50 mm, 6.50\n");
        assert_eq!(text("{% for x in list %}{{ x }}{% endfor %}").unwrap(), "xy");
        for (bad, says) in
            [("{{ case.width.value }}", "all its digits"), ("{{ case }}", "group of fields"), ("{{ list }}", "list")]
        {
            let e = text(bad).unwrap_err();
            assert!(e.message.contains(says), "{e}");
        }
    }

    #[test]
    fn a_number_keeps_its_unit_beside_it() {
        assert_eq!(
            tight("with 112 N, at 1 mm; a 4 by 5 Name".to_owned()),
            "with 112\u{a0}N, at 1\u{a0}mm; a 4 by 5 Name"
        );
    }

    #[test]
    fn an_unknown_field_is_named_with_its_line() {
        for bad in [
            "one\ntwo {{ case.wdth }} x\n",
            "one\n{% if case.wdth %}{% endif %}\n",
            "\n{% for x in case.wdth %}{% endfor %}",
        ] {
            let e = text(bad).unwrap_err();
            assert_eq!(e.line, 2, "{e}");
            assert!(e.to_string().starts_with("mine.md, line 2: "), "{e}");
            assert!(e.message.contains("case.wdth"), "{e}");
        }
        let e = text("\n\n{{ nothing.at.all }}").unwrap_err();
        assert!(e.line == 3 && e.message.contains("nothing"), "{e}");
        assert_eq!(text("x\n{% for %}").unwrap_err().line, 2);
    }
}
