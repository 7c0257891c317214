//! The mechanics: closed forms, tangents, second opinions, random rigs, statistics.

// A check compares to a tolerance: any processor's sine will do.
#![allow(clippy::disallowed_methods)]

mod afterwards;
mod closed_form;
mod derivatives;
mod fuzz_corpus;
mod golden;
mod properties;
mod published;
mod references;
mod regression;
mod stats;
mod trade_facts;
mod verify;
