//! Page and methods section from their templates: strict, so that a text never has a hole.
//!
//! A template sees the [`Record`] (without its bulky `results`, `verified`, `scatter`, `swept` and
//! `place`) and `table`, every table by its name
//! ready to be printed. A fact prints with its unit; `.text` is the number alone. A number that was
//! not rounded cannot be printed.

use super::plates::Plate;
use super::record::Record;
use crate::show::figures::font_faces;
use crate::show::table::{self, Table};
use base64::prelude::{BASE64_STANDARD, Engine as _};
use minijinja::value::ValueKind;
use minijinja::{AutoEscape, Environment, ErrorKind, Output, State, UndefinedBehavior, Value, filters, tests as kinds};
use serde::Serialize;
use serde_json::Value as Json;
use std::collections::BTreeMap;
use thiserror::Error;

/// The embedded template of the methods section.
pub const METHODS: &str = include_str!("templates/methods.md");
/// The embedded template of what belongs to the methods section and is too long for it.
pub const METHODS_SUPPLEMENT: &str = include_str!("templates/methods-supplement.md");
/// The embedded template of the page.
pub const PAGE: &str = concat!(
    include_str!("templates/head.html"),
    include_str!("templates/index-top.html"),
    include_str!("templates/plates.html"),
    include_str!("templates/index.html"),
    include_str!("templates/foot.html")
);
/// The embedded template of its supplement.
pub const SUPPLEMENT: &str = concat!(
    include_str!("templates/head.html"),
    include_str!("templates/supplement-top.html"),
    include_str!("templates/plates.html"),
    include_str!("templates/supplement.html"),
    include_str!("templates/foot.html")
);

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

/// Bytes that a template may have: many times the built-in one.
pub const LARGEST: usize = 256 * 1024;
/// Bytes that one tag may have, and chained conditions in all: both are read by recursion.
const LONGEST_TAG: usize = 4000;
const MOST_CHAINED: usize = 200;
/// Steps that a template may take: a thousand times those of the built-in one.
const FUEL: u64 = 10_000_000;
/// Bytes that a text may come to, and a list joined by a filter.
const LONGEST_TEXT: usize = 64 * 1024 * 1024;
const LONGEST_LIST: usize = 1024 * 1024;

/// The methods section of a record, Markdown, by a template of the given name.
///
/// # Errors
/// A template that is no template, names a field that the record does not have, or has no end.
pub fn methods(record: &Record, name: &str, template: &str) -> Result<String, TemplateError> {
    let context = context(record, |t| format!("**{}**\n\n{}", table::markdown(&t.title), t.markdown()));
    render(name, template, context.into(), AutoEscape::Custom(MARKDOWN))
}

/// The page of a record with its figures.
///
/// # Errors
/// As [`methods`]; the embedded template has none.
pub fn page(record: &Record, plates: &[Plate]) -> Result<String, TemplateError> {
    html(record, plates, "index.html", PAGE)
}

/// What stands behind the page: figures that a modeller reads, and long tables.
///
/// # Errors
/// As [`page`].
pub fn supplement(record: &Record, plates: &[Plate]) -> Result<String, TemplateError> {
    html(record, plates, "supplement.html", SUPPLEMENT)
}

fn html(record: &Record, plates: &[Plate], name: &str, template: &str) -> Result<String, TemplateError> {
    let mut context = context(record, Table::html);
    let aside = name != "index.html";
    context.insert("what".to_owned(), if aside { "supplement" } else { "constructs compared" }.into());
    let drawings = plates.iter().filter(|p| p.supplement == aside).enumerate().map(|(k, p)| {
        Fields::from([
            ("svg".to_owned(), Value::from_safe_string(inline(k, &p.figure.svg, &p.figure.alt))),
            ("name".to_owned(), p.figure.name.clone().into()),
            ("title".to_owned(), p.title.clone().into()),
            ("caption".to_owned(), p.figure.caption.clone().into()),
            ("wide".to_owned(), (p.figure.width_mm > 100.0).into()),
        ])
    });
    context.insert("plates".to_owned(), drawings.map(Value::from).collect());
    context.insert("fonts".to_owned(), Value::from_safe_string(fonts()));
    render(name, template, context.into(), AutoEscape::Html)
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

/// The `k`-th drawing inside the page: its words for those who do not see it as a label, its textures and clips
/// under names that no other drawing has.
fn inline(k: usize, svg: &str, alt: &str) -> String {
    let label = format!("role=\"img\" aria-label=\"{}\"", table::html(alt));
    // Its own title and description would be read twice.
    let lines = svg.lines().filter(|l| !l.starts_with("<title>") && !l.starts_with("<desc>") && !l.starts_with("<!--"));
    let text: Vec<&str> = lines.collect();
    let text = text.join("\n").replace("id=\"d", &format!("id=\"d{k}-")).replace("url(#d", &format!("url(#d{k}-"));
    text.replacen("role=\"img\"", &label, 1)
}

/// Fields of a template by name.
type Fields = BTreeMap<String, Value>;

/// The fields of plain data.
fn fields(data: &impl Serialize) -> Fields {
    // Plain data with text keys always has a JSON form.
    match serde_json::to_value(data) {
        Ok(Json::Object(map)) => map.into_iter().map(|(name, value)| (name, Value::from_serialize(value))).collect(),
        _ => Fields::new(),
    }
}

fn context(record: &Record, print: impl Fn(&Table) -> String) -> Fields {
    let print = |t: &Table| Value::from_safe_string(print(t));
    let printed = |tables: &[Table]| tables.iter().map(|t| (t.name.clone(), print(t))).collect::<Fields>();
    let mut context = fields(record);
    for bulky in ["results", "verified", "scatter", "swept", "place"] {
        context.remove(bulky);
    }
    context.insert("table".to_owned(), printed(&record.tables).into());
    let tying = record.tying.iter().map(|t| {
        let mut one = fields(t);
        one.insert("table".to_owned(), print(&t.table));
        Value::from(one)
    });
    context.insert("tying".to_owned(), tying.collect());
    let constructs = record.constructs.iter().map(|c| {
        let mut one = fields(c);
        one.insert("table".to_owned(), printed(&c.tables).into());
        one.insert("printed".to_owned(), c.tables.iter().map(print).collect());
        Value::from(one)
    });
    context.insert("constructs".to_owned(), constructs.collect());
    let further = record.further.iter().map(|f| {
        let mut one = fields(f);
        one.remove("found");
        one.insert("printed".to_owned(), f.tables.iter().map(print).collect());
        Value::from(one)
    });
    context.insert("further".to_owned(), further.collect());
    context
}

/// Name of the escaping of Markdown.
const MARKDOWN: &str = "markdown";

/// Refuses what would take the engine's memory or stack before its steps are counted: a template prints
/// fields, goes over lists and chooses; it computes nothing.
fn bounded(name: &str, template: &str) -> Result<(), TemplateError> {
    let line = |at: usize| template[..at].matches('\n').count() + 1;
    let refuse = |at: usize, message: String| Err(TemplateError { name: name.to_owned(), line: line(at), message });
    if template.len() > LARGEST {
        return refuse(0, format!("the template is larger than {} kB", LARGEST / 1024));
    }
    let (mut at, mut chained) = (0, 0);
    while let Some(start) = ["{%", "{{", "{#"].iter().filter_map(|m| template[at..].find(m)).min().map(|k| at + k) {
        let after =
            |from: usize, mark: &str| template[from..].find(mark).map_or(template.len(), |k| from + k + mark.len());
        if template[start..].starts_with("{#") {
            at = after(start, "#}");
            continue;
        }
        // The tag without what its strings hold.
        let (mut quote, mut plain, mut length) = (None, String::new(), 0);
        for c in template[start + 2..].chars() {
            length += c.len_utf8();
            match quote {
                Some(q) if c == q => quote = None,
                Some(_) => {}
                None if c == '"' || c == '\'' => quote = Some(c),
                None => plain.push(c),
            }
            if plain.ends_with("}}") || plain.ends_with("%}") || length > LONGEST_TAG {
                break;
            }
        }
        let block = template[start..].starts_with("{%");
        let words = plain.trim_start_matches(['-', '+']).trim_start();
        let is = |word: &str| block && words.split(|c: char| !c.is_alphanumeric()).next() == Some(word);
        chained += usize::from(is("elif"));
        let wrong = match plain.as_str() {
            _ if length > LONGEST_TAG => format!("a tag is longer than {LONGEST_TAG} characters"),
            _ if chained > MOST_CHAINED => format!("there are more than {MOST_CHAINED} `elif`"),
            _ if is("set") || is("with") => {
                "a template sets no variables: it prints the fields of the report".to_owned()
            }
            tag if tag.contains('*') => "a template does not multiply: it prints the fields of the report".to_owned(),
            tag if tag.contains('{') => "a template holds no maps: it prints the fields of the report".to_owned(),
            _ => String::new(),
        };
        if !wrong.is_empty() {
            return refuse(start, wrong);
        }
        at = start + 2 + length;
        if is("raw") {
            at = after(at, "endraw");
        }
    }
    Ok(())
}

/// Takes a text as far as it may come.
struct Bounded(Vec<u8>);

impl std::io::Write for Bounded {
    fn write(&mut self, bytes: &[u8]) -> std::io::Result<usize> {
        if self.0.len() + bytes.len() > LONGEST_TEXT {
            let message = format!("the text comes to more than {} MB", LONGEST_TEXT >> 20);
            return Err(std::io::Error::other(message));
        }
        self.0.extend_from_slice(bytes);
        Ok(bytes.len())
    }

    fn flush(&mut self) -> std::io::Result<()> {
        Ok(())
    }
}

/// Checks the syntax of a template; its fields are checked when it is filled.
///
/// # Errors
/// A mistake, with its line.
pub fn check_syntax(name: &str, template: &str) -> Result<(), TemplateError> {
    environment(name, template, AutoEscape::None).map(drop)
}

/// The engine with a template of the name `template`.
fn environment<'t>(name: &str, template: &'t str, escaping: AutoEscape) -> Result<Environment<'t>, TemplateError> {
    bounded(name, template)?;
    let mut environment = Environment::empty();
    environment.set_undefined_behavior(UndefinedBehavior::Strict);
    environment.set_trim_blocks(true);
    environment.set_lstrip_blocks(true);
    environment.set_keep_trailing_newline(true);
    environment.set_auto_escape_callback(move |_| escaping);
    environment.set_formatter(said);
    environment.set_fuel(Some(FUEL));
    environment.add_filter("tight", tight);
    environment.add_filter("join", joined);
    environment.add_filter("safe", filters::safe);
    environment.add_filter("default", filters::default);
    environment.add_filter("length", filters::length);
    environment.add_filter("first", filters::first);
    environment.add_filter("last", filters::last);
    environment.add_filter("upper", filters::upper);
    environment.add_filter("lower", filters::lower);
    environment.add_filter("title", filters::title);
    environment.add_filter("capitalize", filters::capitalize);
    environment.add_filter("trim", filters::trim);
    environment.add_test("defined", kinds::is_defined);
    environment.add_test("undefined", kinds::is_undefined);
    environment.add_test("none", kinds::is_none);
    environment.add_template("template", template).map_err(|e| explain(name, template, &e))?;
    Ok(environment)
}

fn render(name: &str, template: &str, context: Value, escaping: AutoEscape) -> Result<String, TemplateError> {
    let environment = environment(name, template, escaping)?;
    let mut text = Bounded(Vec::new());
    let found = environment.get_template("template").and_then(|t| t.render_captured_to(context, &mut text).map(drop));
    found.map_err(|e| explain(name, template, &e))?;
    Ok(String::from_utf8_lossy(&text.0).into_owned())
}

/// The items of a list in one text, each as it is printed.
fn joined(state: &State<'_, '_>, list: &Value, between: Option<String>) -> Result<Value, minijinja::Error> {
    let wrong = |what: &str| minijinja::Error::new(ErrorKind::InvalidOperation, what.to_owned());
    if !matches!(list.kind(), ValueKind::Seq | ValueKind::Iterable) {
        return Err(wrong("only a list is joined"));
    }
    let mut text = String::new();
    for (k, item) in list.try_iter()?.enumerate() {
        if k > 0 {
            text += between.as_deref().unwrap_or_default();
        }
        text += &state.format(item)?;
        if text.len() > LONGEST_LIST {
            return Err(wrong("the joined list is too long"));
        }
    }
    Ok(Value::from_safe_string(text))
}

/// Prints a fact as its words and unit, words as they are, and no bare number.
fn said(out: &mut Output<'_>, state: &State<'_, '_>, value: &Value) -> Result<(), minijinja::Error> {
    let refuse = |what: &str| Err(minijinja::Error::new(ErrorKind::InvalidOperation, what.to_owned()));
    let words = |out: &mut Output<'_>, words: &Value| match (state.auto_escape(), words.as_str()) {
        (AutoEscape::Custom(MARKDOWN), Some(text)) if !words.is_safe() => {
            out.write_str(&table::markdown(text)).map_err(minijinja::Error::from)
        }
        (AutoEscape::Custom(MARKDOWN), Some(text)) => out.write_str(text).map_err(minijinja::Error::from),
        _ => minijinja::escape_formatter(out, state, words),
    };
    match value.kind() {
        ValueKind::Undefined => Err(minijinja::Error::from(ErrorKind::UndefinedError)),
        ValueKind::Map => {
            let part = |name: &str| value.get_attr(name).ok().filter(|v| v.kind() == ValueKind::String);
            match (part("text"), part("unit")) {
                (Some(text), Some(unit)) => words(out, &Value::from(format!("{text} {unit}").trim_end())),
                _ => refuse("this is a group of fields, not one of them"),
            }
        }
        ValueKind::Number => refuse("this is a number with all its digits: print its fact, or the fact's `text`"),
        ValueKind::Seq | ValueKind::Iterable => refuse("this is a list: go over it with `for`"),
        _ => words(out, value),
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
        ErrorKind::OutOfFuel => {
            "the template takes more steps than any report needs: it goes over lists too often".to_owned()
        }
        ErrorKind::WriteFailure => {
            let why = std::error::Error::source(e).map_or_else(|| e.to_string(), ToString::to_string);
            format!("`{at}`: {why}")
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
            "hostile": ["<script>", "[x](javascript:1)", "a|b"],
        });
        render("mine.md", template, Value::from_serialize(context), AutoEscape::Custom(MARKDOWN))
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
    fn names_are_words_in_markdown_too() {
        let said = "&lt;script>; [x\\](javascript:1); a\\|b";
        assert_eq!(text("{{ hostile|join('; ') }}").unwrap(), said);
        let page = render(
            "page",
            "{{ list|join('<') }} {{ '<b>' }}",
            Value::from_serialize(serde_json::json!({ "list": ["<i>"] })),
            AutoEscape::Html,
        );
        assert_eq!(page.unwrap(), "&lt;i&gt; &lt;b&gt;");
    }

    #[test]
    fn a_template_without_end_is_refused() {
        let nested = "{% for a in list %}".repeat(30) + "x" + &"{% endfor %}".repeat(30);
        let doubled = "{% set x = [1] %}".to_owned() + &"{% set x = x + x %}".repeat(60);
        let terms = format!("{{{{ {}1 }}}}", "1 + ".repeat(50_000));
        let chain = format!("{{% if name %}}{}{{% endif %}}", "{% elif name %}".repeat(10_000));
        let wordy = "{% for a in list %}".repeat(16) + &"x".repeat(4000) + &"{% endfor %}".repeat(16);
        for (bad, says) in [
            (nested.as_str(), "more steps"),
            ("{% for a in range(10000) %}{% for b in range(10000) %}{% endfor %}{% endfor %}", "range"),
            ("{{ [1]|batch(1000000000, 0) }}", "batch"),
            ("{{ 'x' * 1000000000 }}", "multiply"),
            (doubled.as_str(), "sets no variables"),
            (terms.as_str(), "longer than"),
            (chain.as_str(), "elif"),
            (wordy.as_str(), "64 MB"),
            (&" ".repeat(LARGEST + 1), "256 kB"),
            ("{# {{ ' #}{{ 'x' * 9 }}{# ' }} #}", "multiply"),
            ("{% raw %}{{ '{% endraw %}{{ 'x' * 9 }}{% raw %}' }}{% endraw %}", "multiply"),
        ] {
            let e = text(bad).unwrap_err();
            assert!(e.message.contains(says), "{says}: {e}");
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
