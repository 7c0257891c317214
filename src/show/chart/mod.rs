//! The chart layer: the page, what is drawn on it, scales, axes, labels, keys and panels, and the forms in
//! which a finished figure is written.
//!
//! Drawing goes through plotters to a backend of our own, [`svg`]: SVG in millimetres, with dashes, textures
//! and clips, from which PNG and PDF are made.

mod canvas;
mod colour;
mod figure;
mod gif;
mod isoline;
mod key;
mod label;
mod lettering;
mod mark;
mod number;
mod page;
mod panels;
mod pdf;
mod plot;
mod png;
mod scale;
mod style;
mod svg;
mod table;
mod texture;
mod theme;
mod write;

pub(crate) use canvas::{Canvas, Stroke};
pub use colour::Colour;
pub(crate) use colour::WHITE;
pub use figure::Figure;
pub(crate) use figure::name_apart;
pub(crate) use gif::{Palette, encode};
pub(crate) use isoline::Nodes;
pub(crate) use key::Key;
pub(crate) use label::{Clearance, spread, wrap, wrap_at_spaces};
pub(crate) use lettering::{Align, Face, PT, Type};
pub use lettering::{font_database, font_faces};
pub(crate) use mark::{cross, interval, marker, pointer, polygon, ring, vector, whisker};
pub(crate) use number::{capital, decimals, extremes, joined, letter, lower, newtons, number, signed, with_plus};
pub(crate) use page::{Point, Rect, arc, beside, between, distance, length, toward, turned};
pub(crate) use panels::Panels;
pub(crate) use plot::{End, Plot, level_axis};
pub use png::PngError;
pub(crate) use png::pixels;
pub(crate) use scale::{Scale, round_step};
pub use style::Style;
pub(crate) use table::{Cell, Csv, row};
pub(crate) use texture::Texture;
pub use theme::Theme;
pub(crate) use theme::distinct;
#[cfg(feature = "cli")]
pub(crate) use write::put;
pub use write::{Format, WriteError};
