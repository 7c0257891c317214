//! Colours of the drawings.

use super::page::turned;

/// An sRGB colour, without transparency: tints are mixed beforehand, so that print and screen agree.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Colour(pub u8, pub u8, pub u8);

/// White paper.
pub(crate) const WHITE: Colour = Colour(255, 255, 255);

/// Blue of the palette of Okabe and Ito: a bridge, and nothing else.
pub(crate) const BLUE: Colour = Colour(0, 114, 178);

/// The rest of the qualitative palette of Okabe and Ito (Color Universal Design, 2008; jfly.uni-koeln.de/color,
/// from memory) without its yellow, which is lost as a line on white, and its second blue; two shades stand for them.
pub(crate) const OKABE_ITO: [Colour; 7] = [
    Colour(0, 0, 0),       // black
    Colour(213, 94, 0),    // vermillion
    Colour(0, 158, 115),   // bluish green
    Colour(204, 121, 167), // reddish purple
    Colour(230, 159, 0),   // orange
    Colour(0, 87, 63),     // shade of the green
    Colour(122, 73, 100),  // shade of the purple
];

/// Seven greys for series, evenly apart in lightness (CIE L* 0, 10, … 61), ordered so that neighbours
/// differ much: the lightest still stands off white by the 3 to 1 that WCAG 2.1 asks of graphics.
pub(crate) const GREYS: [Colour; 7] = [
    Colour(27, 27, 27),    // L* 10
    Colour(121, 121, 121), // L* 51
    Colour(71, 71, 71),    // L* 30
    Colour(0, 0, 0),       // L* 0
    Colour(97, 97, 97),    // L* 41
    Colour(147, 147, 147), // L* 61
    Colour(48, 48, 48),    // L* 20
];

impl Colour {
    /// The grey of the same luminance.
    #[must_use]
    pub fn to_grey(self) -> Self {
        let y = self.luminance();
        let encoded = if y <= 0.003_130_8 { 12.92 * y } else { 1.055 * libm::pow(y, 1.0 / 2.4) - 0.055 };
        let level = (255.0 * encoded).round() as u8;
        Self(level, level, level)
    }

    /// Lightness L*, 0 (black) to 100 (white): CIE 1976, from the luminance.
    pub fn lightness(self) -> f64 {
        let y = self.luminance();
        if y > 216.0 / 24389.0 { 116.0 * libm::cbrt(y) - 16.0 } else { y * 24389.0 / 27.0 }
    }

    /// Mixes in `share` (0 to 1) of another colour, linearly in sRGB values.
    #[must_use]
    pub fn mix(self, other: Self, share: f64) -> Self {
        let blend = |a: u8, b: u8| (f64::from(a) + (f64::from(b) - f64::from(a)) * share.clamp(0.0, 1.0)).round() as u8;
        Self(blend(self.0, other.0), blend(self.1, other.1), blend(self.2, other.2))
    }

    /// A tint toward white.
    #[must_use]
    pub fn tint(self, share: f64) -> Self {
        self.mix(WHITE, share)
    }

    /// A shade toward black: for words set in a curve's colour.
    #[must_use]
    pub fn shade(self, share: f64) -> Self {
        self.mix(Self(0, 0, 0), share)
    }

    /// Relative luminance (0 black to 1 white), WCAG 2.1 definition.
    pub fn luminance(self) -> f64 {
        let linear = |c: u8| {
            let c = f64::from(c) / 255.0;
            if c <= 0.040_45 { c / 12.92 } else { libm::pow((c + 0.055) / 1.055, 2.4) }
        };
        0.2126 * linear(self.0) + 0.7152 * linear(self.1) + 0.0722 * linear(self.2)
    }

    /// A colour of one brown hue whose lightness falls evenly from near white (0) to deep brown (1):
    /// evenly spaced in Oklab (Ottosson, "A perceptual color space for image processing", 2020).
    pub fn depth(share: f64) -> Self {
        let s = share.clamp(0.0, 1.0);
        let lightness = 0.975 - 0.60 * s;
        let chroma = 0.015 + 0.1 * libm::sin(std::f64::consts::PI * (0.08 + 0.62 * s)) * s.sqrt();
        let [a, b] = turned(66.0 - 8.0 * s).map(|v| chroma * v);
        let l = (lightness + 0.396_337_777_4 * a + 0.215_803_757_3 * b).powi(3);
        let m = (lightness - 0.105_561_345_8 * a - 0.063_854_172_8 * b).powi(3);
        let q = (lightness - 0.089_484_177_5 * a - 1.291_485_548 * b).powi(3);
        let encode = |v: f64| {
            let v = v.clamp(0.0, 1.0);
            let v = if v <= 0.003_130_8 { 12.92 * v } else { 1.055 * libm::pow(v, 1.0 / 2.4) - 0.055 };
            (255.0 * v).round() as u8
        };
        Self(
            encode(4.076_741_662_1 * l - 3.307_711_591_3 * m + 0.230_969_929_2 * q),
            encode(-1.268_438_004_6 * l + 2.609_757_401_1 * m - 0.341_319_396_5 * q),
            encode(-0.004_196_086_3 * l - 0.703_418_614_7 * m + 1.707_614_701 * q),
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_depth_scale_darkens_all_the_way() {
        let mut last = 2.0;
        for k in 0..=20 {
            let luminance = Colour::depth(f64::from(k) / 20.0).luminance();
            assert!(luminance < last, "step {k}");
            last = luminance;
        }
    }

    #[test]
    fn white_and_black_have_the_defined_luminance() {
        // WCAG 2.1, "relative luminance": 1 for white, 0 for black.
        assert!((WHITE.luminance() - 1.0).abs() < 1e-12);
        assert_eq!(Colour(0, 0, 0).luminance(), 0.0);
    }
}
