//! Keys: signs with what they mean, one after another in rows.

use super::canvas::Canvas;
use super::lettering::Type;
use super::page::{Point, Rect};

/// Height of a row, mm.
pub(crate) const ROW: f64 = 3.3;

/// Draws a sign over a rectangle.
pub(crate) type Draw<'a> = Box<dyn Fn(&mut Canvas, Rect) + 'a>;

/// A key as wide as its room.
pub(crate) struct Key<'a> {
    entries: Vec<(f64, String, Draw<'a>)>,
    set: Type,
    room: f64,
}

impl<'a> Key<'a> {
    /// Without an entry yet.
    pub fn new(set: Type, room: f64) -> Self {
        Self { entries: Vec::new(), set, room }
    }

    /// Adds a sign of a width (mm) and what it means.
    pub fn add(&mut self, width: f64, words: impl Into<String>, draw: impl Fn(&mut Canvas, Rect) + 'a) {
        self.entries.push((width, words.into(), Box::new(draw)));
    }

    /// Upper left corners of the entries, and the height of all.
    fn places(&self) -> (Vec<Point>, f64) {
        let (mut x, mut y) = (0.0, 0.0);
        let mut places = Vec::new();
        for (width, words, _) in &self.entries {
            let w = width + 1.1 + self.set.width(words);
            if x > 0.0 && x + w > self.room {
                (x, y) = (0.0, y + ROW);
            }
            places.push([x, y]);
            x += w + 3.6;
        }
        let height = if self.entries.is_empty() { 0.0 } else { y + ROW };
        (places, height)
    }

    /// Its height, mm.
    pub fn height(&self) -> f64 {
        self.places().1
    }

    /// Draws it from its upper left corner.
    pub fn draw(&self, canvas: &mut Canvas, at: Point) {
        for ((width, words, draw), [x, y]) in self.entries.iter().zip(self.places().0) {
            let r = Rect::new(at[0] + x, at[1] + y + 0.5, *width, ROW - 1.0);
            draw(canvas, r);
            canvas.text(words, [r.right() + 1.1, r.middle()[1] + 0.5 * self.set.capital()], self.set);
        }
    }
}
