//! What a case or a construct may set for all limbs and anchors at once: friction of a strand,
//! bites, knots, clamps, strand classes and anchor classes. A construct's word goes before the
//! case's, and the case's before the built-in value.

use super::StrandSpec;
use super::document::{Node, Value};
use super::parameters::{Parameter, parameter, parameters, row, rows_of};
use super::places::At;
use super::reader::{Log, Section, is_word, listed, meant, mistyped, number, quoted};
use std::collections::{BTreeMap, BTreeSet};

/// Most classes of one kind in a file.
pub(super) const MOST_CLASSES: usize = 24;
/// Root tables that hold settings, with what they are about.
pub(super) const TABLES: [(&str, &str); 4] = [
    ("friction", "friction of strands"),
    ("bite", "bites through labrum"),
    ("knot", "limbs tied by hand"),
    ("clamp", "knotless limbs"),
];
/// The anchor class without a spring.
pub(super) const RIGID: &str = "rigid";

/// Values set for everything in reach, by dotted path.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Settings {
    /// Path, e.g. `strand.cord.rigidity`, and value; `None` is a rigid anchor.
    values: BTreeMap<String, Option<f64>>,
    /// Classes that were named, as `strand.NAME` or `anchor-class.NAME`.
    classes: BTreeSet<String>,
}

impl Settings {
    /// The value set for a dotted path; the inner `None` is a rigid anchor.
    pub fn get(&self, path: &str) -> Option<Option<f64>> {
        self.values.get(path).copied()
    }

    /// Sets the value of a dotted path.
    pub(super) fn set(&mut self, path: &str, value: f64) {
        self.values.insert(path.to_owned(), Some(value));
    }

    /// All paths set, in alphabetical order, with their values.
    pub fn iter(&self) -> impl Iterator<Item = (&str, Option<f64>)> {
        self.values.iter().map(|(k, v)| (k.as_str(), *v))
    }

    /// Reads the tables of settings at the root of a file.
    pub(super) fn read(root: &mut Section<'_>, log: &mut Log) -> Self {
        let mut settings = Self::default();
        for (table, _) in TABLES {
            let mut section = root.table(table, log);
            for row in rows_of(table) {
                if let Some(value) = section.number_if(row.key(), row, log) {
                    settings.set(row.path, value);
                }
            }
            section.done(log);
        }
        for kind in ["strand", "anchor-class"] {
            for (name, _, mut section) in root.named(kind, MOST_CLASSES, log) {
                for row in rows_of(&format!("{kind}.*")) {
                    settings.read_class(kind, &name, row.key(), &mut section, log);
                }
                section.done(log);
            }
        }
        settings
    }

    fn read_class(&mut self, kind: &str, name: &str, key: &'static str, section: &mut Section<'_>, log: &mut Log) {
        self.classes.insert(format!("{kind}.{name}"));
        let path = format!("{kind}.{name}.{key}");
        let at = section.at(key);
        let row = parameter(&path).unwrap_or_else(|| row(&format!("{kind}.*.{key}")));
        let Some(entry) = section.get(key) else {
            return;
        };
        let value = match key {
            "stiffness" => read_stiffness(&entry.node, &at, row, log),
            _ => number(&entry.node, &at, row, log).map(Some),
        };
        self.values.extend(value.map(|value| (path, value)));
    }
}

/// A stiffness of an anchor, or the word for none.
pub(super) fn read_stiffness(node: &Node, path: &str, row: &Parameter, log: &mut Log) -> Option<Option<f64>> {
    match &node.value {
        Value::Text(word) if is_word(word, RIGID) => Some(None),
        Value::Text(_) => mistyped(node, path, "a number or \"rigid\"", log),
        _ => number(node, path, row, log).map(Some),
    }
}

/// Names of the built-in classes of a kind, in the order of the table.
pub(super) fn built_in(kind: &str) -> Vec<&'static str> {
    let mut names: Vec<&str> = Vec::new();
    for p in parameters() {
        if let Some((k, rest)) = p.path.split_once('.')
            && k == kind
            && let Some((name, _)) = rest.split_once('.')
            && name != "*"
            && !names.contains(&name)
        {
            names.push(name);
        }
    }
    if kind == "anchor-class" {
        names.push(RIGID);
    }
    names
}

/// The settings in reach of a construct on a case.
pub(super) struct Reach<'a> {
    pub construct: &'a Settings,
    pub case: &'a Settings,
}

impl Reach<'_> {
    /// What was set for a path, the construct first.
    fn set(&self, path: &str) -> Option<Option<f64>> {
        self.construct.get(path).or_else(|| self.case.get(path))
    }

    /// The value of a path of the table, its default recorded when nobody set it.
    pub fn number(&self, path: &str, log: &mut Log) -> f64 {
        match self.set(path) {
            Some(value) => value.unwrap_or(f64::NAN),
            None => {
                let row = row(path);
                log.take(path, row.default.unwrap_or(f64::NAN), row)
            }
        }
    }

    /// The same without a record, for a value that will not be used.
    pub fn quiet(&self, path: &str) -> f64 {
        self.set(path).flatten().or(row(path).default).unwrap_or(f64::NAN)
    }

    /// A class value: set, or built in (recorded), or absent.
    fn class(&self, kind: &str, name: &str, key: &str, log: &mut Log) -> Option<Option<f64>> {
        let path = format!("{kind}.{name}.{key}");
        if let Some(value) = self.set(&path) {
            return Some(value);
        }
        let row = parameters().iter().find(|p| p.path == path).or_else(|| parameter(&path))?;
        let default = row.default?;
        Some(Some(log.take(&path, default, row)))
    }

    /// Whether a class exists; a problem that names the nearest one if it does not.
    fn knows(&self, kind: &str, name: &At<String>, path: &str, log: &mut Log) -> bool {
        let mut known = built_in(kind);
        for settings in [self.construct, self.case] {
            for class in &settings.classes {
                if let Some((k, n)) = class.split_once('.')
                    && k == kind
                    && !known.contains(&n)
                {
                    known.push(n);
                }
            }
        }
        if known.contains(&name.value.as_str()) {
            return true;
        }
        let all = listed(known.iter().copied());
        let meant = meant(&name.value, known).map_or_else(String::new, |meant| meant + " ");
        let hint = format!("{meant}[{kind}.NAME] defines another class");
        log.wrong(
            name.span.clone(),
            format!("`{path}` is \"{}\", an unknown class", quoted(&name.value)),
            format!("allowed: {all}"),
            hint,
        );
        false
    }

    /// A strand class with its values.
    pub fn strand(&self, class: &At<String>, path: &str, log: &mut Log) -> Option<StrandSpec> {
        if !self.knows("strand", class, path, log) {
            return None;
        }
        let name = class.value.as_str();
        let Some(rigidity) = self.class("strand", name, "rigidity", log).flatten() else {
            return log.refuse(
                class.span.clone(),
                format!("the strand class `{name}` has no rigidity"),
                "used here",
                format!("give `rigidity` (EA in N) in [strand.{name}]; allowed: {}", row("strand.*.rigidity").range()),
            );
        };
        Some(StrandSpec {
            class: name.into(),
            rigidity,
            width: self.class("strand", name, "width", log).flatten().unwrap_or(f64::NAN),
            strength: self.class("strand", name, "strength", log).flatten(),
        })
    }

    /// Set of an anchor class in its first cycle to 25 N, mm.
    pub fn anchor_set(&self, class: &str, log: &mut Log) -> f64 {
        self.class("anchor-class", class, "set", log).flatten().unwrap_or(0.0)
    }

    /// Stiffness (`None` rigid) and holding load of an anchor class; what the anchor itself gives
    /// goes first.
    #[allow(clippy::type_complexity)]
    pub fn anchor(
        &self,
        class: &At<String>,
        path: &str,
        own: (Option<Option<f64>>, Option<f64>),
        log: &mut Log,
    ) -> Option<(Option<f64>, Option<f64>)> {
        if !self.knows("anchor-class", class, path, log) {
            return None;
        }
        let name = class.value.as_str();
        let stiffness = match own.0 {
            Some(given) => given,
            None => match self.class("anchor-class", name, "stiffness", log) {
                Some(value) => value,
                None if name == RIGID => None,
                None => {
                    return log.refuse(
                        class.span.clone(),
                        format!("the anchor class `{name}` has no stiffness"),
                        "used here",
                        format!(
                            "give `stiffness` (N/mm, or \"rigid\") in [anchor-class.{name}]; allowed: {}",
                            row("anchor-class.*.stiffness").range()
                        ),
                    );
                }
            },
        };
        let holding = own.1.or_else(|| self.class("anchor-class", name, "holding", log).flatten());
        Some((stiffness, holding))
    }
}
