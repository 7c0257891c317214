//! The live page: one page, served from the program itself to a browser on the same machine. It sends a state (a case, up to
//! three constructs, how they are tied), and gets drawings, numbers and words; all mechanics and all drawing stay here.
//!
//! It is bound to the loopback address, answers only what names it as host and comes from its own page, and reads and
//! writes no file.

mod answer;
mod ask;
mod change;
mod draw;
mod files;
mod save;
mod serve;
mod work;

pub(crate) use ask::{File, State};
pub(crate) use change::MOST;
pub(crate) use serve::serve;
