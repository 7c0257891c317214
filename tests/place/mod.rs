//! Better places for anchors: the driver on functions with known optima, the search on cases with a
//! closed form, a grid or a symmetry behind them, and the command from outside.

mod bed;
mod drill;
mod driver;
mod files;
mod mistakes;
mod optimum;
mod outside;
mod robust;
mod tolerance;

use crate::room::Room;
use rimhold::model::place::variables;
use rimhold::model::spread::Subject;
use rimhold::study::place::{Effort, Objective, Question};
use rimhold::study::result::Start;

impl Room {
    /// With a case of few cells, `coarse.toml`: on the bed of the case every answer is looked at again, many times.
    fn coarse() -> Self {
        let room = Self::new();
        let case = rimhold::model::builtin("quarter").unwrap();
        room.write("coarse.toml", &format!("{case}\n[bed]\ncells = 100\n"));
        room
    }

    fn read(&self, name: &str) -> String {
        std::fs::read_to_string(self.0.path().join(name)).unwrap()
    }

    /// A built-in construct with a text after it.
    fn with(&self, construct: &str, more: &str) -> String {
        let text = rimhold::model::builtin(construct).unwrap();
        self.write("construct.toml", &format!("{text}\n{more}"))
    }
}

const EFFORT: Effort = Effort { cells: Some(220), steps: 5 };

/// A subject of a built-in case and a construct file.
fn subject(case: &str, construct: &str) -> Subject {
    Subject::open(case, &[construct.to_owned()]).unwrap()
}

/// The question of a search, to be asked directly.
fn question(subject: &Subject, objective: Objective) -> Question {
    let variables = variables(subject).unwrap();
    Question::new(subject, &variables, &[objective], Start::Reduced, EFFORT)
}
