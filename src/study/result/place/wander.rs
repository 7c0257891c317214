//! How far an anchor may wander from where a search found it.

use schemars::JsonSchema;
use serde::Serialize;

/// What ends a way out of the answer.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case", tag = "by")]
pub enum WayEnd {
    /// A tenth of the objective is lost there.
    Lost,
    /// A constraint is violated beyond it.
    Constraint {
        /// Its key.
        key: String,
        /// In words, with what it concerns.
        label: String,
    },
    /// The range of the variable ends there.
    Range,
}

/// A way out of the answer in an anchor's own plane.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct WayOut {
    /// Its name: `superior`, `medial`, `superior and medial`, and so on.
    pub name: String,
    /// Direction in the plane: along and second coordinate, of unit length.
    pub direction: [f64; 2],
    /// How far, mm.
    pub distance: f64,
    /// What ends it.
    pub end: WayEnd,
    /// Objective there.
    pub value: f64,
}

/// A point of a wander map.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Wandered {
    /// Offset from the answer in the anchor's plane: along and second coordinate, mm.
    pub offset: [f64; 2],
    /// The anchor's point, mm.
    pub point: Option<[f64; 3]>,
    /// Objective; absent when infeasible.
    pub value: Option<f64>,
    /// Share of the best that is lost; absent when infeasible.
    pub loss: Option<f64>,
    /// The constraint that makes it infeasible.
    pub broken: Option<String>,
}

/// How far one anchor may wander, the others held.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct WanderMap {
    /// Anchor.
    pub anchor: String,
    /// Keys of the two coordinates; the second is empty for a place on a line.
    pub coordinates: [String; 2],
    /// Where the answer has them.
    pub centre: [f64; 2],
    /// Units of each coordinate per mm of an offset: of hours on the arc on which the anchor lies, and
    /// negative, as they run from superior to anterior.
    pub units_per_mm: [f64; 2],
    /// Distance of grid points, mm.
    pub step: f64,
    /// Objective at the answer, on the bed of the search.
    pub best: f64,
    /// Points of the grid: those within 25 % of the best that hang together with the answer, and
    /// those next to them.
    pub grid: Vec<Wandered>,
    /// Area in which no more than 10 % is lost, mm², counted in grid points.
    pub area_10: f64,
    /// The same for 25 %.
    pub area_25: f64,
    /// The four ways out (two on a line), then the four between them.
    pub ways: Vec<WayOut>,
}
