//! The vendored font: Liberation Sans (SIL Open Font License, text beside the files).

use plotters::style::{FontDesc, FontFamily, FontStyle, register_font};
use resvg::usvg::fontdb::Database;
use std::sync::{Arc, Once, OnceLock};

/// Family names written into a figure: the vendored font, then two of the same metrics.
pub const FAMILY: &str = "Liberation Sans, Arial, Helvetica, sans-serif";

const REGULAR: &[u8] = include_bytes!("fonts/LiberationSans-Regular.ttf");
const BOLD: &[u8] = include_bytes!("fonts/LiberationSans-Bold.ttf");
const ITALIC: &[u8] = include_bytes!("fonts/LiberationSans-Italic.ttf");

/// Ascender less descender of Liberation Sans in em (hhea table: 1854 + 434 of 2048); the measuring
/// routine takes sizes as this height.
const LINE: f64 = 2288.0 / 2048.0;

/// Height of a capital in em (OS/2 table: 1409 of 2048).
pub(crate) const CAPITAL: f64 = 0.688;

/// Depth of a descender in em (OS/2 and hhea tables: 434 of 2048).
pub(crate) const DESCENDER: f64 = 0.212;

/// A cut of the font.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) enum Face {
    /// Upright.
    #[default]
    Regular,
    /// Bold.
    Bold,
    /// Italic.
    Italic,
}

impl Face {
    /// The same cut in the drawing backend's words.
    pub fn style(self) -> FontStyle {
        match self {
            Self::Regular => FontStyle::Normal,
            Self::Bold => FontStyle::Bold,
            Self::Italic => FontStyle::Italic,
        }
    }
}

/// The fonts that a figure's SVG may name, and no others: rendering does not depend on what is
/// installed.
pub fn font_database() -> Arc<Database> {
    static FONTS: OnceLock<Arc<Database>> = OnceLock::new();
    FONTS
        .get_or_init(|| {
            let mut fonts = Database::new();
            for data in [REGULAR, BOLD, ITALIC] {
                fonts.load_font_data(data.to_vec());
            }
            Arc::new(fonts)
        })
        .clone()
}

/// The cuts of the vendored font for a page: weight, style, and the bytes of the file (TrueType).
pub fn font_faces() -> [(&'static str, &'static str, &'static [u8]); 3] {
    [("normal", "normal", REGULAR), ("bold", "normal", BOLD), ("normal", "italic", ITALIC)]
}

/// Advance width of a text in em, kerning included.
pub(crate) fn width_in_em(text: &str, face: Face) -> f64 {
    static REGISTER: Once = Once::new();
    REGISTER.call_once(|| {
        for (style, data) in [(FontStyle::Normal, REGULAR), (FontStyle::Bold, BOLD), (FontStyle::Italic, ITALIC)] {
            // Cannot fail: the bytes are vendored, and the tests measure with them.
            let _ = register_font("Liberation Sans", style, data);
        }
    });
    let desc = FontDesc::new(FontFamily::Name("Liberation Sans"), 1000.0 * LINE, face.style());
    match desc.layout_box(text) {
        Ok((_, (width, _))) => f64::from(width) / 1000.0,
        Err(_) => 0.6 * text.chars().count() as f64,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn widths_are_those_of_the_advance_table() {
        // Liberation Sans has the metrics of Arial: digits advance 1139/2048 em, the space 569/2048.
        assert!((width_in_em("0000", Face::Regular) - 4.0 * 1139.0 / 2048.0).abs() < 1e-3);
        assert!((width_in_em(" ", Face::Italic) - 569.0 / 2048.0).abs() < 1e-3);
    }
}
