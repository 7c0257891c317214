//! Studies of scatter and sweeps, from the library and from outside the program.

#[path = "scatter/long.rs"]
mod long;
#[path = "scatter/meaning.rs"]
mod meaning;
#[path = "scatter/mistakes.rs"]
mod mistakes;
#[path = "scatter/outside.rs"]
mod outside;

use std::process::{Command, Output};

/// The program in a folder of its own.
struct Room(tempfile::TempDir);

impl Room {
    fn new() -> Self {
        Self(tempfile::tempdir().unwrap())
    }

    fn command(&self, arguments: &[&str]) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_rimhold"));
        command.args(arguments).current_dir(self.0.path());
        command
    }

    fn output(&self, arguments: &[&str]) -> Output {
        self.command(arguments).output().unwrap()
    }

    /// Runs to the end and gives standard output.
    fn run(&self, arguments: &[&str]) -> String {
        let output = self.output(arguments);
        let err = String::from_utf8(output.stderr).unwrap();
        assert_eq!(output.status.code(), Some(0), "{arguments:?}\n{err}");
        String::from_utf8(output.stdout).unwrap()
    }

    fn json(&self, arguments: &[&str]) -> serde_json::Value {
        let mut all = arguments.to_vec();
        all.extend(["--format", "json"]);
        serde_json::from_str(&self.run(&all)).unwrap()
    }

    fn write(&self, name: &str, text: &str) {
        std::fs::write(self.0.path().join(name), text).unwrap();
    }

    fn has(&self, name: &str) -> bool {
        self.0.path().join(name).exists()
    }
}
