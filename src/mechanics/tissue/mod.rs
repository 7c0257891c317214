//! Soft tissue and loads: envelope, tethers and dead loads.

mod dead_load;
mod envelope;
mod tether;

pub use dead_load::DeadLoad;
pub use envelope::Envelope;
pub use tether::Tether;
