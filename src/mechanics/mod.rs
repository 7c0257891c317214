//! The mechanics of a held fragment: bed, limbs, anchors, tissue, their assembly and equilibrium.
//! No files, clocks, threads or printing.
//!
#![doc = include_str!("solver.md")]

mod bed;
mod certificate;
mod element;
pub mod joint;
mod lane;
mod limb;
mod pose;
mod report;
mod rig;
mod screw;
mod solver;
mod spring;
mod tissue;

pub(crate) use bed::ON_LIMIT;
pub use bed::{Asperity, Bed, BedLaw, BedMemory, BedTotals, Cell, CellLoad, Outline};
pub use certificate::Certificate;
pub use limb::{Limb, LimbWork, Limits, MOST_SEGMENTS, MOST_VERTICES, Passage, Seat, Strand, Strands, Vertex};
pub use pose::Pose;
pub use report::LimbReport;
pub(crate) use rig::Attachment;
pub use rig::{Anchor, Configuration, Controls, Motion, Rig, State};
pub use screw::{Screw, ScrewReport, Setting, Shank, Stiffness};
pub use solver::{Arrival, Leap, Ramp, Settings, Solver};
pub use spring::{Give, Spring};
pub use tissue::{DeadLoad, Envelope, Tether};
