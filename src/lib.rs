//! rimhold
pub mod anatomy;
pub mod case;
pub mod cli;
pub mod figures;
pub mod math;
pub mod mechanics;
pub mod report;
pub mod study;
