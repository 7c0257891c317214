//! Answers that handbooks give in closed form, and what the engine gives: one file a part of the
//! model, one function a law.

mod bed;
mod drill;
mod give;
mod joint;
mod mated;
mod place;
pub mod screw;
pub mod shank;
mod spring;
pub mod strand;
mod tissue;

pub use bed::{block, footing, incline};
pub use drill::{cover, portal, tunnels};
pub use give::{bite, clamp, pull_out};
pub use joint::{foundation, potential, rim, rings};
pub use mated::{crushed_block, mated_block, mated_incline};
pub use place::{bed_area, clock, flat, places, segment};
pub use screw::{bolted, screws};
pub use shank::{pile, shank};
pub use spring::{bars, looped, seat, series};
pub use strand::{capstan, crossing, retained};
pub use tissue::{dead_load, envelope, slack, tether};

use super::check::{Found, Sheet};

/// All of them, in the order in which the evidence page tells them.
pub const ALL: [fn(&mut Sheet) -> Found<()>; 35] = [
    segment,
    bed_area,
    block,
    incline,
    mated_block,
    mated_incline,
    crushed_block,
    footing,
    crossing,
    capstan,
    retained,
    bars,
    series,
    looped,
    seat,
    bite,
    clamp,
    pull_out,
    shank,
    pile,
    bolted,
    screws,
    tether,
    slack,
    envelope,
    dead_load,
    places,
    clock,
    tunnels,
    cover,
    portal,
    foundation,
    rim,
    potential,
    rings,
];
