//! A TOML document as an owned tree in which every key and value knows where it stands.

use super::problems::{Problem, Problems, SourceText, Span};
use super::words::quoted;
use std::io::Read;
use std::path::Path;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// Largest file that is read, bytes. A case takes a few thousand; a text of this size in which
/// every byte is a mistake is still refused within a second.
const LARGEST: usize = 1024 * 1024;
/// Most places that are told of a text that is no TOML.
const MOST: usize = 500;

/// A value with its place.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Node {
    pub span: Span,
    pub value: Value,
}

/// What a value is.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Value {
    Text(String),
    Number(f64),
    Flag(bool),
    Date,
    List(Vec<Node>),
    Table(Vec<Entry>),
}

/// A key and its value. Entries of a table are kept in the order of the file.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Entry {
    pub key: String,
    pub key_span: Span,
    pub node: Node,
}

impl Node {
    /// The value's kind with its article.
    pub fn kind(&self) -> &'static str {
        match self.value {
            Value::Text(_) => "a text",
            Value::Number(_) => "a number",
            Value::Flag(_) => "true or false",
            Value::Date => "a date",
            Value::List(_) => "a list",
            Value::Table(_) => "a table",
        }
    }
}

fn owned(node: &Spanned<DeValue<'_>>) -> Node {
    let value = match node.get_ref() {
        DeValue::String(s) => Value::Text(s.to_string()),
        // A number too long for its type becomes infinite and fails its range like any other.
        DeValue::Integer(i) => {
            Value::Number(i128::from_str_radix(i.as_str(), i.radix()).map_or(f64::INFINITY, |n| n as f64))
        }
        DeValue::Float(f) => Value::Number(f.as_str().parse().unwrap_or(f64::NAN)),
        DeValue::Boolean(b) => Value::Flag(*b),
        DeValue::Datetime(_) => Value::Date,
        DeValue::Array(list) => Value::List(list.iter().map(owned).collect()),
        DeValue::Table(table) => Value::Table(entries(table)),
    };
    Node { span: node.span(), value }
}

fn entries(table: &DeTable<'_>) -> Vec<Entry> {
    let mut entries: Vec<Entry> = table
        .iter()
        .map(|(key, node)| Entry { key: key.get_ref().to_string(), key_span: key.span(), node: owned(node) })
        .collect();
    entries.sort_by_key(|e| (e.key_span.start, e.node.span.start));
    entries
}

/// Parses a text. Doubled keys are collected and the rest is still read; text that is no TOML ends
/// the reading, because what stands after it can only be guessed.
///
/// # Errors
/// When the text is empty, too long or no TOML: with every place where it is none.
pub(super) fn parse(source: &SourceText) -> Result<(Node, Vec<Problem>), Problems> {
    let text = &*source.text;
    if text.len() > LARGEST {
        return Err(Problems::whole(
            &source.name,
            "the file is larger than 1 MB",
            "a case or a construct is a short text of a few kilobytes",
        ));
    }
    if text.trim().is_empty() {
        return Err(Problems::whole(
            &source.name,
            "the file is empty",
            "`rimhold new` writes a commented case to start from",
        ));
    }
    let (table, errors) = DeTable::parse_recoverable(text);
    let mut doubled = Vec::new();
    let mut broken = Vec::new();
    for error in errors.into_iter().take(MOST) {
        let span = error.span().unwrap_or(0..0);
        if error.message() == "duplicate key" {
            let key = quoted(text.get(span.clone()).unwrap_or(""));
            doubled.push(
                Problem::at(span, format!("`{key}` is given twice"), "second time here")
                    .hint("remove one of the two, or give the second another name"),
            );
        } else {
            broken.push(Problem::at(span, format!("not TOML: {}", error.message()), "here").hint(
                "a line is `key = value` or `[table]`; texts stand in double quotes, lists in [ ], places in { }",
            ));
        }
    }
    if !broken.is_empty() {
        broken.append(&mut doubled);
        return Err(Problems::new(source.clone(), broken));
    }
    let root = Node { span: 0..0, value: Value::Table(entries(table.get_ref())) };
    Ok((root, doubled))
}

/// Reads a file as UTF-8 text.
///
/// # Errors
/// When it is missing, a directory, unreadable, larger than 1 MB or not UTF-8.
pub(crate) fn read(path: &Path) -> Result<SourceText, Problems> {
    let name = path.display().to_string();
    let fail = |message: String, hint: &str| Err(Problems::whole(&name, message, hint));
    if path.is_dir() {
        return fail("this is a directory, not a file".into(), "name one .toml file in it");
    }
    let mut bytes = Vec::new();
    let file = match std::fs::File::open(path) {
        Ok(file) => file,
        Err(e) if e.kind() == std::io::ErrorKind::NotFound => {
            return fail("there is no such file".into(), "check the path");
        }
        Err(e) => return fail(format!("cannot be opened: {e}"), "check its permissions"),
    };
    if let Err(e) = file.take(LARGEST as u64 + 1).read_to_end(&mut bytes) {
        return fail(format!("cannot be read: {e}"), "check the path");
    }
    if bytes.len() > LARGEST {
        return fail("the file is larger than 1 MB".into(), "a case or a construct is a short text of a few kilobytes");
    }
    match std::str::from_utf8(&bytes) {
        Ok(text) => Ok(SourceText::new(&name, text)),
        Err(e) => {
            let before = &bytes[..e.valid_up_to()];
            let line = before.iter().filter(|&&b| b == b'\n').count() + 1;
            fail(format!("line {line} is not UTF-8 text"), "save the file as plain text in UTF-8")
        }
    }
}
