//! Doubt about the numbers of a case and of constructs: which are in doubt and how far, and the same
//! files read again with other numbers in them.
//!
//! An input is named by the dotted path of its key in the file (`bed.friction`,
//! `limb.bridge-upper.tension`), so whatever a file can say can be varied, and every draw passes the
//! same checks as a file that was typed. `*` stands for any name. Beyond the keys of the files there
//! are `anchor.NAME.along_error` and `anchor.NAME.across_error` (mm, in the anchor's own plane) and
//! `tether.hinge` as a whole, which is `intact`, `weak` or `none`.

mod construct_inputs;
mod default;
mod design;
mod dimension;
mod known;
mod place_error;
mod shape;
mod subject;
mod table;
mod unknown;
mod vary;

pub use default::default_spread;
pub use design::{Design, LineUsed};
pub use dimension::Dimension;
pub use known::{HINGE, HINGE_STATES, Known, Owner};
pub(super) use place_error::shifted;
pub use subject::{Reading, Subject};
pub(super) use table::read_spread;
pub use table::{Law, SpreadLine, SpreadTable, Usage};
pub use vary::{Axis, Varying};
