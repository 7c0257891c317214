//! What the program says: output that may be a pipe that someone closes, messages, and why it stops.

use crate::model::{Problems, steers};
use crate::show::figures::WriteError;
use crate::study::Refused;
use clap::ValueEnum;
use serde::Serialize;
use std::ffi::OsString;
use std::io::{self, IsTerminal, Write};
use std::process::ExitCode;

/// When to colour messages and headings.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, ValueEnum)]
pub enum When {
    /// On a terminal, unless the environment sets NO_COLOR
    #[default]
    Auto,
    /// Always
    Always,
    /// Never
    Never,
}

impl When {
    fn on(self, terminal: bool) -> bool {
        match self {
            Self::Always => true,
            Self::Never => false,
            // The agreed variable: set and not empty means no colour.
            Self::Auto => terminal && std::env::var_os("NO_COLOR").is_none_or(|v| v.is_empty()),
        }
    }

    /// Whether to colour standard output.
    pub fn on_stdout(self) -> bool {
        self.on(io::stdout().is_terminal())
    }

    /// The same for help.
    pub(super) fn for_help(self) -> clap::ColorChoice {
        match self {
            Self::Auto => clap::ColorChoice::Auto,
            Self::Always => clap::ColorChoice::Always,
            Self::Never => clap::ColorChoice::Never,
        }
    }

    /// What was asked, read from the arguments before they are known to be right, so that messages
    /// about wrong ones already keep to it.
    pub(super) fn asked(arguments: &[OsString]) -> Self {
        let words: Vec<&str> = arguments.iter().filter_map(|a| a.to_str()).collect();
        let value = words.iter().enumerate().find_map(|(k, word)| {
            word.strip_prefix("--colour=").or_else(|| word.strip_prefix("--color=")).or_else(|| {
                let next = words.get(k + 1).copied();
                next.filter(|_| matches!(*word, "--colour" | "--color"))
            })
        });
        value.and_then(|v| Self::from_str(v, false).ok()).unwrap_or_default()
    }
}

/// Why the program stops before it is done.
#[derive(Debug)]
pub enum Failure {
    /// Nothing was to be run: the help or the version that was asked for.
    Help(String),
    /// Something typed is wrong: a message, and what to do about it.
    Input(String),
    /// Files that were read are wrong: every one with all its mistakes.
    Files(Vec<Problems>),
    /// The surroundings refuse: a folder that cannot be written, for instance.
    Other(String),
    /// The user asked for an end: what is done has been said.
    Interrupted(String),
    /// Whoever read the output has closed it.
    Pipe,
}

impl Failure {
    /// An end with a failure where some state had no certificate; what else was found is printed already.
    pub(super) fn if_doubtful(doubtful: bool) -> Result<(), Self> {
        let why = "a state could not be certified: no balance of forces was found, so nothing is reported of it; smaller loads and tensions, or firmer anchors and tissue, may have one";
        if doubtful { Err(Self::Other(why.to_owned())) } else { Ok(()) }
    }

    /// Says it as the arguments ask for, and gives the exit code.
    pub fn say(self, given: &[OsString]) -> ExitCode {
        let colour = When::asked(given).on(io::stderr().is_terminal());
        let code = match self {
            Self::Help(text) => match print(&text) {
                Ok(()) => return ExitCode::SUCCESS,
                Err(failure) => return failure.say(given),
            },
            Self::Pipe => 0,
            Self::Input(_) | Self::Files(_) => 2,
            Self::Other(_) => 1,
            Self::Interrupted(_) => super::stop::INTERRUPTED,
        };
        match self {
            Self::Pipe | Self::Help(_) => {}
            Self::Input(message) | Self::Other(message) | Self::Interrupted(message) => {
                let [on, off] = if colour { ["\u{1b}[31m", "\u{1b}[0m"] } else { ["", ""] };
                write_error(&format!("{on}rimhold:{off} {}\n", plain(&message)));
            }
            Self::Files(files) => {
                let mut text = files.iter().map(|p| p.render(colour)).collect::<Vec<_>>().join("\n");
                if files.len() > 1 {
                    text.push_str(&format!("\n{} files have mistakes\n", files.len()));
                }
                write_error(&text);
            }
        }
        ExitCode::from(code)
    }
}

impl From<WriteError> for Failure {
    fn from(e: WriteError) -> Self {
        Self::Other(format!("no figures were written: {e}"))
    }
}

impl From<Problems> for Failure {
    fn from(problems: Problems) -> Self {
        Self::Files(vec![problems])
    }
}

impl From<Refused> for Failure {
    fn from(refused: Refused) -> Self {
        match refused {
            Refused::Files(files) => Self::Files(files),
            Refused::Asked(message) => Self::Input(message),
            Refused::Ended => Self::Interrupted("interrupted before there was anything to report".to_owned()),
        }
    }
}

/// A message without what steers a terminal or turns its words round: it may quote what was typed.
fn plain(text: &str) -> String {
    text.chars().map(|c| if steers(c) { c.escape_default().to_string() } else { c.to_string() }).collect()
}

/// A closed standard error has nobody to tell.
fn write_error(text: &str) {
    let _ = io::stderr().lock().write_all(text.as_bytes());
}

/// Says something beside the output, on standard error.
pub(super) fn note(text: &str) {
    write_error(&(plain(text) + "\n"));
}

/// Writes a text to standard output in one go.
pub(super) fn print(text: &str) -> Result<(), Failure> {
    let mut out = io::stdout().lock();
    out.write_all(text.as_bytes()).and_then(|()| out.flush()).map_err(|e| match e.kind() {
        io::ErrorKind::BrokenPipe => Failure::Pipe,
        _ => Failure::Other(format!("standard output could not be written: {e}")),
    })
}

/// Writes a document to standard output as JSON.
pub(super) fn json(document: &impl Serialize) -> Result<(), Failure> {
    print(&as_json(document)?)
}

/// A document as JSON.
pub(super) fn as_json(document: &impl Serialize) -> Result<String, Failure> {
    let text = serde_json::to_string_pretty(document);
    text.map(|text| text + "\n").map_err(|e| Failure::Other(format!("the JSON could not be made: {e}")))
}

/// Help or version as clap has laid it out.
pub(super) fn styled(e: &clap::Error, colour: When) -> String {
    let text = e.render();
    if colour.on_stdout() { text.ansi().to_string() } else { text.to_string() }
}

#[cfg(test)]
mod tests {
    use super::plain;

    #[test]
    fn what_steers_a_terminal_is_told_and_not_done() {
        assert_eq!(plain("a\u{1b}[2Jb\u{7}\u{9b}1m\u{202e}c\td"), r"a\u{1b}[2Jb\u{7}\u{9b}1m\u{202e}c\td");
        assert_eq!(plain("two\nlines µ–"), "two\nlines µ–");
    }
}
