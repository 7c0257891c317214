//! `rimhold scatter` and `rimhold sweep`: many ties and pushes, on all cores, that can be interrupted
//! and gone on with.

pub(super) mod arguments;
mod checksum;
mod found;
mod grid;
mod head;
mod held;
mod indices;
mod job;
mod memory;
mod present;
mod question;
mod replay;
mod reported;
mod row_bytes;
mod run;
mod store;
mod sweep;

pub(super) use memory::InMemory;
pub(super) use reported::Reported;
pub(super) use run::scatter;
pub(super) use sweep::sweep;
