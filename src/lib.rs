//! rimhold
pub mod anatomy;
pub mod case;
pub mod figures;
pub mod math;
pub mod mechanics;
pub mod study;
