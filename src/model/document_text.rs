//! A document as TOML text again.

use super::document::{Entry, Node, Value};

/// Writes a document: first what is no table, then each table under a header of its own, its values
/// on one line each. Order is kept; comments and layout are not.
pub(super) fn toml(root: &Node) -> String {
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
