//! Studies: each a question; plain data in, plain data out.

mod events;
mod measure;
mod push;
pub mod result;
mod setup;
mod taut;
mod tie;

pub use events::STEP_LIMIT;
pub use measure::measures;
pub use push::{Direction, MARKS, PushPlan, load_at, push, rose};
pub use setup::{displaced_pose, rig, start_pose};
pub use taut::crossing as taut_crossing;
pub use tie::{Tied, tie, tie_in_steps};
