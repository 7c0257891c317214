//! Where anchors go best, and how far each may wander.
//!
//! A [`Question`] turns values of the free variables into an objective and constraints, by reading
//! the files again with those numbers, tying and pushing. [`place`] seeks its best answer, compares it
//! with the given construct, and maps the tolerance of each anchor.

mod answer;
mod clash;
mod design;
mod draws;
mod front;
mod gain;
mod idle;
mod interval;
mod look;
mod objective;
mod question;
mod rule;
mod search;
mod wander;

pub use design::PLACED;
pub use draws::Common;
pub use look::{Fate, Look};
pub use objective::{FAN, Objective};
pub use question::{Effort, Question};
pub use rule::{ACTIVE, Rule};
pub use search::{Ask, Refused, place, place_telling};
pub use wander::{Ended, wander};
