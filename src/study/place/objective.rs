//! What a design is good for.

use super::super::Direction;
use super::super::result::{Aim, Start};
use crate::anatomy::Fragment;

/// Directions of the fan in the bed plane: degrees from inferior (along the chord) toward medial, with
/// the weight of each (assumed: fragments migrate inferiorly and medially). A load counts as divided
/// by its weight, so that a direction that matters less has to be weaker to count.
pub const FAN: [(f64, f64); 5] = [(-45.0, 0.7), (0.0, 1.0), (45.0, 1.0), (90.0, 1.0), (135.0, 0.7)];

/// An objective.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[cfg_attr(feature = "cli", derive(clap::ValueEnum))]
pub enum Objective {
    /// Load at 1 mm, pushed inferiorly.
    Inferior,
    /// Least load at 1 mm over a fan of directions, weighted toward inferior and medial.
    Worst,
    /// How evenly the whole bed is pressed when tied.
    Evenness,
    /// Articular step left after tying from the displaced pose.
    Reduction,
}

impl Objective {
    /// All of them.
    pub const ALL: [Self; 4] = [Self::Inferior, Self::Worst, Self::Evenness, Self::Reduction];

    /// Key as typed.
    pub fn key(self) -> &'static str {
        match self {
            Self::Inferior => "inferior",
            Self::Worst => "worst",
            Self::Evenness => "evenness",
            Self::Reduction => "reduction",
        }
    }

    /// Whether more is better.
    pub fn more_is_better(self) -> bool {
        self != Self::Reduction
    }

    /// A value as a cost, the less the better.
    pub fn cost(self, value: f64) -> f64 {
        if self.more_is_better() { -value } else { value }
    }

    /// The share of `best` that is lost at `value`. Of a step it is the increase as a share of the
    /// best, or of 0.1 mm when the best is less than that: eye and probe tell no less (assumed).
    pub fn loss(self, best: f64, value: f64) -> f64 {
        if self.more_is_better() {
            (best - value) / best.abs().max(f64::MIN_POSITIVE)
        } else {
            (value - best) / best.abs().max(super::super::tie::SIGHT)
        }
    }

    /// The value of a draw in which the fragment is not held.
    pub(super) fn of_lost(self) -> f64 {
        if self.more_is_better() { 0.0 } else { f64::INFINITY }
    }

    /// Where tying starts for objectives that are asked for together, when a user asks for `from`: what
    /// reduces starts displaced, and so does whatever is weighed against it, as one repair has one tying.
    pub fn start(together: &[Self], from: Start) -> Start {
        if together.contains(&Self::Reduction) { Start::Displaced } else { from }
    }

    /// The pushes that it is made of, each with its weight; none where it does not push.
    pub(super) fn pushes(self, on: &Fragment) -> Vec<(Direction, f64)> {
        match self {
            Self::Inferior => vec![(Direction::default(), 1.0)],
            Self::Worst => FAN
                .map(|(angle, weight)| {
                    let (sin, cos) = libm::sincos(angle.to_radians());
                    let vector = -on.along * cos + on.down * sin;
                    let name = format!("{angle}°");
                    (Direction::of_shoulder(name, vector), weight)
                })
                .into(),
            Self::Evenness | Self::Reduction => Vec::new(),
        }
    }

    /// In words.
    pub fn aim(self) -> Aim {
        let (label, unit, about) = match self {
            Self::Inferior => (
                "load at 1 mm inferiorly",
                "N",
                "load at the fragment's centroid that moves it 1 mm inferiorly".to_owned(),
            ),
            Self::Worst => (
                "weighted least load at 1 mm over a fan",
                "N",
                format!(
                    "least of load at 1 mm divided by weight over directions in the bed plane, from inferior toward medial: {} (weights assumed)",
                    FAN.map(|(angle, weight)| format!("{angle} deg weight {weight}")).join(", ")
                ),
            ),
            Self::Evenness => (
                "share of the bed that would bear as much evenly",
                "",
                "(sum p A)^2 / (A_bed sum p^2 A) over the bed when tied: the share in contact over one plus the square of the pressure's coefficient of variation".to_owned(),
            ),
            Self::Reduction => (
                "articular step left, tied from the displaced pose",
                "mm",
                "magnitude of the largest step along the fracture line when tied from the displaced pose".to_owned(),
            ),
        };
        Aim {
            key: self.key().to_owned(),
            label: label.to_owned(),
            unit: unit.to_owned(),
            more_is_better: self.more_is_better(),
            about,
        }
    }
}
