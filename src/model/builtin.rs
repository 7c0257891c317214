//! The shipped cases and constructs, built in so that they work anywhere by name.

use super::document;
use super::problems::{Problems, SourceText};
use super::reader::{listed, nearest, unprintable, visible};
use std::path::Path;

macro_rules! shipped {
    ($folder:literal: $($name:literal),* $(,)?) => {
        &[$(($name, include_str!(concat!("../../configs/", $folder, "/", $name, ".toml")))),*]
    };
}

/// Built-in cases, the default one first: name and text.
pub const CASES: &[(&str, &str)] = shipped!("cases":
    "quarter", "small", "large", "hinge-intact", "hinge-weak",
);

/// Built-in constructs: name and text.
pub const CONSTRUCTS: &[(&str, &str)] = shipped!("constructs":
    "single-row", "one-by-one", "one-by-one-bare", "two-by-two", "two-by-two-crossed", "mattress",
    "linked-pair", "crater-fan", "single-row-mattress", "two-by-two-tape", "one-screw", "two-screws",
    "two-screws-with-loops",
);

/// The text of a built-in case or construct.
pub fn builtin(name: &str) -> Option<&'static str> {
    CASES.iter().chain(CONSTRUCTS).find(|b| b.0 == name).map(|b| b.1)
}

/// The file name without directory and ending.
pub(super) fn stem(path: &Path) -> String {
    if document::is_stdin(path) {
        return "stdin".to_owned();
    }
    let name = path.file_stem().map_or_else(String::new, |s| s.to_string_lossy().into_owned());
    // A name is shown in tables and figures: nothing in it may steer them.
    let name: String = name.trim().chars().map(|c| if unprintable(c) { '?' } else { c }).collect();
    if name.contains(visible) { name } else { "unnamed".to_owned() }
}

/// Whether an argument names a case: a path that exists, or a built-in name.
pub fn is_case(argument: &str) -> bool {
    document::found(Path::new(argument)) != Ok(false) || CASES.iter().any(|b| b.0 == argument)
}

/// The known word nearest to a mistyped one, if any is near.
pub fn near<'a>(word: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    nearest(word, known)
}

/// The source of a case by its argument, and the name that it has without a name in the file.
///
/// # Errors
/// A file that is not there, or cannot be read.
pub fn case_source(argument: &str) -> Result<(SourceText, String), Problems> {
    resolve(argument, CASES)
}

/// The same of a construct.
///
/// # Errors
/// As [`case_source`].
pub fn construct_source(argument: &str) -> Result<(SourceText, String), Problems> {
    resolve(argument, CONSTRUCTS)
}

/// The source of an argument: a path that exists, otherwise a built-in name. With it, its name.
pub(super) fn resolve(argument: &str, among: &[(&str, &str)]) -> Result<(SourceText, String), Problems> {
    let path = Path::new(argument);
    let found = document::found(path);
    // A folder that happens to bear a built-in name does not hide it, nor does what cannot be reached.
    if (!matches!(found, Ok(true)) || path.is_dir())
        && let Some((name, text)) = among.iter().find(|b| b.0 == argument)
    {
        return Ok((SourceText::new(&format!("{name} (built in)"), text), (*name).to_owned()));
    }
    if found == Ok(false) {
        let names = || among.iter().map(|b| b.0);
        let hint = match nearest(argument, names()) {
            // Where the words of a command stand in the wrong order, or the case was left out.
            _ if among == CASES && CONSTRUCTS.iter().any(|b| b.0 == argument) => format!(
                "this is a built-in construct, and the case comes first: CASE {argument}; cases built in: {}",
                listed(names())
            ),
            Some(near) => format!("did you mean the built-in `{near}`? built in: {}", listed(names())),
            None => format!("check the path; built in: {}", listed(names())),
        };
        return Err(Problems::whole(argument, "there is no such file", hint));
    }
    Ok((document::read(path)?, stem(path)))
}
