//! What a repair hangs on, and what the arm may do.

mod budget;
mod lose;
