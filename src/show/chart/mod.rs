//! The chart layer: the page, what is drawn on it, scales, axes, labels, keys and panels, and the forms in
//! which a finished figure is written.
//!
//! Drawing goes through plotters to a backend of our own, [`canvas`]: SVG in millimetres, with dashes, textures
//! and clips, from which PNG and PDF are made.

mod canvas;
mod colour;
mod figure;
mod gif;
mod isoline;
mod label;
mod lettering;
mod mark;
mod number;
mod page;
mod panels;
mod plot;
mod png;
mod scale;
mod table;
mod texture;
mod theme;
mod write;

pub(crate) use self::{canvas::*, gif::*, isoline::*, label::*, mark::*, number::*};
pub use self::{colour::*, figure::*, lettering::*, png::*, theme::*, write::*};
pub(crate) use self::{page::*, panels::*, plot::*, scale::*, table::*, texture::*};
