//! Values of a document by their path: looked up, and put there.

use super::super::document::{Entry, Node, Value};

/// Whether an element of a list bears a name.
fn is_named(node: &Node, number: usize, list: &str, name: &str) -> bool {
    match child(node, "name").map(|n| &n.value) {
        Some(Value::Text(own)) => own.trim() == name,
        _ => format!("{list} {number}") == name,
    }
}

/// The value of a key of a table.
pub(super) fn child<'a>(node: &'a Node, key: &str) -> Option<&'a Node> {
    match &node.value {
        Value::Table(entries) => entries.iter().find(|e| e.key == key).map(|e| &e.node),
        _ => None,
    }
}

/// The same, to be changed.
pub(super) fn child_mut<'a>(node: &'a mut Node, key: &str) -> Option<&'a mut Node> {
    match &mut node.value {
        Value::Table(entries) => entries.iter_mut().find(|e| e.key == key).map(|e| &mut e.node),
        _ => None,
    }
}

/// The table of a limb's crossing with a given place, by its number along the path.
pub(super) fn crossing_mut<'a>(root: &'a mut Node, limb: &str, number: usize) -> Option<&'a mut Node> {
    let limbs = child_mut(root, "limb")?;
    let limb = match &mut limbs.value {
        Value::Table(entries) => &mut entries.iter_mut().find(|e| e.key == limb)?.node,
        Value::List(nodes) => {
            let mut numbered = nodes.iter_mut().enumerate();
            numbered.find(|(k, n)| is_named(n, k + 1, "limb", limb)).map(|(_, n)| n)?
        }
        _ => return None,
    };
    let Value::List(stops) = &mut child_mut(limb, "path")?.value else {
        return None;
    };
    let given = stops.iter_mut().filter_map(|stop| {
        let Value::Table(entries) = &mut stop.value else {
            return None;
        };
        entries
            .iter_mut()
            .find(|e| ["rim", "margin"].contains(&e.key.as_str()))
            .map(|e| &mut e.node)
            .filter(|node| matches!(node.value, Value::Table(_)))
    });
    given.into_iter().nth(number.checked_sub(1)?)
}

/// Puts a value at a path, making the tables on the way; tables written as a list are searched by
/// their names.
pub(super) fn put(node: &mut Node, path: &[&str], value: Value) {
    let span = node.span.clone();
    let [key, rest @ ..] = path else {
        node.value = value;
        return;
    };
    if !matches!(node.value, Value::Table(_)) {
        node.value = Value::Table(Vec::new());
    }
    let Value::Table(entries) = &mut node.value else {
        return;
    };
    let at = entries.iter().position(|e| e.key == *key).unwrap_or_else(|| {
        entries.push(Entry {
            key: (*key).to_owned(),
            key_span: span.clone(),
            node: Node { span, value: Value::Table(Vec::new()) },
        });
        entries.len() - 1
    });
    let next = &mut entries[at].node;
    if let ([name, deeper @ ..], Value::List(nodes)) = (rest, &mut next.value)
        && !deeper.is_empty()
    {
        let mut numbered = nodes.iter_mut().enumerate();
        if let Some((_, node)) = numbered.find(|(k, n)| is_named(n, k + 1, key, name)) {
            put(node, deeper, value);
            return;
        }
    }
    put(next, rest, value);
}
