//! What a screw bears.

use schemars::JsonSchema;
use serde::Serialize;

/// A screw in a state.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct ScrewState {
    /// Name in the construct.
    pub name: String,
    /// Group for the share table.
    pub group: String,
    /// Pull of its head, N; zero when its preload is lost.
    pub axial: f64,
    /// Force of its shank on the fragment across its axis, N.
    pub bearing: f64,
    /// Its whole force on the fragment, N.
    pub force: [f64; 3],
    /// The part of that force along −n (presses the fragment on its bed), N.
    pub compression: f64,
    /// The part along the bed, N.
    pub shear: f64,
    /// Direction of that shear in bed axes (superior along the chord, medial down the plane), N.
    pub shear_along: [f64; 2],
    /// Largest pressure of shank on bone at the fracture plane, MPa.
    pub pressure: f64,
    /// Seat of the head, its passage through the fracture plane and its tip, mm.
    pub places: [[f64; 3]; 3],
}
