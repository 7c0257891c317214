//! The program from outside: files, commands, mistakes, hostile input, studies.

mod case_files;
mod cli;
mod dependencies;
mod hostile;
mod place;
mod room;
mod scatter;
mod schema;
