//! Names in a column beside a drawing, each led to its point.

use crate::show::chart::*;

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
    /// Where the names begin (right of the drawing) or end (left of it).
    pub x: f64,
    /// Upper and lower end.
    pub range: [f64; 2],
    /// Width for the names, mm: longer ones are broken at spaces and hyphens.
    pub room: f64,
    /// On which side of the drawing it stands: 1 right, −1 left.
    pub side: f64,
}

impl Column {
    /// Writes the names, spread so that none covers another, with a thin line to each point.
    pub fn draw(&self, canvas: &mut Canvas, theme: &Theme, callouts: &[Callout]) {
        let set = theme.fine().align(Align::away(self.side));
        let lines = |c: &Callout| -> Vec<(String, Colour)> {
            let name = c.name.split('\n').flat_map(|p| wrap(p, set, self.room)).map(|l| (l, c.colour));
            name.chain((!c.value.is_empty()).then(|| (c.value.clone(), theme.muted))).collect()
        };
        let lines: Vec<_> = callouts.iter().map(lines).collect();
        let targets: Vec<f64> = callouts.iter().map(|c| c.at[1]).collect();
        let heights: Vec<f64> = lines.iter().map(|l| l.len() as f64 * set.leading() + 0.8).collect();
        let centres = spread(&targets, &heights, self.range[0], self.range[1]);
        for (k, (c, centre)) in callouts.iter().zip(centres).enumerate() {
            let at = |d: f64| [self.x - self.side * d, centre];
            canvas.path(&[at(0.7), at(2.0), c.at], Stroke::solid(theme.muted, 0.35));
            let mut base = centre - 0.5 * (heights[k] - 0.8) + set.capital() + 0.25;
            for (line, colour) in &lines[k] {
                canvas.text(line, [self.x, base], Type { colour: *colour, ..set });
                base += set.leading();
            }
        }
    }
}
