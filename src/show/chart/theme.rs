//! Sizes, strokes and colours shared by every figure, and the styles: for print, for a slide, without colour.

use super::canvas::{Stroke, header, paper};
use super::colour::{BLUE, Colour, GREYS, OKABE_ITO, WHITE};
use super::figure::Figure;
use super::lettering::Type;

/// Dash patterns (mm on, mm off, …) that go with the series colours, in the same order.
const DASHES: [&[f64]; 7] =
    [&[], &[1.7, 0.7], &[0.5, 0.55], &[2.2, 0.6, 0.5, 0.6], &[3.2, 0.9], &[1.3, 0.5, 0.4, 0.5, 0.4, 0.5], &[0.9, 0.45]];

/// How figures look: everything that another style (print, slide, grey) would change.
#[derive(Debug, Clone, PartialEq)]
pub struct Theme {
    /// Width of the figure, mm.
    pub width: f64,
    /// Size of words and numbers, pt.
    pub text: f64,
    /// Size of secondary words, pt; never under 5.5, nor under 7 across two columns.
    pub small: f64,
    /// Size of panel letters and titles, pt.
    pub title: f64,
    /// Width of axes and leaders, pt.
    pub hair: f64,
    /// Width of outlines, pt.
    pub outline: f64,
    /// Width of curves, pt.
    pub curve: f64,
    /// Words and axes.
    pub ink: Colour,
    /// Secondary words.
    pub muted: Colour,
    /// Reference lines.
    pub faint: Colour,
    /// Intact bone.
    pub bone: Colour,
    /// The fragment.
    pub fragment: Colour,
    /// Limbs of a bridge.
    pub bridge: Colour,
    /// Background.
    pub paper: Colour,
    /// Series colours; each goes with a dash pattern.
    pub series: [Colour; 7],
    /// Whether scales of depth (pressure) are grey.
    pub grey: bool,
}

impl Theme {
    /// Print, one column: 85 mm.
    pub fn single() -> Self {
        Self {
            width: 85.0,
            text: 7.0,
            small: 6.0,
            title: 8.0,
            hair: 0.5,
            outline: 0.75,
            curve: 1.1,
            ink: Colour(25, 25, 25),
            muted: Colour(95, 95, 95),
            faint: Colour(205, 205, 205),
            bone: Colour(241, 238, 231),
            fragment: Colour(245, 219, 176),
            bridge: BLUE,
            paper: WHITE,
            series: OKABE_ITO,
            grey: false,
        }
    }

    /// Print, across two columns: 180 mm.
    pub fn double() -> Self {
        Self { width: 180.0, text: 7.4, small: 7.0, ..Self::single() }
    }

    /// The same without colour: greys that differ in lightness by a tenth of the whole range or more,
    /// beside the dashes, hatches and markers that every style has.
    #[must_use]
    pub fn in_grey(self) -> Self {
        let (bone, fragment) = (Colour(240, 240, 240), Colour(221, 221, 221));
        Self { bone, fragment, bridge: GREYS[0], series: GREYS, grey: true, ..self }
    }

    /// Words and numbers.
    pub(crate) fn words(&self) -> Type {
        Type::new(self.text, self.ink)
    }

    /// Secondary words that are read like others.
    pub(crate) fn fine(&self) -> Type {
        Type::new(self.small, self.ink)
    }

    /// Secondary words that stay in the background.
    pub(crate) fn note(&self) -> Type {
        Type::new(self.small, self.muted)
    }

    /// Titles and letters of panels.
    pub(crate) fn heading(&self) -> Type {
        Type::new(self.title, self.ink).bold()
    }

    /// Lines of axes.
    pub(crate) fn axis(&self) -> Stroke {
        Stroke::solid(self.ink, self.hair)
    }

    /// The outline of the reduced fragment.
    pub(crate) fn reduced(&self) -> Stroke {
        Stroke::dashed(self.ink, 0.5, &[1.5, 0.8])
    }

    /// Lines of reference.
    pub(crate) fn reference(&self) -> Stroke {
        Stroke::solid(self.faint, self.hair)
    }

    /// The line of a series.
    pub(crate) fn line(&self, index: usize) -> Stroke {
        let (colour, dash) = self.series(index);
        Stroke::dashed(colour, self.curve, dash)
    }

    /// A colour of the scale that darkens from 0 to 1.
    pub(crate) fn depth(&self, share: f64) -> Colour {
        let colour = Colour::depth(share);
        if self.grey { colour.to_grey() } else { colour }
    }

    /// Whether there is room for panels beside each other.
    pub(crate) fn is_wide(&self) -> bool {
        self.width >= 150.0
    }

    /// Colour and dash pattern of the series `index`; beyond seven the dashes move on by two, so
    /// that no pair of colour and dash returns before forty-nine.
    pub(crate) fn series(&self, index: usize) -> (Colour, &'static [f64]) {
        let n = self.series.len();
        (self.series[index % n], DASHES[(index + 2 * (index / n)) % DASHES.len()])
    }

    /// Colour of a limb group: loops and bridges keep theirs in every figure.
    pub(crate) fn group(&self, group: &str, groups: &[String]) -> Colour {
        match group {
            "bridge" => self.bridge,
            "loop" => self.series[1],
            _ => {
                let others = groups.iter().filter(|g| *g != "bridge" && *g != "loop");
                let index = others.take_while(|g| *g != group).count();
                [self.series[4], self.series[3], self.series[2]][index % 3]
            }
        }
    }
}

/// Sheet of a slide, mm: 16 to 9, ten inches wide.
const SLIDE: [f64; 2] = [254.0, 142.875];
/// Least margin on a slide, mm.
const MARGIN: f64 = 5.0;

/// A style.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
#[cfg_attr(feature = "cli", derive(clap::ValueEnum))]
pub enum Style {
    /// Colour, columns of 85 or 180 mm, words of 5.5 or 7 to 8 pt.
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
