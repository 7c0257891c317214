//! Doubt about the numbers of a case and of constructs: which are in doubt and how far, and the same
//! files read again with other numbers in them.
//!
//! An input is named by the dotted path of its key in the file (`bed.friction`,
//! `limb.bridge-upper.tension`), so whatever a file can say can be varied, and every draw passes the
//! same checks as a file that was typed. `*` stands for any name. Beyond the keys of the files there
//! are `anchor.NAME.along_error` and `anchor.NAME.across_error` (mm, in the anchor's own plane) and
//! `tether.hinge` as a whole, which is `intact`, `weak` or `none`.

mod design;
mod known;
mod subject;
mod table;
mod vary;

pub use design::Dimension;
pub use design::{Design, LineUsed};
pub(crate) use known::shifted;
pub use known::{HINGE, HINGE_ENDS, HINGE_STATES, INTACT_HINGE, Known, Owner, WEAK_HINGE};
#[cfg(feature = "cli")]
pub(crate) use subject::apart;
pub use subject::{Reading, Subject};
pub use table::default_spread;
pub(super) use table::read_spread;
pub use table::{Law, SpreadLine, SpreadTable, Usage};
pub use vary::{Axis, Varying};
