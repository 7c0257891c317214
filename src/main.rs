//! The program `rimhold`: reads its arguments, runs, and says how it went by its exit code.

#![forbid(unsafe_code)]

use std::process::ExitCode;

fn main() -> ExitCode {
    rimhold::cli::run(std::env::args_os())
}
