//! Studies: each a question; plain data in, plain data out.

pub mod result;
