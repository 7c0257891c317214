//! A TOML document as an owned tree in which every key and value knows where it stands.

use super::problems::{Problem, Problems, SourceText, Span};
use super::reader::quoted;
use std::io::{ErrorKind, Read};
use std::path::Path;
use std::sync::OnceLock;
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
            doubled.push(Problem::at(
                span,
                format!("`{key}` is given twice"),
                "second time here",
                "remove one of the two, or give the second another name",
            ));
        } else {
            broken.push(Problem::at(
                span,
                format!("not TOML: {}", error.message()),
                "here",
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

/// The argument that names standard input.
const STDIN: &str = "-";

/// Whether an argument names standard input.
pub(super) fn is_stdin(path: &Path) -> bool {
    [STDIN, "/dev/stdin", "/dev/fd/0", "/proc/self/fd/0"].iter().any(|name| path == Path::new(name))
}

/// Whether anything stands under a path, and what kind of thing; a plain word why not, where more is
/// to say than that nothing does.
pub(super) fn found(path: &Path) -> Result<bool, String> {
    if is_stdin(path) {
        return Ok(true);
    }
    match path.metadata() {
        Ok(_) => Ok(true),
        Err(e) if matches!(e.kind(), ErrorKind::NotFound | ErrorKind::NotADirectory | ErrorKind::InvalidInput) => {
            if path.is_symlink() {
                Err("this is a link that leads to no file".to_owned())
            } else {
                Ok(false)
            }
        }
        Err(e) => Err(format!("cannot be reached: {}", reason(&e))),
    }
}

/// An error of the system without its number.
fn reason(e: &std::io::Error) -> String {
    let text = e.to_string();
    let mut text = text.split(" (os error").next().unwrap_or_default().chars();
    text.next().map_or_else(String::new, |first| first.to_lowercase().chain(text).collect())
}

/// Reads a regular file, or standard input, as UTF-8 text. Standard input is read once; whoever asks
/// again is given the same text.
///
/// # Errors
/// When it is missing, no regular file, unreadable, larger than 1 MB or not UTF-8.
pub(crate) fn read(path: &Path) -> Result<SourceText, Problems> {
    static TYPED: OnceLock<Result<Vec<u8>, String>> = OnceLock::new();
    let name = if is_stdin(path) { "standard input".to_owned() } else { path.display().to_string() };
    let fail = |message: String, hint: &str| Err(Problems::whole(&name, message, hint));
    let bytes = if is_stdin(path) {
        TYPED.get_or_init(|| up_to_limit(std::io::stdin().lock())).clone()
    } else {
        match found(path) {
            Ok(true) => {}
            Ok(false) => return fail("there is no such file".into(), "check the path"),
            Err(why) => return fail(why, "check the path and its permissions"),
        }
        if path.is_dir() {
            return fail("this is a directory, not a file".into(), "name one .toml file in it");
        }
        match open(path) {
            Ok(file) if file.metadata().is_ok_and(|m| m.is_file()) => up_to_limit(file),
            Ok(_) => {
                let hint = "name a file, or `-` for what is piped to standard input";
                return fail("this is a pipe or a device, not a file".into(), hint);
            }
            Err(e) => return fail(format!("cannot be opened: {}", reason(&e)), "check its permissions"),
        }
    };
    let bytes = match bytes {
        Ok(bytes) => bytes,
        Err(why) => return fail(format!("cannot be read: {why}"), "check the path"),
    };
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

/// Opens a file without waiting for anyone to write into it, as a pipe or the log of a kernel would.
fn open(path: &Path) -> std::io::Result<std::fs::File> {
    let mut options = std::fs::OpenOptions::new();
    options.read(true);
    #[cfg(all(feature = "cli", any(target_os = "linux", target_vendor = "apple")))]
    {
        use std::os::unix::fs::OpenOptionsExt;
        options.custom_flags(rustix::fs::OFlags::NONBLOCK.bits() as i32);
    }
    options.open(path)
}

/// What can be read, one byte more than the limit at most.
fn up_to_limit(from: impl Read) -> Result<Vec<u8>, String> {
    let mut bytes = Vec::new();
    from.take(LARGEST as u64 + 1).read_to_end(&mut bytes).map_err(|e| reason(&e))?;
    Ok(bytes)
}
