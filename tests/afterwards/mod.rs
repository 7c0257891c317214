//! What a repair hangs on, and what loads of rehabilitation do to it.

mod budget;
mod lose;
