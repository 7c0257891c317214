//! Independent references: general-purpose programs that know nothing of this one's solver, asked
//! the same question. A cone program for what a frictional bed can balance, one for cable nets, and
//! a rigid-body engine for a body hung on ropes.

mod bound;
mod nets;

mod ropes;
