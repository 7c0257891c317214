//! Small signs of these figures.

use crate::show::figures::canvas::{Canvas, Stroke};
use crate::show::figures::colour::Colour;
use crate::show::figures::rect::Point;
use crate::show::figures::theme::Theme;

/// Where an anchor was given: an open square.
pub(super) fn given(canvas: &mut Canvas, theme: &Theme, at: Point) {
    let d = 0.85;
    let ring = [[-d, -d], [d, -d], [d, d], [-d, d]].map(|[x, y]| [at[0] + x, at[1] + y]);
    canvas.outline(&ring, Stroke::solid(theme.paper, 2.0));
    canvas.outline(&ring, Stroke::solid(theme.ink, 0.7));
}

/// Where an anchor was given, in a drawing with anchors of full size: a square that one of them leaves
/// visible.
pub(super) fn box_about(canvas: &mut Canvas, theme: &Theme, at: Point) {
    let d = 1.35;
    let ring = [[-d, -d], [d, -d], [d, d], [-d, d]].map(|[x, y]| [at[0] + x, at[1] + y]);
    canvas.outline(&ring, Stroke::solid(theme.paper, 1.6));
    canvas.outline(&ring, Stroke::solid(theme.ink, 0.6));
}

/// Where it was found: a dot on white.
pub(super) fn found(canvas: &mut Canvas, theme: &Theme, at: Point) {
    canvas.disc(at, 0.85, theme.paper);
    canvas.disc(at, 0.6, theme.ink);
}

/// An anchor behind the bone: a ring on white.
pub(super) fn hidden(canvas: &mut Canvas, theme: &Theme, at: Point) {
    canvas.disc(at, 0.95, theme.paper);
    canvas.circle(at, 0.65, Stroke::solid(theme.ink, 0.8));
}

/// Another anchor: an open ring.
pub(super) fn other(canvas: &mut Canvas, at: Point, colour: Colour) {
    canvas.circle(at, 0.8, Stroke::solid(colour, 0.8));
}
