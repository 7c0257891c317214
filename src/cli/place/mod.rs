//! `rimhold place`: better places for the anchors.

pub(super) mod arguments;
mod run;
mod watch;

pub(super) use run::place;
