//! Styles in which figures are drawn: for print, for a slide, without colour.

use super::figure::Figure;
use super::svg::{header, paper};
use super::theme::Theme;

/// Sheet of a slide, mm: 16 to 9, ten inches wide.
const SLIDE: [f64; 2] = [254.0, 142.875];
/// Least margin on a slide, mm.
const MARGIN: f64 = 5.0;

/// A style.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
#[cfg_attr(feature = "cli", derive(clap::ValueEnum))]
pub enum Style {
    /// Colour, columns of 85 or 180 mm, words of 5.5 to 8 pt.
    #[default]
    Print,
    /// A sheet of 16 to 9 with large words.
    Slide,
    /// As print, without colour.
    Grey,
}

impl Style {
    /// For a figure of one column.
    pub fn single(self) -> Theme {
        match self {
            Self::Print | Self::Slide => Theme::single(),
            Self::Grey => Theme::single().in_grey(),
        }
    }

    /// For a figure across two columns.
    pub fn double(self) -> Theme {
        match self {
            Self::Print => Theme::double(),
            // Laid out smaller than the slide and then enlarged to it, words and strokes with it.
            Self::Slide => {
                Theme { text: 9.0, small: 8.0, title: 10.5, hair: 0.6, outline: 0.9, curve: 1.4, ..Theme::double() }
            }
            Self::Grey => Theme::double().in_grey(),
        }
    }

    /// For the drawing of a construct, whose names stand close: on a slide a little smaller.
    pub fn drawing(self) -> Theme {
        match self {
            Self::Print | Self::Grey => self.double(),
            Self::Slide => Theme { text: 8.0, small: 7.0, title: 9.5, ..self.double() },
        }
    }

    /// For the strips of tying orders, whose words stand close in narrow columns: on a slide as in
    /// print, and enlarged with it.
    pub fn strip(self) -> Theme {
        match self {
            Self::Print | Self::Grey => self.double(),
            Self::Slide => Theme::double(),
        }
    }

    /// Puts a figure drawn in one of the themes on its sheet: a slide is filled as far as it goes,
    /// the figure in its middle; print is as it is.
    #[must_use]
    pub fn finish(self, figure: Figure) -> Figure {
        match self {
            Self::Print | Self::Grey => figure,
            Self::Slide => on_sheet(figure, SLIDE),
        }
    }
}

/// Enlarges a figure to a sheet (mm) by its header alone: the drawing stays as it is.
fn on_sheet(mut figure: Figure, [wide, high]: [f64; 2]) -> Figure {
    let own = [figure.width_mm, figure.height_mm];
    let scale = ((wide - 2.0 * MARGIN) / own[0]).min((high - 2.0 * MARGIN) / own[1]);
    // The sheet in the drawing's own millimetres.
    let (w, h) = (wide / scale, high / scale);
    let view = [0.5 * (own[0] - w), 0.5 * (own[1] - h), w, h];
    let before = [0.0, 0.0, own[0], own[1]];
    figure.svg = figure.svg.replacen(&header(own, before), &header([wide, high], view), 1).replacen(
        &paper(before),
        &paper(view),
        1,
    );
    (figure.width_mm, figure.height_mm) = (wide, high);
    figure
}
