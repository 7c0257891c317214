//! What a case or a construct may set for all limbs and anchors at once: friction of a strand,
//! bites, knots, clamps, strand classes, anchor classes, portals and what drilling must leave. A construct's word goes before the
//! case's, and the case's before the built-in value.

use super::document::{Node, Value};
use super::parameters::{Parameter, parameter, parameters, row, rows_of};
use super::places::{At, clock};
use super::reader::{Log, Section, is_word, listed, meant, mistyped, number, quoted};
use super::{DrillLimits, PortalSpec, StrandSpec, Tag};
use std::collections::{BTreeMap, BTreeSet};

/// Most classes of one kind in a file.
pub(super) const MOST_CLASSES: usize = 24;
/// Root tables that hold settings, with what they are about.
pub(super) const TABLES: [(&str, &str); 5] = [
    ("friction", "friction of strands"),
    ("bite", "bites through labrum"),
    ("knot", "limbs tied by hand"),
    ("clamp", "knotless limbs"),
    ("drill", "what drilling must leave, for `rimhold drill`"),
];
/// Root tables of named classes, with what they are in the plural.
pub(super) const CLASSES: [(&str, &str); 3] = [
    ("strand", "classes of strand"),
    ("anchor-class", "classes of anchor"),
    (PORTAL, "portals through which holes are drilled"),
];
/// The table of portals.
const PORTAL: &str = "portal";
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
        for (kind, _) in CLASSES {
            for (name, _, mut section) in root.named(kind, MOST_CLASSES, log) {
                for row in rows_of(&format!("{kind}.*")) {
                    settings.read_class(kind, &name, row.key(), &mut section, log);
                    if kind == PORTAL && row.default.is_none() && !built_in(kind).contains(&&*name) {
                        section.required(row.key(), &row.about(), log, |_, _, _| Some(()));
                    }
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
            "clock" => clock(&entry.node, &at, row, log).map(Some),
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

    /// The classes of a kind by name, the built-in ones first.
    fn named(&self, kind: &str) -> Vec<&str> {
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
        known
    }

    /// Whether a class exists; a problem that names the nearest one if it does not.
    fn knows(&self, kind: &str, name: &At<String>, path: &str, log: &mut Log) -> bool {
        let known = self.named(kind);
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

    /// The same without a record, NaN where there is none: for what moves no answer but that of drilling.
    fn quiet_class(&self, kind: &str, name: &str, key: &str) -> f64 {
        self.class(kind, name, key, &mut Log::default()).flatten().unwrap_or(f64::NAN)
    }

    /// Diameter and depth (mm) of the hole of an anchor class; what the anchor itself gives goes first.
    pub fn hole(&self, class: &str, own: [Option<f64>; 2]) -> [f64; 2] {
        let [diameter, depth] = own;
        let of = |key: &str| self.quiet_class("anchor-class", class, key);
        [diameter.unwrap_or_else(|| of("diameter")), depth.unwrap_or_else(|| of("depth"))]
    }

    /// Whether there is a portal of a name; a problem that names the nearest one if there is not.
    pub fn knows_portal(&self, name: &At<String>, path: &str, log: &mut Log) -> bool {
        self.knows(PORTAL, name, path, log)
    }

    /// All portals, the built-in ones first.
    pub fn portals(&self) -> Vec<PortalSpec> {
        let named = self.named(PORTAL);
        let of = |name: &str, key: &str| self.quiet_class(PORTAL, name, key);
        // What a file says nothing of is built in.
        let given =
            |name: &str| [self.construct, self.case].iter().any(|s| s.classes.contains(&format!("{PORTAL}.{name}")));
        let spec = |name: &str| PortalSpec {
            name: name.to_owned(),
            clock: of(name, "clock"),
            elevation: of(name, "elevation"),
            half_angle: of(name, "half_angle"),
            turn: of(name, "turn"),
            tag: if given(name) { Tag::Given } else { Tag::Assumed },
        };
        named.into_iter().map(spec).collect()
    }

    /// What drilling must leave.
    pub fn drill(&self) -> DrillLimits {
        parameters().iter().filter(|p| p.path.starts_with("drill.")).map(|p| (p.path, self.quiet(p.path))).collect()
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
