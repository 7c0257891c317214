//! Drawings and plots from results: one source a figure.
//!
//! Each figure is drawn once, as an SVG in millimetres whose header gives its true size; its PNG and its
//! PDF are made from that same SVG. It carries the numbers behind it (CSV), a
//! caption and an alternative text. Colour never speaks alone: a dash pattern, a marker, a texture or
//! a word stands beside it, so that every figure can be read in grey. Bytes depend on the results
//! and the [`Theme`] alone.

mod budget;
mod construct;
mod drilling;
mod event;
mod forces;
mod fragment;
mod input;
mod joint;
mod losses;
mod place;
mod pressure;
mod resistance;
mod rose;
mod scatter;
mod settling;
mod sharing;
mod sheet;
mod slides;
mod stiffness;
mod subject;
mod sweep;
mod tie;

use crate::list::distinct;
use crate::math::Vec3;
use crate::mechanics::Pose;
use crate::model::{Case, Construct};
use crate::show::chart::End;
use crate::show::{chart::*, scene::*};
use crate::study::result::{End as Ended, *};
use serde_json::json;

pub use self::joint::{joint_map, joint_slid};
pub use self::{
    budget::*, construct::*, drilling::*, forces::*, fragment::*, losses::*, place::*, pressure::*, resistance::*,
    rose::*, scatter::*,
};
pub use self::{settling::*, sharing::*, sheet::*, slides::*, stiffness::*, subject::*, sweep::*, tie::*};
pub(crate) use super::chart::name_apart;
pub use super::chart::{Colour, Figure, Format, PngError, Style, Theme, WriteError, font_database, font_faces};
