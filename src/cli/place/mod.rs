//! `rimhold place`: better places for the anchors.

pub(super) mod arguments;
mod memory;
mod run;
mod watch;

pub(super) use memory::search;
pub(super) use run::place;
