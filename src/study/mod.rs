//! Studies: each a question; plain data in, plain data out.
//!
#![doc = include_str!("decisions.md")]

mod arrival;
mod budget;
mod certified;
mod compare;
mod drill;
mod events;
mod joint;
mod lock;
mod lose;
mod measure;
mod orders;
pub mod place;
mod push;
mod refused;
pub mod result;
pub mod scatter;
mod settle;
mod setup;
mod stiffness;
pub mod sweep;
mod taut;
mod tie;
mod trial;
mod watched;

pub use crate::model::Direction;
pub use crate::optimise::Watcher;
pub use budget::{Allowed, BudgetPlan, budget, phases};
pub use compare::{ComparePlan, compare, compare_all};
pub use drill::{DrillPlan, drill};
pub use events::STEP_LIMIT;
pub use joint::{JointPlan, joint, slid, stepped};
pub use lock::BedHold;
#[cfg(feature = "cli")]
pub(crate) use lose::parts;
pub use lose::{LosePlan, lose};
pub(crate) use measure::lower_end;
pub use measure::measures;
pub use orders::{BAND, Chosen, MOST_WHOLE, OrdersPlan, SAMPLE, SEED, bridge_first, label, orders};
pub use orders::{FRICTIONS, HINGES, MULTIPLES, hinges, sweep_orders, sweep_points};
pub use push::{MARKS, PushPlan, load_at, push, rose};
pub use refused::Refused;
pub(crate) use settle::{ANCHOR_FORCE, BITE_FORCE};
pub use settle::{SettlePlan, settle};
pub(crate) use setup::bed;
pub use setup::{displaced_pose, rig, start_pose};
pub use taut::{crossing as taut_crossing, places as taut_places};
pub use tie::{PULL, Tied, tie, tie_in_steps};
pub use trial::{HandMoved, Moment, Trial, TrialPlan};
