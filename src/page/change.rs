//! The texts of a state: read, checked, changed.

use super::ask::{Change, File, State, Value};
use super::draw::seen;
use crate::model::spread::apart;
use crate::model::{Case, CaseFile, Construct, ConstructFile, Handle, Plane, Problems, edited, keys};
use crate::show::words;
use crate::study::result::Start;
use serde::Serialize;

/// Most constructs side by side.
pub(crate) const MOST: usize = 3;
/// Most cells of a bed that is computed while one waits: our choice.
const CELLS: usize = 2000;

/// A mistake in a file.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(super) struct Mistake {
    file: String,
    line: Option<usize>,
    message: String,
    found: String,
    hint: Option<String>,
}

impl Mistake {
    fn of(problems: &Problems) -> Vec<Self> {
        let source = &problems.source;
        let one = |p: &crate::model::Problem| Self {
            file: source.name.to_string(),
            line: p.span.as_ref().map(|span| source.position(span.start).0),
            message: p.message.clone(),
            found: p.label.clone(),
            hint: p.hint.clone(),
        };
        problems.problems.iter().map(one).collect()
    }

    pub fn said(file: &str, message: String, hint: &str) -> Vec<Self> {
        let hint = (!hint.is_empty()).then(|| hint.to_owned());
        vec![Self { file: file.to_owned(), line: None, message, found: String::new(), hint }]
    }
}

/// A state whose files were read.
#[derive(Debug, Clone)]
pub(super) struct Read {
    pub file: CaseFile,
    pub case: Case,
    pub constructs: Vec<(ConstructFile, Construct)>,
}

impl Read {
    /// Reads the texts of a state; every mistake of all of them otherwise.
    pub fn of(state: &State) -> Result<Self, Vec<Mistake>> {
        counted(state)?;
        let (file, case) = CaseFile::parse(&file_name(&state.case.name), &state.case.text)
            .map_err(|problems| Mistake::of(&problems))?;
        if case.bed.cells > CELLS {
            let message = format!("the bed has {} cells, more than {CELLS}", case.bed.cells);
            return Err(Mistake::said(&state.case.name, message, "compute so fine a bed with `rimhold compare`"));
        }
        if let (Start::Displaced, Some(sunk)) = (state.from, case.sunk()) {
            return Err(Mistake::said(&state.case.name, sunk.to_string(), "lift it out of the bed"));
        }
        let mut wrong = Vec::new();
        let mut constructs: Vec<(ConstructFile, Construct)> = Vec::new();
        for text in &state.constructs {
            let read = ConstructFile::parse(&file_name(&text.name), &text.text)
                .and_then(|file| file.fit_unwarned(&case).map(|construct| (file, construct)));
            match read {
                Ok((file, mut construct)) => {
                    let taken: Vec<String> = constructs.iter().map(|(_, other)| other.name.clone()).collect();
                    construct.name = apart(&construct.name, &taken);
                    constructs.push((file, construct));
                }
                Err(problems) => wrong.extend(Mistake::of(&problems)),
            }
        }
        if wrong.is_empty() { Ok(Self { file, case, constructs }) } else { Err(wrong) }
    }

    /// The state without what is not there: ties beyond the last.
    pub fn tidied(&self, mut state: State) -> State {
        let ties = self.constructs[state.shown].1.ties.len();
        state.tied = state.tied.filter(|tied| *tied < ties);
        state
    }

    /// The handles of a construct.
    pub fn handles(&self, shown: usize) -> Vec<Handle> {
        let (file, construct) = &self.constructs[shown];
        file.handles(&self.case, construct)
    }
}

/// How messages name the text of a file: its name and an ending.
pub(super) fn file_name(name: &str) -> String {
    format!("{name}.toml")
}

/// Whether there are constructs, not too many, and the one that is drawn is among them.
fn counted(state: &State) -> Result<(), Vec<Mistake>> {
    let count = state.constructs.len();
    if (1..=MOST).contains(&count) && state.shown < count {
        return Ok(());
    }
    let found = format!("{count} constructs, and the one drawn is not among them or they are too many");
    Err(Mistake::said("the page", found, &format!("1 to {MOST} constructs, one of them drawn")))
}

/// The state after a change, and why it did not go all the way.
pub(super) fn changed(state: &State, change: &Change) -> Result<(State, Option<String>), Vec<Mistake>> {
    counted(state)?;
    let mut next = state.clone();
    let (shown, name) = (state.shown, "the page");
    let text = |text: Option<String>| text.ok_or_else(|| Mistake::said(name, "this cannot be changed".to_owned(), ""));
    let mut stopped = None;
    match change {
        Change::Move { handle, view, by } => {
            let read = Read::of(state)?;
            let (file, construct) = &read.constructs[shown];
            let handles = read.handles(shown);
            let Some(handle) = handles.iter().find(|h| h.id == *handle) else {
                return Err(Mistake::said(name, format!("{} has no {handle}", construct.name), ""));
            };
            let moved = file.moved(&read.case, construct, handle, *view, [mirror(&read.case, *view) * by[0], by[1]]);
            next.constructs[shown].text = moved.text;
            stopped = moved.stopped;
        }
        Change::Order { order } => {
            let file = shown_file(state)?;
            let mut all = order.clone();
            all.sort_unstable();
            if all != (0..file.held().len()).collect::<Vec<_>>() {
                return Err(Mistake::said(name, "the order names every tie once".to_owned(), ""));
            }
            next.constructs[shown].text = text(file.with_ties(order, &file.held()))?;
        }
        Change::Hold { tie, held } => {
            let file = shown_file(state)?;
            let mut all = file.held();
            *all.get_mut(*tie).ok_or_else(|| Mistake::said(name, "there is no such tie".to_owned(), ""))? = *held;
            next.constructs[shown].text = text(file.with_ties(&(0..all.len()).collect::<Vec<_>>(), &all))?;
        }
        Change::Rename { construct, name: called } => {
            let file = if *construct { &mut next.constructs[shown] } else { &mut next.case };
            let called = called.trim();
            *file = File { name: called.to_owned(), text: text(edited(&file.text, &keys(["name"]), called))? };
        }
        Change::Set { path, value } => {
            let limb = path.strip_prefix("limb.").and_then(|rest| rest.strip_suffix(".tension"));
            let (file, steps) = match limb {
                Some(limb) => (&mut next.constructs[shown], keys(["limb", limb, "tension"])),
                None => (&mut next.case, keys(path.split('.'))),
            };
            let value: toml_edit::Value = match value {
                Value::Number(value) => written(path, *value),
                Value::Word(word) => word.as_str().into(),
            };
            file.text = text(edited(&file.text, &steps, value))?;
        }
    }
    // What was allowed before may not be after: then all stays, and the page says why.
    match Read::of(&next) {
        Ok(_) => Ok((next, stopped)),
        Err(mistakes) if matches!(change, Change::Move { .. } | Change::Set { .. } | Change::Rename { .. }) => {
            let why = mistakes.first().map(|m| [m.message.as_str(), m.found.as_str()].join("; ")).unwrap_or_default();
            let begins = if matches!(change, Change::Move { .. }) { "Stops here" } else { "Not set" };
            Ok((state.clone(), Some(format!("{begins}: {}", why.trim_end_matches("; ")))))
        }
        Err(mistakes) => Err(mistakes),
    }
}

/// The construct that is drawn, as it was written.
fn shown_file(state: &State) -> Result<ConstructFile, Vec<Mistake>> {
    let File { name, text } = &state.constructs[state.shown];
    ConstructFile::parse(&file_name(name), text).map_err(|problems| Mistake::of(&problems))
}

/// A number as a file has it: a clock position in hours and minutes, all else to the thousandth.
fn written(path: &str, value: f64) -> toml_edit::Value {
    if path == "fragment.middle" {
        return words::hours(value).into();
    }
    ((value * 1e3).round() / 1e3 + 0.0).into()
}

/// 1 where the first axis of a plane runs to the right on the page, −1 where it runs to the left.
pub(super) fn mirror(case: &Case, plane: Plane) -> f64 {
    seen(plane).mirror(case)
}
