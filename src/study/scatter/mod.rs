//! How far the answers move when the inputs do: one sample is a tie and a push of each construct on
//! the same draws; what is kept of it is a row of numbers.

mod gather;
mod histogram;
mod indices;
mod named;
mod pair;
mod row;
mod under;

pub use gather::{Asked, Ended, MOST_LISTED, RANKED, Rows, gather};
pub use histogram::histogram;
pub use indices::{IndexDesign, index_results};
pub use named::{NAMED, Named};
pub use row::{Layout, Probe, Row, run};
pub use under::Fate;
