//! Closed forms that the mechanics must reproduce, one file a phenomenon. Rigs are built by hand
//! through the public interface; the answer, its source and the reason for its tolerance stand
//! beside each check.

mod block;
mod capstan;
mod crossing;
mod crosstalk;
mod drill;
mod footing;
mod give;
mod incline;
mod invariance;
mod joint;
mod limbs;
mod mated;
mod orders;
mod places;
mod pulled_block;
mod retained;
pub mod rigging;
mod screw;
mod seat;
mod segment;
mod series;
mod shank;
mod tissue;
