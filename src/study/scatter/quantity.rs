//! The quantities that are reported of a sample.

use crate::study::result::Quantity;

/// A quantity: key as typed, words, unit.
pub type Spec = (&'static str, &'static str, &'static str);

/// All of them, in the order of a row. Loads at 1 and 2 mm are absent where the push does not get so
/// far.
pub const QUANTITIES: [Spec; 14] = [
    ("compression", "bed compression when tied", "N"),
    ("peak-pressure", "largest pressure when tied", "MPa"),
    ("contact", "share of the bed in contact when tied", "%"),
    ("reserve", "friction reserve when tied", "%"),
    ("step", "articular step when tied, proud positive", "mm"),
    ("tilt", "tilt when tied, sitting up positive", "°"),
    ("lower-gap", "gap of the lower end when tied", "mm"),
    ("lower-off", "distance of the lower end from its reduced place when tied", "mm"),
    ("load-1mm", "load at 1 mm", "N"),
    ("load-2mm", "load at 2 mm", "N"),
    ("step-1mm", "articular step at 1 mm of push", "mm"),
    ("step-2mm", "articular step at 2 mm of push", "mm"),
    ("tilt-2mm", "tilt at 2 mm of push", "°"),
    ("peak-load", "largest load within the push", "N"),
];

/// Place of a quantity of this crate in a row.
pub fn place(key: &str) -> usize {
    QUANTITIES.iter().position(|q| q.0 == key).unwrap_or_else(|| unreachable!("no quantity {key}"))
}

/// A quantity by its place.
pub fn quantity(place: usize) -> Quantity {
    let (key, label, unit) = QUANTITIES[place];
    Quantity { key: key.to_owned(), label: label.to_owned(), unit: unit.to_owned() }
}
