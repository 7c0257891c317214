//! Better places for anchors: the driver on functions with known optima, the search on cases with a
//! closed form, a grid or a symmetry behind them, and the command from outside.

#[path = "place/bed.rs"]
mod bed;
#[path = "place/driver.rs"]
mod driver;
#[path = "place/mistakes.rs"]
mod mistakes;
#[path = "place/optimum.rs"]
mod optimum;
#[path = "place/outside.rs"]
mod outside;
#[path = "place/tolerance.rs"]
mod tolerance;

use rimhold::case::place::variables;
use rimhold::case::spread::Subject;
use rimhold::study::place::{Effort, Objective, Question};
use rimhold::study::result::Start;
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

    fn write(&self, name: &str, text: &str) -> String {
        let path = self.0.path().join(name);
        std::fs::write(&path, text).unwrap();
        path.to_str().unwrap().to_owned()
    }

    fn read(&self, name: &str) -> String {
        std::fs::read_to_string(self.0.path().join(name)).unwrap()
    }

    fn has(&self, name: &str) -> bool {
        self.0.path().join(name).exists()
    }

    /// A built-in construct with a text after it.
    fn with(&self, construct: &str, more: &str) -> String {
        let text = rimhold::case::builtin(construct).unwrap();
        self.write("construct.toml", &format!("{text}\n{more}"))
    }
}

const EFFORT: Effort = Effort {
    cells: Some(220),
    steps: 5,
};

/// A subject of a built-in case and a construct file.
fn subject(case: &str, construct: &str) -> Subject {
    Subject::open(case, &[construct.to_owned()]).unwrap()
}

/// The question of a search, to be asked directly.
fn question(subject: &Subject, objective: Objective) -> Question {
    let variables = variables(subject).unwrap();
    Question::new(subject, &variables, &[objective], Start::Reduced, EFFORT)
}
