//! Where anchors go best, and how far each may wander.
//!
//! A [`Question`] turns values of the free variables into an objective and constraints, by reading
//! the files again with those numbers, tying and pushing. [`run`] seeks its best answer, compares it
//! with the given construct, and maps the tolerance of each anchor.
//!
//! ```
//! use rimhold::model::spread::Subject;
//! use rimhold::study::place::{self, Effort, Plan};
//!
//! let subject = Subject::open("quarter", &["one-by-one".to_owned()]).unwrap();
//! let plan = Plan {
//!     effort: Effort { cells: Some(100), steps: 2 },
//!     search: Plan::search(false, Some(12)),
//!     wander: false,
//!     ..Plan::default()
//! };
//! let found = place::run(&subject, &plan, &())?;
//! for variable in &found.variables {
//!     println!("{}: {} instead of {} {}", variable.path, variable.found, variable.given, variable.unit);
//! }
//! assert!(found.complete);
//! # Ok::<(), rimhold::study::Refused>(())
//! ```

mod answer;
mod clash;
mod draws;
mod front;
mod look;
mod objective;
mod question;
mod rule;
mod search;
mod wander;

pub use answer::PLACED;
pub use draws::Common;
pub use look::{Fate, Look};
pub use objective::{FAN, Objective};
pub use question::{Effort, Question};
pub(super) use rule::backed;
pub use rule::{ACTIVE, Rule};
pub use search::{Plan, run, run_telling};
pub use wander::{Ended, wander};
