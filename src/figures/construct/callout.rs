//! Names in a column beside a drawing, each led to its point.

use crate::figures::canvas::{Align, Canvas, Stroke, Type};
use crate::figures::colour::Colour;
use crate::figures::label::spread;
use crate::figures::rect::Point;
use crate::figures::theme::Theme;

/// A name with its point.
#[derive(Debug, Clone)]
pub(super) struct Callout {
    /// Where it points.
    pub at: Point,
    /// Its name.
    pub name: String,
    /// A value under it; may be empty.
    pub value: String,
    /// Colour of the name.
    pub colour: Colour,
}

/// A column of names.
#[derive(Debug, Clone, Copy)]
pub(super) struct Column {
    /// Where the names begin (aligned left) or end (aligned right).
    pub x: f64,
    /// Upper end.
    pub top: f64,
    /// Lower end.
    pub bottom: f64,
    /// `Left`: the column stands right of the drawing; `Right`: left of it.
    pub align: Align,
}

impl Column {
    /// Writes the names, spread so that none covers another, with a thin line to each point.
    pub fn draw(&self, canvas: &mut Canvas, theme: &Theme, callouts: &[Callout]) {
        let name = Type::new(theme.small, theme.ink).align(self.align);
        let height = |c: &Callout| {
            let rows = if c.value.is_empty() { 1.0 } else { 2.0 };
            rows * name.leading() + 0.8
        };
        let targets: Vec<f64> = callouts.iter().map(|c| c.at[1]).collect();
        let heights: Vec<f64> = callouts.iter().map(height).collect();
        let centres = spread(&targets, &heights, self.top, self.bottom);
        let toward = if self.align == Align::Left { -1.0 } else { 1.0 };
        for (c, centre) in callouts.iter().zip(centres) {
            let near = [self.x + toward * 0.7, centre];
            let elbow = [self.x + toward * 2.0, centre];
            canvas.path(&[near, elbow, c.at], Stroke::solid(theme.muted, 0.35));
            let top = centre - 0.5 * (height(c) - 0.8);
            let first = top + name.capital() + 0.25;
            canvas.text(
                &c.name,
                [self.x, first],
                Type {
                    colour: c.colour,
                    ..name
                },
            );
            canvas.text(
                &c.value,
                [self.x, first + name.leading()],
                Type {
                    colour: theme.muted,
                    ..name
                },
            );
        }
    }
}
