//! Panels of one size in rows, each under a letter and a title; and keys: signs with what they mean.

use super::canvas::Canvas;
use super::label::wrap;
use super::lettering::Type;
use super::number::letter;
use super::page::{Point, Rect};
use super::theme::Theme;

/// Distance between panels, mm.
const GUTTER: f64 = 4.0;

/// Panels.
pub(crate) struct Panels {
    /// Panels of a full row.
    pub columns: usize,
    /// Width of a panel, mm.
    pub width: f64,
    /// Rows of panels.
    pub rows: usize,
    /// Height of the titles, mm.
    pub head: f64,
    titles: Vec<Vec<String>>,
    top: f64,
}

impl Panels {
    /// As many panels of at least `least` mm beside each other as `room` mm allow, evenly in rows.
    pub fn new<T: AsRef<str>>(theme: &Theme, titles: &[T], room: f64, least: f64) -> Self {
        let most = (((room + GUTTER) / (least + GUTTER)).floor() as usize).max(1);
        let rows = titles.len().div_ceil(most).max(1);
        let columns = titles.len().div_ceil(rows).max(1);
        let width = (room - GUTTER * (columns - 1) as f64) / columns as f64;
        let set = theme.words();
        let titles: Vec<_> = titles.iter().map(|t| wrap(t.as_ref(), set, width - indent(theme) - 1.0)).collect();
        let lines = titles.iter().map(Vec::len).max().unwrap_or(1);
        Self { columns, width, rows, head: set.capital() + 2.4 + (lines - 1) as f64 * set.leading(), titles, top: 0.0 }
    }

    /// The same with so much room above, mm.
    pub fn below(self, top: f64) -> Self {
        Self { top, ..self }
    }

    /// The rectangle of panel `k` under its title, when each takes `tall` mm.
    pub fn area(&self, k: usize, tall: f64) -> Rect {
        let (row, column) = (k / self.columns, k % self.columns);
        Rect::new(
            column as f64 * (self.width + GUTTER),
            self.top + row as f64 * (self.head + tall + GUTTER) + self.head,
            self.width,
            tall,
        )
    }

    /// Height of all rows and the room above, mm.
    pub fn height(&self, tall: f64) -> f64 {
        self.top + self.rows as f64 * (self.head + tall + GUTTER) - GUTTER
    }

    /// Draws every panel, its title first; without any, what `none` says.
    pub fn draw(
        &self,
        canvas: &mut Canvas,
        theme: &Theme,
        tall: f64,
        none: &str,
        mut panel: impl FnMut(&mut Canvas, usize, Rect),
    ) {
        for (k, title) in self.titles.iter().enumerate() {
            let (area, set) = (self.area(k, tall), theme.words());
            let top = area.y - self.head + set.capital() + 1.0;
            canvas.text(&letter(k), [area.x + 0.6, top], theme.heading());
            canvas.lines(title, [area.x + indent(theme), top], set);
            panel(canvas, k, area);
        }
        if self.titles.is_empty() {
            canvas.text(none, [2.0, 10.0], theme.words());
        }
    }
}

/// Where titles begin beside their letter, mm.
fn indent(theme: &Theme) -> f64 {
    0.5 * theme.title
}

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
