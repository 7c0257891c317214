//! A case and constructs as documents whose numbers can be set again and again.

use super::super::builtin::{self, CASES, CONSTRUCTS};
use super::super::case_file::read_case;
use super::super::construct_file::read_construct;
use super::super::document::{self, Entry, Node, Value};
use super::super::document_text;
use super::super::problems::{Problems, SourceText};
use super::super::reader::{Log, Section};
use super::super::{Case, Construct, ConstructFile};
use super::known::{self, HINGE, HINGE_STATES, Known, Owner};
use super::node::{child, child_mut, crossing_mut, put};
use super::table::{SpreadTable, read_spread};

/// Stiffness (N/mm) and slack (mm) of a hinge that is weak or intact: as in the built-in cases.
const WEAK: [f64; 2] = [5.0, 2.0];
const INTACT: [f64; 2] = [20.0, 0.5];

/// A document with its name.
#[derive(Debug, Clone)]
struct Text {
    source: SourceText,
    stem: String,
    root: Node,
}

impl Text {
    fn open(argument: &str, among: &[(&str, &str)]) -> Result<Self, Problems> {
        let (source, stem) = builtin::resolve(argument, among)?;
        let (root, _) = document::parse(&source)?;
        Ok(Self { source, stem, root })
    }
}

/// A case and constructs whose numbers can be set.
#[derive(Debug, Clone)]
pub struct Subject {
    case: Text,
    constructs: Vec<Text>,
    names: Vec<String>,
    /// Placement errors of anchors, by construct: name, along and across, mm.
    errors: Vec<Vec<(String, [f64; 2])>>,
    /// The hinge as the file has it, so that one that was taken away can come back.
    hinge: Option<Entry>,
    base: (Case, Vec<(ConstructFile, Construct)>),
}

/// What was read with the numbers that were set.
#[derive(Debug)]
pub struct Reading {
    /// The case, or why there is none.
    pub case: Result<Case, String>,
    /// Each construct on it, or why there is none; empty without a case.
    pub constructs: Vec<Result<Construct, String>>,
}

impl Subject {
    /// Opens a case and constructs by file or built-in name.
    ///
    /// # Errors
    /// Every file with all its mistakes.
    pub fn open(case: &str, constructs: &[String]) -> Result<Self, Vec<Problems>> {
        let mut wrong = Vec::new();
        let read = Case::open(case).map_err(|p| wrong.push(p)).ok();
        let mut files = Vec::new();
        for name in constructs {
            let fitted = ConstructFile::open(name).and_then(|file| match &read {
                None => Ok(None),
                Some(case) => file.fit(case).map(|c| Some((file, c))),
            });
            match fitted {
                Ok(fitted) => files.extend(fitted),
                Err(problems) if !wrong.contains(&problems) => wrong.push(problems),
                Err(_) => {}
            }
        }
        let Some(read) = read.filter(|_| wrong.is_empty()) else {
            return Err(wrong);
        };
        let texts = constructs.iter().map(|name| Text::open(name, CONSTRUCTS));
        let texts: Result<Vec<_>, _> = texts.collect();
        let (Ok(case), Ok(texts)) = (Text::open(case, CASES), texts) else {
            return Err(vec![Problems::whole(case, "a file changed while it was read", "run the command again")]);
        };
        let mut names: Vec<String> = Vec::new();
        for (_, construct) in &files {
            let (mut name, mut number) = (construct.name.clone(), 2);
            while names.contains(&name) {
                name = format!("{} ({number})", construct.name);
                number += 1;
            }
            names.push(name);
        }
        for ((_, construct), name) in files.iter_mut().zip(&names) {
            construct.name.clone_from(name);
        }
        let hinge = child(&case.root, "tether").and_then(|t| match &t.value {
            Value::Table(tethers) => tethers.iter().find(|e| e.key == "hinge").cloned(),
            _ => None,
        });
        Ok(Self { case, hinge, errors: vec![Vec::new(); texts.len()], constructs: texts, names, base: (read, files) })
    }

    /// The case as it stands in its file.
    pub fn case(&self) -> &Case {
        &self.base.0
    }

    /// The constructs as they stand in their files, each with a name of its own.
    pub fn constructs(&self) -> impl Iterator<Item = &Construct> {
        self.base.1.iter().map(|c| &c.1)
    }

    /// The texts of the files: the case's and each construct's, for telling one run from another.
    pub fn texts(&self) -> impl Iterator<Item = (&str, &str)> {
        std::iter::once(&self.case).chain(&self.constructs).map(|t| (&*t.source.name, &*t.source.text))
    }

    /// The `[spread]` table of the case, if it has one.
    pub fn spread(&self) -> Option<SpreadTable> {
        let mut log = Log::default();
        let mut root = Section::of(&self.case.root, "", &mut log)?;
        read_spread(&mut root, &self.case.source, &mut log)
    }

    /// Every input that can be varied.
    pub fn known(&self) -> Vec<Known> {
        let mut magnitudes = Vec::new();
        if let Some(Value::Table(loads)) = child(&self.case.root, "load").map(|n| &n.value) {
            for e in loads {
                if let Some(Value::Number(force)) = child(&e.node, "force").map(|n| &n.value) {
                    magnitudes.push((e.key.clone(), *force));
                }
            }
        }
        known::all(&self.base.0, &self.base.1, &magnitudes)
    }

    /// Sets an input to a value in the unit of its file (`percent`: in percent of what the file
    /// understands by it).
    pub fn set(&mut self, known: &Known, owner: Owner, value: f64, percent: bool) {
        let written = if percent { Value::Text(format!("{value} %")) } else { Value::Number(value) };
        let parts: Vec<&str> = known.path.split('.').collect();
        match (owner, parts.as_slice()) {
            (Owner::Case, _) if known.path == HINGE => self.set_hinge(value as usize),
            (Owner::Case, ["tether", "hinge", key]) => {
                if child(&self.case.root, "tether").and_then(|t| child(t, "hinge")).is_none() {
                    self.put_hinge(INTACT);
                }
                put(&mut self.case.root, &["tether", "hinge", key], written);
            }
            (Owner::Case, parts) => put(&mut self.case.root, parts, written),
            (Owner::Construct(k), ["anchor", name, key @ ("along_error" | "across_error")]) => {
                let errors = &mut self.errors[k];
                let found = errors.iter().position(|e| e.0 == *name);
                let at = found.unwrap_or_else(|| {
                    errors.push(((*name).to_owned(), [0.0; 2]));
                    errors.len() - 1
                });
                errors[at].1[usize::from(*key == "across_error")] = value;
            }
            (Owner::Construct(k), ["limb", name, "crossing", number, key]) => {
                let root = &mut self.constructs[k].root;
                if let Some(crossing) = number.parse::<usize>().ok().and_then(|number| crossing_mut(root, name, number))
                {
                    put(crossing, &[key], written);
                }
            }
            (Owner::Construct(k), ["anchor", name, key]) if !["stiffness", "holding"].contains(key) => {
                let root = &mut self.constructs[k].root;
                let Some(Value::Table(places)) =
                    child(root, "anchor").and_then(|a| child(a, name)).and_then(|a| child(a, "at")).map(|n| &n.value)
                else {
                    return;
                };
                if let Some(kind) = places.first().map(|e| e.key.clone()) {
                    put(root, &["anchor", name, "at", &kind, key], written);
                }
            }
            (Owner::Construct(k), parts) => put(&mut self.constructs[k].root, parts, written),
        }
    }

    /// Only whole numbers come here: draws of states, and values that [`super::Varying`] has checked.
    fn set_hinge(&mut self, state: usize) {
        match HINGE_STATES.get(state) {
            Some(&"weak") => self.put_hinge(WEAK),
            Some(&"intact") => self.put_hinge(INTACT),
            _ => {
                if let Some(Value::Table(tethers)) = child_mut(&mut self.case.root, "tether").map(|t| &mut t.value) {
                    tethers.retain(|e| e.key != "hinge");
                }
            }
        }
    }

    /// Gives the hinge its numbers; one that is not there gets the ends of the built-in cases, from
    /// the fragment's inferior end to the rim just beyond it.
    fn put_hinge(&mut self, [stiffness, slack]: [f64; 2]) {
        let root = &mut self.case.root;
        if child(root, "tether").and_then(|t| child(t, "hinge")).is_none()
            && let Some(own) = self.hinge.clone()
        {
            put(root, &["tether", "hinge"], own.node.value);
        }
        if child(root, "tether").and_then(|t| child(t, "hinge")).is_none() {
            for (end, along) in [("fragment", "-92 %"), ("scapula", "-108 %")] {
                let at = ["tether", "hinge", end, "rim", "along"];
                put(root, &at, Value::Text(along.into()));
            }
        }
        put(root, &["tether", "hinge", "stiffness"], Value::Number(stiffness));
        put(root, &["tether", "hinge", "slack"], Value::Number(slack));
    }

    /// Sets the number of bed cells aimed at.
    pub fn set_cells(&mut self, cells: usize) {
        put(&mut self.case.root, &["bed", "cells"], Value::Number(cells as f64));
    }

    /// The files of the constructs as they were read, in their order.
    pub fn files(&self) -> impl Iterator<Item = &ConstructFile> {
        self.base.1.iter().map(|c| &c.0)
    }

    /// A construct as TOML text with the numbers that were set, under a name of its own: a file that
    /// can be read again. Placement errors are none of its numbers.
    pub fn construct_text(&self, construct: usize, name: &str) -> String {
        let mut root = self.constructs[construct].root.clone();
        // The name stands first, where a reader looks for it.
        if child(&root, "name").is_none()
            && let Value::Table(entries) = &mut root.value
        {
            let node = Node { span: 0..0, value: Value::Text(String::new()) };
            entries.insert(0, Entry { key: "name".to_owned(), key_span: 0..0, node });
        }
        put(&mut root, &["name"], Value::Text(name.to_owned()));
        document_text::toml(&root)
    }

    /// Reads everything again with the numbers that were set. Warnings about closeness of anchors and
    /// the like are left out: they are given once, for the files.
    pub fn read(&self) -> Reading {
        let mut log = Log::default();
        let case = read_case(&self.case.root, &self.case.stem, &mut log);
        let case = match (case, log.problems.first()) {
            (Some(case), None) => case,
            (_, problem) => {
                let why = problem.map_or_else(|| "no case".to_owned(), |p| p.message.clone());
                return Reading { case: Err(why), constructs: Vec::new() };
            }
        };
        let constructs = (0..self.constructs.len()).map(|k| self.read_construct(k, &case)).collect();
        Reading { case: Ok(case), constructs }
    }

    fn read_construct(&self, k: usize, case: &Case) -> Result<Construct, String> {
        let text = &self.constructs[k];
        let mut log = Log::default();
        let file = read_construct(&text.root, &text.source, &text.stem, &mut log);
        let (Some(mut file), true) = (file, log.problems.is_empty()) else {
            let problem = log.problems.first();
            return Err(problem.map_or_else(|| "no construct".to_owned(), |p| p.message.clone()));
        };
        for (name, error) in &self.errors[k] {
            for anchor in file.anchors.iter_mut().filter(|a| a.name == *name) {
                anchor.error = *error;
            }
        }
        let mut construct =
            file.fit_unwarned(case).map_err(|p| p.problems.first().map_or_else(String::new, |p| p.message.clone()))?;
        construct.name.clone_from(&self.names[k]);
        Ok(construct)
    }
}
