//! Names in a column beside a drawing, each led to its point.

use crate::show::figures::canvas::{Align, Canvas, Stroke, Type};
use crate::show::figures::colour::Colour;
use crate::show::figures::label::{spread, wrap};
use crate::show::figures::rect::Point;
use crate::show::figures::theme::Theme;

/// A name with its point.
#[derive(Debug, Clone)]
pub(super) struct Callout {
    /// Where it points.
    pub at: Point,
    /// Its name; several, one a line, when they stand at one place.
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
    /// Width for the names, mm: longer ones are broken at spaces and hyphens.
    pub room: f64,
    /// `Left`: the column stands right of the drawing; `Right`: left of it.
    pub align: Align,
}

impl Column {
    /// Writes the names, spread so that none covers another, with a thin line to each point.
    pub fn draw(&self, canvas: &mut Canvas, theme: &Theme, callouts: &[Callout]) {
        let name = Type::new(theme.small, theme.ink).align(self.align);
        let lines: Vec<Vec<String>> = callouts
            .iter()
            .map(|c| {
                let parts = c.name.split('\n');
                parts.flat_map(|p| wrap(p, name, self.room)).collect()
            })
            .collect();
        let targets: Vec<f64> = callouts.iter().map(|c| c.at[1]).collect();
        let heights: Vec<f64> = callouts
            .iter()
            .zip(&lines)
            .map(|(c, lines)| {
                let rows = lines.len() + usize::from(!c.value.is_empty());
                rows as f64 * name.leading() + 0.8
            })
            .collect();
        let centres = spread(&targets, &heights, self.top, self.bottom);
        let toward = if self.align == Align::Left { -1.0 } else { 1.0 };
        for (k, (c, centre)) in callouts.iter().zip(centres).enumerate() {
            let near = [self.x + toward * 0.7, centre];
            let elbow = [self.x + toward * 2.0, centre];
            canvas.path(&[near, elbow, c.at], Stroke::solid(theme.muted, 0.35));
            let top = centre - 0.5 * (heights[k] - 0.8);
            let mut base = top + name.capital() + 0.25;
            for line in &lines[k] {
                let colour = c.colour;
                canvas.text(line, [self.x, base], Type { colour, ..name });
                base += name.leading();
            }
            canvas.text(&c.value, [self.x, base], Type { colour: theme.muted, ..name });
        }
    }
}
