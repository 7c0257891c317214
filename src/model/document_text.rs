//! A document as TOML text again, with other numbers in it.

use super::document::{self, Entry, Node, Value};
use super::problems::SourceText;
use crate::anatomy::Along;

/// The text of a construct under another name and with these inputs. Placement errors are none of its
/// numbers.
pub(super) fn with(source: &SourceText, name: &str, inputs: &[(String, Along)]) -> String {
    let Ok((mut root, _)) = document::parse(source) else {
        return String::new();
    };
    // The name stands first, where a reader looks for it.
    if let Value::Table(entries) = &mut root.value {
        entries.retain(|e| e.key != "name");
        let node = Node { span: 0..0, value: Value::Text(name.to_owned()) };
        entries.insert(0, Entry { key: "name".to_owned(), key_span: 0..0, node });
    }
    for (path, to) in inputs {
        let value = match to {
            Along::Mm(value) => Value::Number(*value),
            Along::Percent(value) => Value::Text(format!("{value} %")),
        };
        let parts: Vec<&str> = path.split('.').collect();
        match parts.as_slice() {
            [.., "along_error" | "across_error"] => {}
            ["limb", limb, "crossing", number, key] => {
                let number = number.parse().unwrap_or(0);
                if let Some(crossing) = crossing(&mut root, limb, number) {
                    *child(crossing, key) = value;
                }
            }
            ["anchor", anchor, key] if !["stiffness", "holding"].contains(key) => {
                let at = child(child(child(&mut root.value, "anchor"), anchor), "at");
                let kind = match at {
                    Value::Table(kinds) => kinds.first().map(|e| e.key.clone()),
                    _ => None,
                };
                if let Some(kind) = kind {
                    *child(child(at, &kind), key) = value;
                }
            }
            parts => *parts.iter().fold(&mut root.value, |node, key| child(node, key)) = value,
        }
    }
    toml(&root)
}

/// The value of a key of a table, made when it is not there.
fn child<'a>(of: &'a mut Value, key: &str) -> &'a mut Value {
    if !matches!(of, Value::Table(_)) {
        *of = Value::Table(Vec::new());
    }
    let Value::Table(entries) = of else { unreachable!("made a table above") };
    let at = entries.iter().position(|e| e.key == key).unwrap_or_else(|| {
        let node = Node { span: 0..0, value: Value::Table(Vec::new()) };
        entries.push(Entry { key: key.to_owned(), key_span: 0..0, node });
        entries.len() - 1
    });
    &mut entries[at].node.value
}

/// The table of a limb's crossing with a given place, by its number along the path.
fn crossing<'a>(root: &'a mut Node, limb: &str, number: usize) -> Option<&'a mut Value> {
    let Value::List(stops) = child(child(child(&mut root.value, "limb"), limb), "path") else {
        return None;
    };
    let given = stops.iter_mut().filter_map(|stop| match &mut stop.value {
        Value::Table(entries) => entries.iter_mut().find(|e| ["rim", "margin"].contains(&e.key.as_str())),
        _ => None,
    });
    given.map(|e| &mut e.node.value).filter(|v| matches!(v, Value::Table(_))).nth(number.checked_sub(1)?)
}

/// Writes a document: first what is no table, then each table under a header of its own, its values
/// on one line each. Order is kept; comments and layout are not.
fn toml(root: &Node) -> String {
    let mut text = String::new();
    let Value::Table(entries) = &root.value else {
        return text;
    };
    let is_table = |e: &&Entry| matches!(e.node.value, Value::Table(_));
    values(entries.iter().filter(|e| !is_table(e)), &mut text);
    for entry in entries.iter().filter(is_table) {
        let Value::Table(inner) = &entry.node.value else {
            continue;
        };
        let name = key(&entry.key);
        // Named tables, as anchors and limbs are, one header each.
        if !inner.is_empty() && inner.iter().all(|e| is_table(&e)) {
            for e in inner {
                if let Value::Table(values_of) = &e.node.value {
                    text.push_str(&format!("\n[{name}.{}]\n", key(&e.key)));
                    values(values_of.iter(), &mut text);
                }
            }
        } else {
            text.push_str(&format!("\n[{name}]\n"));
            values(inner.iter(), &mut text);
        }
    }
    text
}

fn values<'a>(entries: impl Iterator<Item = &'a Entry>, text: &mut String) {
    for e in entries {
        text.push_str(&format!("{} = {}\n", key(&e.key), inline(&e.node)));
    }
}

fn key(name: &str) -> String {
    let bare = |c: char| c.is_ascii_alphanumeric() || c == '-' || c == '_';
    if !name.is_empty() && name.chars().all(bare) { name.to_owned() } else { quoted(name) }
}

/// A basic string. The escapes of JSON are all known to TOML; DEL is one that only TOML wants.
fn quoted(text: &str) -> String {
    serde_json::Value::from(text).to_string().replace('\u{7f}', "\\u007f")
}

fn inline(node: &Node) -> String {
    match &node.value {
        Value::Text(text) => quoted(text),
        Value::Number(n) if n.is_finite() => format!("{n:?}"),
        // What a reader refuses in any case: kept as it is in TOML.
        Value::Number(n) if n.is_nan() => "nan".to_owned(),
        Value::Number(n) => if *n > 0.0 { "inf" } else { "-inf" }.to_owned(),
        Value::Flag(flag) => flag.to_string(),
        // No key of a case or construct is a date.
        Value::Date => "1970-01-01".to_owned(),
        Value::List(nodes) => {
            let parts: Vec<String> = nodes.iter().map(inline).collect();
            format!("[{}]", parts.join(", "))
        }
        Value::Table(entries) => {
            let parts: Vec<String> = entries.iter().map(|e| format!("{} = {}", key(&e.key), inline(&e.node))).collect();
            format!("{{ {} }}", parts.join(", "))
        }
    }
}
