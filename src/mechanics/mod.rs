//! The mechanics of a held fragment: bed, limbs, anchors, tissue, their assembly and equilibrium.
//! No files, clocks, threads or printing.
//!
#![doc = include_str!("solver.md")]

mod bed;
mod bed_columns;
mod bed_edge;
mod bed_law;
mod bed_sum;
mod certificate;
mod equilibrium;
mod exchange;
mod lane;
mod limb;
mod linear;
mod pose;
mod predict;
mod report;
mod rig;
mod screw;
mod settings;
mod shank;
mod strand;
mod system;
mod tissue;

pub use bed::{Bed, BedLaw, Cell, CellLoad, Outline};
pub use bed_columns::Slip;
pub use certificate::{BedCheck, Certificate};
pub use equilibrium::{Arrival, Leap, Ramp, Solver};
pub use limb::{Limb, LimbWork, MOST_VERTICES, Passage, Seat, Strand, Vertex};
pub use pose::Pose;
pub use report::LimbReport;
pub use rig::{Anchor, Configuration, Controls, Motion, Rig, State};
pub use screw::{Screw, ScrewReport, Setting};
pub use settings::Settings;
pub use shank::{Flexibility, Shank, Stiffness, end_flexibility};
pub use strand::{MOST_SEGMENTS, Strands};
pub use tissue::{DeadLoad, Envelope, Tether};
