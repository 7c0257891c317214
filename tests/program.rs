//! The program from outside: files, commands, mistakes, hostile input, studies.

// A check compares to a tolerance: any processor's sine will do.
#![allow(clippy::disallowed_methods)]

mod case_files;
mod cli;
mod dependencies;
mod hostile;
mod live;
mod place;
mod room;
mod scatter;
mod schema;
