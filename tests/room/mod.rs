//! The program run from outside, for the tests that do so in folders of their own.

use std::process::{Command, Output};

/// The program in a folder of its own.
pub struct Room(pub tempfile::TempDir);

impl Room {
    pub fn new() -> Self {
        Self(tempfile::tempdir().unwrap())
    }

    pub fn command(&self, arguments: &[&str]) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_rimhold"));
        command.args(arguments).current_dir(self.0.path());
        command
    }

    pub fn output(&self, arguments: &[&str]) -> Output {
        self.command(arguments).output().unwrap()
    }

    /// Runs to the end and gives standard output.
    pub fn run(&self, arguments: &[&str]) -> String {
        let output = self.output(arguments);
        let err = String::from_utf8(output.stderr).unwrap();
        assert_eq!(output.status.code(), Some(0), "{arguments:?}\n{err}");
        String::from_utf8(output.stdout).unwrap()
    }

    pub fn write(&self, name: &str, text: &str) -> String {
        let path = self.0.path().join(name);
        std::fs::write(&path, text).unwrap();
        path.to_str().unwrap().to_owned()
    }

    pub fn has(&self, name: &str) -> bool {
        self.0.path().join(name).exists()
    }
}
