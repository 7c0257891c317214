//! Reads a construct, as far as it can be checked without a case.

use super::document::{self, Node};
use super::parameters::{Access, parameter, row};
use super::path::{RawLimb, read_limb};
use super::place::{PlaceTable, read_place};
use super::places::{At, along_of, numbers_of, place};
use super::problems::{Problems, SourceText, Span};
use super::reader::{LONGEST_NAME, Log, Section, is_word, listed, whole};
use super::screw::{RawScrew, direction, read_screw};
use super::settings::{Settings, read_stiffness};
use super::tying::{RawTie, read_tying};
use super::{Fixing, Tag, Taken, builtin};
use crate::anatomy::{Along, Place};
use crate::math::Vec3;
use std::path::Path;

/// Most anchors, most limbs, and most screws.
pub(super) const MOST: usize = 24;
/// Root keys that only a case has.
const OF_A_CASE: [&str; 14] = [
    "side",
    "socket",
    "fragment",
    "bed",
    "envelope",
    "tether",
    "load",
    "displaced",
    "seat",
    "anchors",
    "settling",
    "phase",
    "joint",
    "spread",
];
/// Words in a path that no anchor may bear.
pub(super) const RESERVED: [&str; 5] = ["rim", "margin", "bite", "over", "eyelet"];

/// A construct file that is right in itself: it can be tried on any case with
/// [`ConstructFile::fit`], which puts its places on that case's bone.
#[derive(Debug, Clone, PartialEq)]
pub struct ConstructFile {
    /// Name (file stem, or `name` in the file).
    pub name: String,
    /// Free description from the file.
    pub description: String,
    /// Its text, for messages.
    pub source: SourceText,
    pub(super) anchors: Vec<RawAnchor>,
    pub(super) limbs: Vec<RawLimb>,
    pub(super) screws: Vec<RawScrew>,
    pub(super) ties: Vec<RawTie>,
    /// What a search for better places may change, when the file says so.
    pub place: Option<PlaceTable>,
    pub(super) settings: Settings,
    pub(super) taken: Vec<Taken>,
}

/// An anchor as it was written.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct RawAnchor {
    pub name: String,
    pub span: Span,
    pub place: At<Place>,
    /// How far it lands from there, along and across the fracture line, mm.
    pub error: [f64; 2],
    pub class: At<String>,
    pub stiffness: Option<Option<f64>>,
    pub holding: Option<f64>,
    /// Diameter and depth of its hole, mm, where it gives them.
    pub hole: [Option<f64>; 2],
    /// Direction of its hole, into the bone.
    pub axis: Option<At<Vec3>>,
    /// The portal through which it is drilled.
    pub portal: Option<At<String>>,
}

impl ConstructFile {
    /// Reads and checks a construct file.
    ///
    /// # Errors
    /// Every mistake of the file, or why it could not be read.
    pub fn read(path: &Path) -> Result<Self, Problems> {
        Self::from_source(document::read(path)?, &builtin::stem(path))
    }

    /// Checks the text of a construct; `name` stands for the file in messages and, without a
    /// directory and an ending, for the construct when the text gives no `name`.
    ///
    /// # Errors
    /// Every mistake of the text.
    pub fn parse(name: &str, text: &str) -> Result<Self, Problems> {
        Self::from_source(SourceText::new(name, text), &builtin::stem(Path::new(name)))
    }

    /// A construct by its argument: a path first, otherwise the name of a built-in construct.
    ///
    /// # Errors
    /// As [`ConstructFile::read`]; a name that is neither is a missing file, with the built-in
    /// names.
    pub fn open(argument: &str) -> Result<Self, Problems> {
        let (source, stem) = builtin::resolve(argument, builtin::CONSTRUCTS)?;
        Self::from_source(source, &stem)
    }

    fn from_source(source: SourceText, stem: &str) -> Result<Self, Problems> {
        let (file, log) = whole(source, |root, source, log| read_construct(root, source, stem, log))?;
        Ok(Self { taken: log.taken, ..file })
    }

    /// Sets the input of a path; without effect where there is none.
    pub(super) fn set(&mut self, path: &str, to: Along) {
        let (Along::Mm(value) | Along::Percent(value)) = to;
        let parts: Vec<&str> = path.split('.').collect();
        match parts.as_slice() {
            ["limb", name, "crossing", number, "along"] => {
                let limb = self.limbs.iter_mut().find(|l| l.name == *name);
                let place = limb.and_then(|l| l.crossings().nth(number.parse::<usize>().ok()?.checked_sub(1)?));
                if let Some(along) = place.and_then(along_of) {
                    *along = to;
                }
            }
            [of @ ("anchor" | "limb" | "screw"), name, key] => {
                let access = parameter(&format!("{of}.*.{key}")).map(|row| row.access);
                let anchor = self.anchors.iter_mut().find(|a| *of == "anchor" && a.name == *name);
                let limb = self.limbs.iter_mut().find(|l| *of == "limb" && l.name == *name);
                let screw = self.screws.iter_mut().find(|s| *of == "screw" && s.name == *name);
                match (access, anchor, limb, screw) {
                    (Some(Access::Anchor(set)), Some(anchor), ..) => set(anchor, value),
                    (Some(Access::Limb(set)), _, Some(limb), _) => set(limb, value),
                    (Some(Access::Screw(at)), .., Some(screw)) => (at.set)(screw, value),
                    (_, Some(anchor), ..) => anchor.place.set(key, to),
                    _ => {}
                }
            }
            _ => self.settings.set(path, value),
        }
    }
}

impl At<Place> {
    /// Sets a coordinate.
    fn set(&mut self, key: &str, to: Along) {
        let (Along::Mm(value) | Along::Percent(value)) = to;
        if let Some(along) = along_of(&mut self.value).filter(|_| key == "along") {
            *along = to;
        } else if let Some((.., number)) = numbers_of(&mut self.value).into_iter().find(|n| n.0 == key) {
            *number = value;
        }
    }
}

pub(super) fn read_construct(root: &Node, source: &SourceText, stem: &str, log: &mut Log) -> Option<ConstructFile> {
    let mut root = Section::of(root, "", log)?;
    let name = root.name(log).unwrap_or_else(|| stem.into());
    let description = root.description(log);
    let mut names = Vec::new();
    let mut anchors = Vec::new();
    for (name, span, section) in root.named("anchor", MOST, log) {
        names.push(name.clone());
        anchors.extend(read_anchor(name, span, section, log));
    }
    let mut screw_names = Vec::new();
    let mut screws = Vec::new();
    for (name, span, section) in root.named("screw", MOST, log) {
        screw_names.push(name.clone());
        screws.extend(read_screw(name, span, section, log));
    }
    if names.is_empty() && screw_names.is_empty() {
        root.missing("anchor", "add [anchor.NAME] with `at` and `class`", log);
    }
    let mut limb_names = Vec::new();
    let mut limbs = Vec::new();
    for (name, span, section) in root.named("limb", MOST, log) {
        limb_names.push(name.clone());
        limbs.extend(read_limb(name, span, section, &names, log));
    }
    if limb_names.is_empty() && screw_names.is_empty() {
        root.missing("limb", "add [limb.NAME] with its `path`", log);
    }
    for screw in screws.iter().filter(|s| limb_names.contains(&s.name)) {
        log.wrong(
            screw.span(),
            format!("a limb and a screw are both called `{}`", screw.name),
            "the screw here",
            "the order of ties names both: give each its own name",
        );
    }
    let ties = read_tying(&mut root, &limb_names, &screw_names, log);
    let place = read_place(&mut root, &names, log);
    let settings = Settings::read(&mut root, log);
    root.finish((&OF_A_CASE, "case"), log);
    Some(ConstructFile {
        name,
        description,
        source: source.clone(),
        anchors,
        limbs,
        screws,
        ties,
        place,
        settings,
        taken: Vec::new(),
    })
}

fn read_anchor(name: String, span: Span, mut s: Section<'_>, log: &mut Log) -> Option<RawAnchor> {
    if RESERVED.iter().any(|word| is_word(&name, word)) {
        log.wrong(
            span.clone(),
            format!("an anchor cannot be called `{name}`"),
            "a word of paths",
            format!("in a path, {} have a meaning of their own", listed(RESERVED)),
        );
    }
    let at = s.required("at", "a place like { face = { along = \"-10 %\", inset = 2.5 } }", log, place);
    let class = class_of(&mut s, "class", "all-suture", "taken for granted", log);
    let path = s.at("stiffness");
    let stiffness = s.get("stiffness");
    let stiffness = stiffness.and_then(|e| read_stiffness(&e.node, &path, row("anchor-class.*.stiffness"), log));
    let holding = s.number_if("holding", row("anchor-class.*.holding"), log);
    let hole = ["diameter", "depth"].map(|key| s.number_if(key, row(&format!("anchor.*.{key}")), log));
    let path = s.at("axis");
    let axis = s.get("axis").and_then(|e| direction(&e.node, &path, row("anchor.*.axis"), log));
    let portal = s.get("portal").map(|e| e.node.span.clone());
    let portal = portal.and_then(|span| Some(At { span, value: s.text("portal", LONGEST_NAME, log)? }));
    s.done(log);
    Some(RawAnchor { name, span, place: at?, error: [0.0; 2], class, stiffness, holding, hole, axis, portal })
}

/// The name of a class, or its default, recorded.
pub(super) fn class_of(
    s: &mut Section<'_>,
    key: &'static str,
    default: &str,
    source: &str,
    log: &mut Log,
) -> At<String> {
    let path = s.at(key);
    match s.get(key) {
        Some(e) => At { span: e.node.span.clone(), value: s.text(key, 40, log).unwrap_or_default() },
        None => {
            log.note(&path, default, "", Tag::Assumed, source);
            At { span: s.span.clone(), value: default.into() }
        }
    }
}

/// How a limb is finished when it does not say: what shares one anchor or is closed is knotted, a
/// bridge is clamped.
pub(super) fn default_fixing(knotted: bool) -> Fixing {
    if knotted { Fixing::Knot } else { Fixing::Knotless }
}
