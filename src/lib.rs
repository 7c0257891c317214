//! rimhold
pub mod anatomy;
pub mod case;
pub mod math;
pub mod mechanics;
pub mod study;
