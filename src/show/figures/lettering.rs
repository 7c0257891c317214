//! Words on the page: size, cut, alignment and how much room they take.

use super::colour::Colour;
use super::font::{CAPITAL, DESCENDER, Face, width_in_em};
use super::rect::{Point, Rect};

/// One point (1/72 inch) in mm.
pub(crate) const PT: f64 = 25.4 / 72.0;

/// Which part of a text stands at its point.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) enum Align {
    /// Its left end.
    #[default]
    Left,
    /// Its middle.
    Centre,
    /// Its right end.
    Right,
}

/// How a text is set.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Type {
    /// Size, pt.
    pub size: f64,
    /// Colour.
    pub colour: Colour,
    /// Cut.
    pub face: Face,
    /// Which part stands at the point.
    pub align: Align,
}

impl Type {
    /// Upright, from the left.
    pub fn new(size: f64, colour: Colour) -> Self {
        Self { size, colour, face: Face::Regular, align: Align::Left }
    }

    /// The same, aligned otherwise.
    pub fn align(self, align: Align) -> Self {
        Self { align, ..self }
    }

    /// The same in another cut.
    pub fn face(self, face: Face) -> Self {
        Self { face, ..self }
    }

    /// Width of a text, mm.
    pub fn width(&self, text: &str) -> f64 {
        width_in_em(text, self.face) * self.size * PT
    }

    /// Height of a capital, mm.
    pub fn capital(&self) -> f64 {
        CAPITAL * self.size * PT
    }

    /// Distance between base lines, mm.
    pub fn leading(&self) -> f64 {
        1.15 * self.size * PT
    }

    /// The box of a text whose base line starts (ends, is centred) at `at`.
    pub fn extent(&self, text: &str, at: Point) -> Rect {
        let w = self.width(text);
        let x = at[0]
            - match self.align {
                Align::Left => 0.0,
                Align::Centre => 0.5 * w,
                Align::Right => w,
            };
        let descent = DESCENDER * self.size * PT;
        Rect::new(x, at[1] - self.capital(), w, self.capital() + descent)
    }
}
