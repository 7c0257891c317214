//! How stiffly a tied fragment is held along its bed.

use schemars::JsonSchema;
use serde::Serialize;

/// The stiffness of the tied fragment's reference point against shifts along its bed, everything else
/// free to follow (turns, lift, sprung anchors and bites), with every cell and turn on the side of its
/// limit that it was tied to: a first, small motion.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct Stiffness {
    /// Load (along the chord, down the plane) for a unit shift along the chord, then down the plane,
    /// N/mm: the columns of a 2 × 2 matrix.
    pub columns: [[f64; 2]; 2],
    /// Least stiffness along the bed, N/mm: load over shift in the direction that needs least load.
    pub least: f64,
    /// Direction of that load (toward superior along the chord, toward medial down the plane), unit.
    pub least_toward: [f64; 2],
    /// Largest stiffness along the bed, N/mm.
    pub most: f64,
    /// Direction of that load, unit.
    pub most_toward: [f64; 2],
}
