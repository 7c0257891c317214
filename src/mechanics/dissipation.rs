//! Work done against friction of the bed.

use super::bed::Bed;
use super::bed_columns::Slip;
use super::pose::Pose;
use crate::math::Vec3;

impl Bed {
    /// Work (N·mm) that the slip which an accepted state at `pose` commits does against friction:
    /// Σ A w |q| |Δs_p|, with the shear q that the cell bears there and the committed slip `slip`
    /// before it. Of first order in the step, like the radial return itself; exact where pressure
    /// does not change while a cell slips. Never negative beyond rounding, zero where every cell
    /// sticks.
    pub(super) fn friction_work(&self, pose: &Pose, reference: &Vec3, slip: &Slip) -> f64 {
        let stiffness = self.law.shear;
        self.loads(pose, reference, slip)
            .zip(self.cells.iter().enumerate())
            .filter(|(load, _)| load.weight > 0.0 && load.shear != [0.0; 2])
            .map(|(load, (k, cell))| {
                // What the shear does not need elastically has slipped; nothing when the cell sticks.
                let before = slip.of(k);
                let work: f64 = (0..2)
                    .map(|i| {
                        let committed = load.slide[i] + load.shear[i] / stiffness;
                        -load.shear[i] * (committed - before[i])
                    })
                    .sum();
                work * cell.area * load.weight
            })
            .sum()
    }
}
