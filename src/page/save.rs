//! How the files of a state are called where they are saved, and the command lines that compute from them what the page
//! shows.

use super::ask::{File, State};
use super::change::file_name;
use crate::model::{CASES, CONSTRUCTS};
use crate::show::words;
use serde::Serialize;

/// A name, and whether the text is no more that of the built-in file of this name.
pub(super) fn called(file: &File, built_in: &[(&str, &str)]) -> String {
    let changed = built_in.iter().any(|(name, text)| *name == file.name && *text != file.text);
    if changed { format!("{}, changed", file.name) } else { file.name.clone() }
}

/// Names under which the files of a state are saved: plain ones, each its own.
#[derive(Debug, Clone, Serialize)]
pub(super) struct Names {
    case: String,
    constructs: Vec<String>,
}

impl Names {
    pub fn of(state: &State) -> Self {
        let plain = |name: &str| {
            let fit = |c: char| if c.is_ascii_alphanumeric() || "-_.".contains(c) { c } else { '-' };
            let name: String = name.chars().map(fit).collect();
            let name = name.trim_matches(['-', '.']);
            if name.is_empty() { "unnamed".to_owned() } else { name.to_owned() }
        };
        let mut taken: Vec<String> = Vec::new();
        let built_in = std::iter::once(CASES).chain(std::iter::repeat(CONSTRUCTS));
        for (file, built_in) in std::iter::once(&state.case).chain(&state.constructs).zip(built_in) {
            let name = plain(&called(file, built_in).replace(", ", "-"));
            let numbered = (2..).map(|number| format!("{name}-{number}"));
            let own = std::iter::once(name.clone()).chain(numbered).find(|name| !taken.contains(name));
            taken.extend(own);
        }
        let mut files = taken.into_iter().map(|name| file_name(&name));
        Self { case: files.next().unwrap_or_default(), constructs: files.collect() }
    }
}

/// The command lines that give the same digits of the files as they are saved.
pub(super) fn commands(state: &State) -> Vec<String> {
    let Names { case, constructs: all } = Names::of(state);
    let from = clap::ValueEnum::to_possible_value(&state.from);
    let from = from.as_ref().map_or("", |word| word.get_name());
    let as_tied = if state.settled { "" } else { " --as-tied" };
    let shown = &all[state.shown];
    let mut lines = vec![
        format!("rimhold compare {case} {} --from {from}{as_tied} --draws 0", all.join(" ")),
        format!("rimhold tie {case} {shown} --from {from} --orders own"),
    ];
    if !state.lost.is_empty() {
        let lost = words::quoted(&state.lost.join(","));
        // What the page shows of the one that is drawn; `compare` knows no losses.
        lines.insert(0, format!("rimhold lose {case} {shown} --lost={lost} --from {from}{as_tied}"));
    }
    lines
}
