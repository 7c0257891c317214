//! Standard output, which may be a pipe that someone closes.

use super::colour::When;
use super::failure::Failure;
use serde::Serialize;
use std::io::{self, Write};

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
    let text = serde_json::to_string_pretty(document)
        .map_err(|e| Failure::Other(format!("the JSON could not be made: {e}")))?;
    print(&(text + "\n"))
}

/// Says something beside the output, on standard error.
pub(super) fn note(text: &str) {
    // A closed standard error has nobody to tell.
    let _ = writeln!(io::stderr().lock(), "{text}");
}

/// Help or version as clap has laid it out.
pub(super) fn styled(e: &clap::Error, colour: When) -> String {
    let text = e.render();
    if colour.on_stdout() { text.ansi().to_string() } else { text.to_string() }
}
