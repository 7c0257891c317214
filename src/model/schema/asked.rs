//! Holds the schemas against what the reader asks for: the reader notes each table with its known
//! keys and each number with its row, on two files that use everything.

use super::super::document;
use super::super::parameters::row;
use super::super::problems::SourceText;
use super::super::reader::Log;
use super::super::{case_file, construct_file};
use super::{case_schema, construct_schema};
use serde_json::Value;
use std::collections::BTreeSet;

/// Every key of a case.
const CASE: &str = include_str!("every-key-of-a-case.toml");
/// Every key of a construct.
const CONSTRUCT: &str = include_str!("every-key-of-a-construct.toml");

/// The alternatives of a schema's node, references followed.
fn alternatives<'a>(root: &'a Value, node: &'a Value) -> Vec<&'a Value> {
    let mut found = vec![node];
    if let Some(name) = node["$ref"].as_str().and_then(|r| r.strip_prefix("#/definitions/")) {
        found.extend(alternatives(root, &root["definitions"][name]));
    }
    for key in ["anyOf", "allOf"] {
        for one in node[key].as_array().into_iter().flatten() {
            found.extend(alternatives(root, one));
        }
    }
    found
}

/// The nodes that describe a dotted path.
fn at<'a>(root: &'a Value, path: &str) -> Vec<&'a Value> {
    let mut nodes = alternatives(root, root);
    for step in path.split('.').filter(|step| !step.is_empty()) {
        let (key, items) = step.split_once('[').unwrap_or((step, ""));
        nodes = nodes
            .iter()
            .filter_map(|node| node["properties"].get(key).or_else(|| node.get("additionalProperties")))
            .flat_map(|node| alternatives(root, node))
            .collect();
        for _ in items.matches(']') {
            nodes =
                nodes.iter().filter_map(|node| node.get("items")).flat_map(|node| alternatives(root, node)).collect();
        }
    }
    nodes
}

/// All nodes below one that have `key`, in the table form of named tables.
fn all<'a>(node: &'a Value, key: &str, found: &mut Vec<&'a Value>) {
    if node.get(key).is_some_and(|v| !v.is_string()) {
        found.push(node);
    }
    match node {
        Value::Object(entries) => {
            // The list form of named tables is made from the table form.
            let list = node["items"]["properties"].get("name").is_some();
            for (_, inner) in entries.iter().filter(|e| !(list && *e.0 == "items")) {
                all(inner, key, found);
            }
        }
        Value::Array(list) => list.iter().for_each(|inner| all(inner, key, found)),
        _ => {}
    }
}

fn address(node: &Value) -> usize {
    std::ptr::from_ref(node) as usize
}

fn compare(schema: &Value, log: &Log) {
    let mut seen = BTreeSet::new();
    for (path, known) in &log.tables {
        let known: BTreeSet<&str> = known.iter().copied().collect();
        let fits = |node: &Value| {
            node["properties"].as_object().is_some_and(|keys| {
                let keys: BTreeSet<&str> = keys.keys().map(String::as_str).collect();
                // A stop asks only for the kind that it has; it is one table of all kinds.
                keys == known || node.get("oneOf").is_some() && known.is_subset(&keys)
            })
        };
        let nodes: Vec<&Value> = at(schema, path).into_iter().filter(|n| fits(n)).collect();
        assert!(!nodes.is_empty(), "the reader knows {known:?} in `{path}`, the schema does not");
        seen.extend(nodes.into_iter().map(address));
    }
    for (path, of) in &log.numbers {
        let (low, high) = row(of).allowed;
        let path = if path.matches('[').count() > 0 && at(schema, path).is_empty() {
            // One number of a list.
            path.rsplit_once('[').map_or(path.as_str(), |p| p.0)
        } else {
            path
        };
        let nodes = at(schema, path);
        let mut inside = Vec::new();
        for node in &nodes {
            inside.push(*node);
            inside.extend(node.get("items"));
        }
        let fits: Vec<&Value> =
            inside.iter().copied().filter(|n| n["minimum"] == low && n["maximum"] == high).collect();
        // A percentage is a text; its range cannot be said of a text.
        let text = of.ends_with("[percent]") && inside.iter().any(|n| n.get("pattern").is_some());
        assert!(text || !fits.is_empty(), "`{path}` is read by {of}, {low} to {high}, and not so in the schema");
        seen.extend(fits.into_iter().map(address));
    }
    for key in ["properties", "minimum"] {
        let mut nodes = Vec::new();
        all(schema, key, &mut nodes);
        for node in nodes {
            // The place itself is read without a section; the built-in classes are like any other.
            let place = node.get("maxProperties").is_some();
            let conditional = node["properties"]["force"] == serde_json::json!({ "type": "array" });
            assert!(place || conditional || seen.contains(&address(node)), "the reader never asks for {node}");
        }
    }
}

#[test]
fn the_schema_of_a_case_has_the_keys_and_ranges_that_the_reader_asks_for() {
    let source = SourceText::new("case.toml", CASE);
    let (root, doubled) = document::parse(&source).expect("TOML");
    assert!(doubled.is_empty());
    let mut log = Log::default();
    case_file::read_case(&root, "case", &mut log);
    assert!(log.problems.is_empty(), "{:#?}", log.problems);
    compare(&case_schema(), &log);
}

#[test]
fn the_schema_of_a_construct_has_the_keys_and_ranges_that_the_reader_asks_for() {
    let source = SourceText::new("construct.toml", CONSTRUCT);
    let (root, doubled) = document::parse(&source).expect("TOML");
    assert!(doubled.is_empty());
    let mut log = Log::default();
    construct_file::read_construct(&root, &source, "construct", &mut log);
    assert!(log.problems.is_empty(), "{:#?}", log.problems);
    compare(&construct_schema(), &log);
}

#[test]
fn knots_and_clamps_have_the_ranges_that_a_limb_is_given() {
    for key in ["tension", "slack", "limit"] {
        let of = |kind: &str| row(&format!("{kind}.{key}")).allowed;
        assert_eq!(of("knot"), of("clamp"), "{key}");
    }
}
