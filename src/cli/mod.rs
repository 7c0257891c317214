//! The command line: arguments, messages, progress and files; all sense is elsewhere.
//!
//! Exit codes: 0 done, also when the finding is that a fragment is not held; 2 something that was
//! typed or read is wrong; 1 anything else, such as a folder that cannot be written; 130 interrupted,
//! by Ctrl-C or in an interrupted run whose complete part was written. A reader that closes its pipe
//! ends the program quietly.

mod arguments;
mod colour;
mod failure;
mod figures;
mod folder;
mod make;
mod open;
mod output;
mod place;
mod progress;
mod refusal;
mod report;
mod run;
mod scatter;
mod shell;
mod stop;
mod tie;
mod verify;
mod work;

pub use arguments::Arguments;

use clap::{FromArgMatches, error::ErrorKind};
use failure::Failure;
use std::ffi::OsString;
use std::process::ExitCode;

/// The whole definition, for completions, man pages and checks.
pub fn definition() -> clap::Command {
    arguments::definition()
}

/// Runs the program on its arguments, the program's own name first.
pub fn run(arguments: impl IntoIterator<Item = OsString>) -> ExitCode {
    stop::catch();
    let given: Vec<OsString> = arguments.into_iter().collect();
    let typed = definition()
        .color(colour::asked(&given).for_help())
        .try_get_matches_from(&given)
        .and_then(|matches| Arguments::from_arg_matches(&matches));
    let end = match typed {
        Ok(arguments) => run::run(&arguments),
        Err(e) if matches!(e.kind(), ErrorKind::DisplayHelp | ErrorKind::DisplayVersion) => {
            output::print(&output::styled(&e, colour::asked(&given)))
        }
        Err(e) => Err(refusal::of(&e)),
    };
    match end {
        Ok(()) => ExitCode::SUCCESS,
        Err(failure) => {
            failure.show(colour::asked(&given));
            failure.code()
        }
    }
}

impl Failure {
    fn code(&self) -> ExitCode {
        ExitCode::from(match self {
            Self::Pipe => 0,
            Self::Input(_) | Self::Files(_) => 2,
            Self::Other(_) => 1,
            Self::Interrupted(_) => stop::INTERRUPTED,
        })
    }
}
