//! The `[place]` table of a construct: what a search for better places may change, within which
//! bounds, and what the answer must keep.

mod table;
mod variable;

pub use table::{Cone, FreeLine, Limits, PlaceTable};
pub(super) use table::{LONGEST_PATH, MOST_CONES, MOST_FREE, read_place};
pub use variable::{Variable, can_be_free, free_variables, variables};
