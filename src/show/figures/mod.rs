//! Drawings and plots from results: one source a figure.
//!
//! Each figure is drawn once, as an SVG on a 0.01 mm grid whose header gives its true size in
//! millimetres; its PNG is made from that same SVG. It carries the numbers behind it (CSV), a
//! caption and an alternative text. Colour never speaks alone: a dash pattern, a marker, a hatch or
//! a word stands beside it, so that every figure can be read in grey. Bytes depend on the results
//! and the [`Theme`] alone.

mod arrow;
mod axis;
mod canvas;
mod colour;
mod construct;
mod csv;
mod event;
mod figure;
mod font;
mod forces;
mod hatch;
mod input;
mod label;
mod lettering;
mod maps;
mod marker;
mod pdf;
mod place;
mod png;
mod rect;
mod resistance;
mod rose;
mod scatter;
mod shares;
mod sheet;
mod style;
mod subject;
mod sweep;
mod theme;
mod tie;
mod ways;
mod wheel;
mod write;

pub use colour::Colour;
pub use construct::construct;
pub use figure::Figure;
pub(crate) use figure::name_apart;
pub use font::{FAMILY, font_database, font_faces};
pub use forces::limb_forces;
pub use maps::pressure_maps;
pub use place::{place_before_after, place_convergence, place_figures, place_front, place_wander};
pub use png::PngError;
pub use resistance::resistance;
pub use rose::rose;
pub use scatter::{
    scatter_differences, scatter_fan, scatter_figures, scatter_indices, scatter_intervals, scatter_ranking,
};
pub use shares::who_resists;
pub use sheet::comparison_sheet;
pub use style::Style;
pub use subject::Subject;
pub(crate) use sweep::sweep_drawn;
pub use sweep::{sweep_figures, sweep_lines, sweep_map};
pub use theme::Theme;
pub use tie::{TieAnimation, tie_animation, tie_residuals, tie_strip, tie_strips, tie_tensions, write_tie};
pub use ways::stiffness_ellipses;
pub use write::{Format, WriteError};
