//! The program from outside: what is typed, what comes out, and by which exit code.

mod commands;
mod files;
mod formats;
mod mistakes;
mod screens;
mod tie;
mod typed;
mod verify;

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

/// Part of the caution that must stand wherever a user looks.
const CAUTION: &str = "not a medical device";

/// The program in a folder of its own, so that nothing falls into the project.
struct Bench {
    folder: tempfile::TempDir,
}

impl Bench {
    fn new() -> Self {
        Self { folder: tempfile::tempdir().unwrap() }
    }

    fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    fn write(&self, name: &str, text: &str) -> String {
        std::fs::write(self.path(name), text).unwrap();
        name.to_owned()
    }

    fn command(&self, arguments: &[&str]) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_rimhold"));
        command.args(arguments).current_dir(self.folder.path());
        command.env_remove("NO_COLOR");
        command
    }

    fn run(&self, arguments: &[&str]) -> Ended {
        Ended::of(self.command(arguments).output().unwrap(), arguments)
    }

    /// Names in the folder, sorted.
    fn names(&self) -> Vec<String> {
        listed(self.folder.path())
    }
}

fn listed(folder: &Path) -> Vec<String> {
    let mut names: Vec<String> =
        std::fs::read_dir(folder).unwrap().map(|e| e.unwrap().file_name().into_string().unwrap()).collect();
    names.sort();
    names
}

/// How a run ended.
#[derive(Debug)]
struct Ended {
    code: Option<i32>,
    out: String,
    err: String,
    typed: String,
}

impl Ended {
    fn of(output: Output, arguments: &[&str]) -> Self {
        Self {
            code: output.status.code(),
            out: String::from_utf8(output.stdout).unwrap(),
            err: String::from_utf8(output.stderr).unwrap(),
            typed: arguments.join(" "),
        }
    }

    #[track_caller]
    fn code(self, code: i32) -> Self {
        assert_eq!(self.code, Some(code), "{}\n{}", self.typed, self.err);
        assert!(!self.err.contains("panicked"), "{}", self.err);
        self
    }

    #[track_caller]
    fn says(self, words: &str) -> Self {
        assert!(self.out.contains(words), "{words}\n{}\n{}", self.typed, self.out);
        self
    }

    #[track_caller]
    fn warns(self, words: &str) -> Self {
        assert!(self.err.contains(words), "{words}\n{}\n{}", self.typed, self.err);
        self
    }
}

/// A case in which a head presses the fragment out of its bed before anything is tied and no
/// tissue keeps it: no construct can hold it.
pub(crate) const NEVER_HELD: &str = include_str!("../report/lost.toml");
