//! The `[place]` table of a construct: what a search for better places may change, within which
//! bounds, and what the answer must keep.

mod limits;
mod table;
mod variable;

pub(super) use limits::MOST_CONES;
pub use limits::{Cone, Limits};
pub use table::{FreeLine, PlaceTable};
pub(super) use table::{LONGEST_PATH, MOST_FREE, read_place};
pub use variable::{Variable, can_be_free, free_variables, variables};
