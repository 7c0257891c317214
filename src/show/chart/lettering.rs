//! Words on the page: the vendored font (Liberation Sans, SIL Open Font License, text beside the files),
//! size, cut, alignment, and how much room they take.

use super::colour::Colour;
use super::page::{Point, Rect};
use plotters::style::{FontDesc, FontFamily, register_font};
use resvg::usvg::{Options, fontdb::Database};
use std::sync::{Arc, Once, OnceLock};

/// A cut of the font, and which part of a text stands at its point.
pub(crate) use plotters::style::{FontStyle as Face, text_anchor::HPos as Align};

/// One point (1/72 inch) in mm.
pub(crate) const PT: f64 = 25.4 / 72.0;

const REGULAR: &[u8] = include_bytes!("fonts/LiberationSans-Regular.ttf");
const BOLD: &[u8] = include_bytes!("fonts/LiberationSans-Bold.ttf");
const ITALIC: &[u8] = include_bytes!("fonts/LiberationSans-Italic.ttf");

/// Ascender less descender of Liberation Sans in em (hhea table: 1854 + 434 of 2048); the measuring
/// routine takes sizes as this height.
const LINE: f64 = 2288.0 / 2048.0;
/// Height of a capital in em (OS/2 table: 1409 of 2048).
const CAPITAL: f64 = 0.688;
/// Depth of a descender in em (OS/2 and hhea tables: 434 of 2048).
const DESCENDER: f64 = 0.212;

/// The fonts that a figure's SVG may name, and no others: rendering does not depend on what is
/// installed.
pub fn font_database() -> Arc<Database> {
    static FONTS: OnceLock<Arc<Database>> = OnceLock::new();
    let load = || {
        let mut fonts = Database::new();
        [REGULAR, BOLD, ITALIC].into_iter().for_each(|data| fonts.load_font_data(data.to_vec()));
        Arc::new(fonts)
    };
    FONTS.get_or_init(load).clone()
}

/// How a figure's SVG is read by the renderers.
pub(crate) fn reading<'a>() -> Options<'a> {
    Options { fontdb: font_database(), font_family: "Liberation Sans".to_owned(), ..Options::default() }
}

/// The cuts of the vendored font for a page: weight, style, and the bytes of the file (TrueType).
pub fn font_faces() -> [(&'static str, &'static str, &'static [u8]); 3] {
    [("normal", "normal", REGULAR), ("bold", "normal", BOLD), ("normal", "italic", ITALIC)]
}

/// Advance width of a text in em, kerning included.
fn width_in_em(text: &str, face: Face) -> f64 {
    static REGISTER: Once = Once::new();
    REGISTER.call_once(|| {
        for (style, data) in [(Face::Normal, REGULAR), (Face::Bold, BOLD), (Face::Italic, ITALIC)] {
            // Cannot fail: the bytes are vendored, and the tests measure with them.
            let _ = register_font("Liberation Sans", style, data);
        }
    });
    let desc = FontDesc::new(FontFamily::Name("Liberation Sans"), 1000.0 * LINE, face);
    match desc.layout_box(text) {
        Ok((_, (width, _))) => f64::from(width) / 1000.0,
        Err(_) => 0.6 * text.chars().count() as f64,
    }
}

/// How a text is set.
#[derive(Clone, Copy)]
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
        Self { size, colour, face: Face::Normal, align: Align::Left }
    }

    /// The same, aligned otherwise.
    pub fn align(self, align: Align) -> Self {
        Self { align, ..self }
    }

    /// The same, running away from its point to the right (positive) or to the left of it.
    pub fn away(self, side: f64) -> Self {
        self.align(if side > 0.0 { Align::Left } else { Align::Right })
    }

    /// The same, its middle at its point.
    pub fn centred(self) -> Self {
        self.align(Align::Center)
    }

    /// The same, its right end at its point.
    pub fn right(self) -> Self {
        self.align(Align::Right)
    }

    /// The same in another cut.
    pub fn face(self, face: Face) -> Self {
        Self { face, ..self }
    }

    /// The same in bold.
    pub fn bold(self) -> Self {
        self.face(Face::Bold)
    }

    /// The same in italics.
    pub fn italic(self) -> Self {
        self.face(Face::Italic)
    }

    /// The same in a colour, darkened so that words in it can be read.
    pub fn in_colour(self, colour: Colour) -> Self {
        Self { colour: colour.shade(0.3), ..self }
    }

    /// Width of a text, mm.
    pub fn width(&self, text: &str) -> f64 {
        width_in_em(text, self.face) * self.size * PT
    }

    /// Width of the widest of some texts, mm.
    pub fn widest<T: AsRef<str>>(&self, texts: impl IntoIterator<Item = T>) -> f64 {
        texts.into_iter().map(|t| self.width(t.as_ref())).fold(0.0, f64::max)
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
                Align::Center => 0.5 * w,
                Align::Right => w,
            };
        let descent = DESCENDER * self.size * PT;
        Rect::new(x, at[1] - self.capital(), w, self.capital() + descent)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn widths_are_those_of_the_advance_table() {
        // Liberation Sans has the metrics of Arial: digits advance 1139/2048 em, the space 569/2048.
        assert!((width_in_em("0000", Face::Normal) - 4.0 * 1139.0 / 2048.0).abs() < 1e-3);
        assert!((width_in_em(" ", Face::Italic) - 569.0 / 2048.0).abs() < 1e-3);
    }
}
