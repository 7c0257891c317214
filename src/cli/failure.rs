//! Why the program stops.

use super::colour::When;
use crate::model::Problems;
use crate::show::figures::WriteError;
use std::io::{self, Write};

/// Why the program stops before it is done.
#[derive(Debug)]
pub(super) enum Failure {
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
    /// Some state had no certificate: what else was found is printed already.
    pub fn uncertified() -> Self {
        Self::Other("a state could not be certified; nothing is reported of it (please report the files)".to_owned())
    }

    /// Says it on standard error. A closed standard error leaves nothing to say it on.
    pub fn show(&self, colour: When) {
        let colour = colour.on_stderr();
        let text = match self {
            Self::Pipe => return,
            Self::Input(message) | Self::Other(message) | Self::Interrupted(message) => {
                if colour {
                    format!("\u{1b}[31mrimhold:\u{1b}[0m {message}\n")
                } else {
                    format!("rimhold: {message}\n")
                }
            }
            Self::Files(files) => {
                let mut text = files.iter().map(|p| p.render(colour)).collect::<Vec<_>>().join("\n");
                if files.len() > 1 {
                    text.push_str(&format!("\n{} files have mistakes\n", files.len()));
                }
                text
            }
        };
        let _ = io::stderr().lock().write_all(text.as_bytes());
    }
}

impl From<WriteError> for Failure {
    fn from(e: WriteError) -> Self {
        Self::Other(format!("no figures were written: {e}"))
    }
}
