//! Textures: the second code beside a filled area's colour.

use super::canvas::Stroke;
use super::canvas::hex;
use super::lettering::PT;

/// A texture. Lines are tied to the page, not to the area, so that neighbours with one texture join.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Texture {
    /// Plain.
    Plain,
    /// Lines rising to the right.
    Rising,
    /// Lines falling to the right.
    Falling,
    /// Both.
    Crossed,
    /// Level lines.
    Level,
    /// Upright lines.
    Upright,
    /// Dots.
    Dots,
}

impl Texture {
    /// The pattern of it as SVG, `{}` standing for its number: lines `spacing` mm apart. None for plain.
    pub fn pattern(self, spacing: f64, stroke: Stroke) -> Option<String> {
        let (turn, side) = match self {
            Self::Plain => return None,
            Self::Rising => (-45, spacing),
            Self::Falling => (45, spacing),
            Self::Crossed => (45, 1.4 * spacing),
            Self::Level => (0, spacing),
            Self::Upright => (90, spacing),
            Self::Dots => (0, 1.5 * spacing),
        };
        let half = 0.5 * side;
        let (ink, width) = (hex(&stroke.colour.into()), stroke.width * PT);
        let marks = match self {
            Self::Dots => {
                let dot = |x: f64, y: f64| format!("<circle cx=\"{x:.3}\" cy=\"{y:.3}\" r=\"0.2\" fill=\"{ink}\"/>");
                dot(0.25 * side, 0.25 * side) + &dot(0.75 * side, 0.75 * side)
            }
            _ => {
                let cross = if self == Self::Crossed { format!("M{half:.3},0V{side:.3}") } else { String::new() };
                format!(
                    "<path d=\"M0,{half:.3}H{side:.3}{cross}\" fill=\"none\" stroke=\"{ink}\" stroke-width=\"{width:.3}\"/>"
                )
            }
        };
        Some(format!(
            "<pattern id=\"d{{}}\" patternUnits=\"userSpaceOnUse\" width=\"{side:.3}\" height=\"{side:.3}\" patternTransform=\"rotate({turn})\">{marks}</pattern>"
        ))
    }
}
