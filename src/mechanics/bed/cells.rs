//! The cells of a bed and what they remember, one quantity after the other, so that cells side by side can be
//! gone over in lanes.

use super::Cell;
use super::law::Past;
use crate::mechanics::lane::FILLED;

/// The cells of a bed one quantity after the other, filled up with cells of no area.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Columns {
    pub t: Vec<f64>,
    pub m: Vec<f64>,
    pub area: Vec<f64>,
    pub tt: Vec<f64>,
    pub tm: Vec<f64>,
    pub mm: Vec<f64>,
}

impl Columns {
    pub fn new(cells: &[Cell]) -> Self {
        let length = cells.len().next_multiple_of(FILLED);
        let column = |value: &dyn Fn(&Cell) -> f64, filling: f64| -> Vec<f64> {
            let mut column: Vec<f64> = cells.iter().map(value).collect();
            column.resize(length, filling);
            column
        };
        // The filling lies on the last cell, where no law can fail.
        let (t, m) = cells.last().map_or((0.0, 0.0), |c| (c.t, c.m));
        Self {
            t: column(&|c| c.t, t),
            m: column(&|c| c.m, m),
            area: column(&|c| c.area, 0.0),
            tt: column(&|c| c.t * c.t, t * t),
            tm: column(&|c| c.t * c.m, t * m),
            mm: column(&|c| c.m * c.m, m * m),
        }
    }
}

/// What the cells remember, one entry a cell. What fills the columns up has no area, so it never counts.
#[derive(Debug, Clone, PartialEq)]
pub struct BedMemory {
    /// Committed slip along the chord, mm.
    pub t: Vec<f64>,
    /// Committed slip down the plane, mm.
    pub m: Vec<f64>,
    /// Level to which a cell has been crushed, mm along the bed's normal: zero or negative.
    pub level: Vec<f64>,
}

impl BedMemory {
    /// Of `cells` cells that have neither slipped nor been crushed.
    pub fn none(cells: usize) -> Self {
        let column = vec![0.0; cells.next_multiple_of(FILLED)];
        Self { t: column.clone(), m: column.clone(), level: column }
    }

    /// What cell `k` remembers.
    pub(crate) fn of(&self, k: usize) -> Past<f64> {
        Past { slip: [self.t[k], self.m[k]], level: self.level[k] }
    }
}
