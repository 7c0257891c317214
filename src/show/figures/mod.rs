//! Drawings and plots from results: one source a figure.
//!
//! Each figure is drawn once, as an SVG in millimetres whose header gives its true size; its PNG and its
//! PDF are made from that same SVG. It carries the numbers behind it (CSV), a
//! caption and an alternative text. Colour never speaks alone: a dash pattern, a marker, a texture or
//! a word stands beside it, so that every figure can be read in grey. Bytes depend on the results
//! and the [`Theme`] alone.

mod construct;
mod event;
mod forces;
mod input;
mod place;
mod pressure;
mod resistance;
mod rose;
mod scatter;
mod sharing;
mod sheet;
mod stiffness;
mod subject;
mod sweep;
mod tie;

pub(crate) use super::chart::name_apart;
pub use super::chart::{Colour, Figure, Format, PngError, Style, Theme, WriteError, font_database, font_faces};
pub use construct::construct;
pub use forces::limb_forces;
pub use place::{place_before_after, place_convergence, place_figures, place_front, place_tolerance};
pub use pressure::pressure_maps;
pub use resistance::resistance;
pub use rose::rose;
pub use scatter::{
    scatter_differences, scatter_fan, scatter_figures, scatter_indices, scatter_intervals, scatter_ranking,
};
pub use sharing::load_sharing;
pub use sheet::comparison_sheet;
pub use stiffness::stiffness_ellipses;
pub use subject::Subject;
pub(crate) use sweep::sweep_drawn;
pub use sweep::{sweep_figures, sweep_lines, sweep_map};
#[cfg(feature = "cli")]
pub use tie::write_tie;
pub use tie::{
    TieAnimation, TieSlides, tie_animation, tie_files, tie_residuals, tie_slides, tie_strip, tie_strips, tie_tensions,
};
