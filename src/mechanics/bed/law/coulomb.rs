//! A unilateral elastic foundation with Coulomb friction: pressure `p = k_n max(0, −g)`, and shear
//! `−k_t (s − sᵖ)` cut back to `μ p` (radial return).

use super::{Borne, CellLaw};
use crate::mechanics::bed::BedLaw;
use crate::mechanics::lane::{Lane, Mask};

/// Relative margin by which the trial shear must pass the friction limit to slip: a committed cell
/// that stands exactly on its limit must not be pushed over it by rounding (a few 1e-16).
const LIMIT_MARGIN: f64 = 1e-13;
/// The same for the stretch itself, mm: places of some 10 mm are good to a few 1e-15, which is much of the
/// stretch of a cell that hardly presses.
const STRETCH_MARGIN: f64 = 1e-13;

/// The law with its constants in lanes.
pub(crate) struct Coulomb<L> {
    normal: L,
    shear: L,
    friction: L,
    /// What friction falls by with lift, MPa/mm.
    fall: L,
    margin: L,
    /// What the margin of the stretch is in shear, MPa.
    sliver: L,
    zero: L,
    one: L,
}

impl<L: Lane> Coulomb<L> {
    #[inline(always)]
    pub fn new(simd: L::Simd, law: &BedLaw) -> Self {
        let of = |value| L::of(simd, value);
        Self {
            normal: of(law.normal),
            shear: of(law.shear),
            friction: of(law.friction),
            fall: of(law.friction) * of(law.normal),
            margin: of(1.0 + LIMIT_MARGIN),
            sliver: of(law.shear * STRETCH_MARGIN),
            zero: of(0.0),
            one: of(1.0),
        }
    }
}

impl<L: Lane> CellLaw<L> for Coulomb<L> {
    #[inline(always)]
    fn bear(&self, gap: L, slide: [L; 2], slip: [L; 2]) -> Borne<L> {
        let zero = self.zero;
        let pressure = self.normal * (-gap).max(zero);
        let [x, y] = [slide[0] - slip[0], slide[1] - slip[1]];
        let length = (x * x + y * y).sqrt();
        let limit = self.friction * pressure;
        let slips = (self.shear * length).is_above(limit * self.margin + self.sliver);
        let inverse = slips.choose(self.one / length, zero);
        let [ex, ey] = [x * inverse, y * inverse];
        let shear = [slips.choose(-(limit * ex), -(self.shear * x)), slips.choose(-(limit * ey), -(self.shear * y))];
        // Along the bed −k_t where it sticks, and across the slip where it slips; with lift the friction
        // limit falls.
        let turn = limit * inverse;
        let stuck = slips.choose(zero, self.shear);
        let tangent =
            [-(stuck + turn * ey * ey), turn * ex * ey, -(stuck + turn * ex * ex), self.fall * ex, self.fall * ey];
        Borne { pressure, shear, slips, tangent }
    }
}
