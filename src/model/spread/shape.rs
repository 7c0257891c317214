//! Reads a distribution of a `[spread]` table.

use super::super::document::{Entry, Node, Value};
use super::super::reader::{Log, Section};
use super::super::value::wrong_type;
use super::super::words::{is_word, listed, quoted};
use super::known::HINGE_STATES;
use crate::stats::{Shape, normal};

/// The distribution of an entry by its kind.
pub(super) fn read_shape(entry: &Entry, at: &str, log: &mut Log) -> Option<Shape> {
    let node = &entry.node;
    match entry.key.as_str() {
        "uniform" => {
            let [low, high] = numbers(node, at, "two numbers [low, high]", log)?;
            Some(Shape::Uniform { low, high })
        }
        "triangular" => {
            let [low, mode, high] = numbers(node, at, "three numbers [low, most probable, high]", log)?;
            Some(Shape::Triangular { low, mode, high })
        }
        "discrete" => read_discrete(node, at, log),
        kind => {
            let mut s = Section::of(node, at, log)?;
            let mut get = |key: &'static str, log: &mut Log| {
                let path = s.at(key);
                let entry = s.get(key)?;
                finite(&entry.node, &path, log)
            };
            let normal = kind == "normal";
            let (first, second) =
                if normal { (get("mean", log), get("sd", log)) } else { (get("median", log), get("cv", log)) };
            let range = (get("low", log), get("high", log));
            s.done(log);
            // From 5 % to 95 % there are twice 1.645 standard deviations.
            let wide = 2.0 * normal::quantile(0.95);
            match (first, second, range) {
                (Some(mean), Some(deviation), (None, None)) if normal => Some(Shape::Normal { mean, deviation }),
                (Some(median), Some(cv), (None, None)) => {
                    Some(Shape::Lognormal { median, sigma: if cv > 0.0 { libm::log1p(cv * cv).sqrt() } else { cv } })
                }
                (None, None, (Some(low), Some(high))) if normal => {
                    Some(Shape::Normal { mean: 0.5 * (low + high), deviation: (high - low) / wide })
                }
                (None, None, (Some(low), Some(high))) if low > 0.0 => {
                    Some(Shape::Lognormal { median: (low * high).sqrt(), sigma: libm::log(high / low) / wide })
                }
                _ => {
                    log.wrong(
                        node.span.clone(),
                        format!("`{at}` is not complete"),
                        "here",
                        if normal {
                            "write { mean = …, sd = … }, or { low = …, high = … } for 5 and 95 %"
                        } else {
                            "write { median = …, cv = … }, or { low = …, high = … } for 5 and 95 %, both above zero"
                        },
                    );
                    None
                }
            }
        }
    }
}

/// Weights of the words of a hinge, or pairs of value and weight.
fn read_discrete(node: &Node, at: &str, log: &mut Log) -> Option<Shape> {
    let mut pairs: Vec<(f64, f64)> = Vec::new();
    match &node.value {
        Value::Table(entries) => {
            for e in entries {
                let Some(state) = HINGE_STATES.iter().position(|s| is_word(&e.key, s)) else {
                    log.wrong(
                        e.key_span.clone(),
                        format!("`{}` is no state of a hinge", quoted(&e.key)),
                        "unknown",
                        format!("one of {}; numbers are written as pairs [[value, weight], …]", listed(HINGE_STATES)),
                    );
                    return None;
                };
                pairs.push((state as f64, finite(&e.node, at, log)?));
            }
        }
        Value::List(nodes) => {
            for node in nodes {
                let [value, weight] = numbers(node, at, "pairs [value, weight]", log)?;
                pairs.push((value, weight));
            }
        }
        _ => {
            wrong_type(node, at, "weights of states, or pairs [value, weight]", log);
            return None;
        }
    }
    pairs.sort_by(|a, b| a.0.total_cmp(&b.0));
    let (values, weights) = pairs.into_iter().unzip();
    Some(Shape::Discrete { values, weights })
}

/// A list of so many finite numbers.
pub(super) fn numbers<const N: usize>(node: &Node, at: &str, form: &str, log: &mut Log) -> Option<[f64; N]> {
    let Value::List(nodes) = &node.value else {
        wrong_type(node, at, form, log);
        return None;
    };
    if nodes.len() != N {
        log.wrong(
            node.span.clone(),
            format!("`{at}` has {} numbers, not {N}", nodes.len()),
            format!("allowed: {form}"),
            format!("write {form}"),
        );
        return None;
    }
    let mut values = [0.0; N];
    for (value, node) in values.iter_mut().zip(nodes) {
        *value = finite(node, at, log)?;
    }
    Some(values)
}

fn finite(node: &Node, at: &str, log: &mut Log) -> Option<f64> {
    match node.value {
        Value::Number(value) if value.is_finite() => Some(value),
        Value::Number(value) => {
            log.wrong(
                node.span.clone(),
                format!("`{at}` is {value}, not a finite number"),
                "allowed: finite numbers",
                "write a number",
            );
            None
        }
        _ => {
            wrong_type(node, at, "a number", log);
            None
        }
    }
}
