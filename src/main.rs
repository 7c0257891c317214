//! The program `rimhold`: reads its arguments, runs, and says how it went by its exit code.

#![forbid(unsafe_code)]

use rimhold::cli;
use std::ffi::OsString;
use std::process::ExitCode;

fn main() -> ExitCode {
    // Before anything else, so that Ctrl-C never ends the program in the midst of what it writes.
    cli::catch_signals();
    let typed: Vec<OsString> = std::env::args_os().collect();
    // A command goes from its arguments over the plan of a study and its run to what is shown.
    let ended = cli::parse(&typed).and_then(|command| command.run());
    match ended {
        Ok(()) => ExitCode::SUCCESS,
        // Done 0, something typed or read is wrong 2, anything else 1, interrupted 130.
        Err(failure) => failure.say(&typed),
    }
}
