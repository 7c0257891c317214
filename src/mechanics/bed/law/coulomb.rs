//! Coulomb friction with elastic slip: shear `−k_t (s − sᵖ)` cut back to `μ p` (radial return).

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
    shear: L,
    friction: L,
    margin: L,
    /// What the margin of the stretch is in shear, MPa.
    sliver: L,
    zero: L,
    one: L,
}

/// How friction holds a cell.
pub(crate) struct Held<L: Lane> {
    /// Shear on the fragment, MPa.
    pub shear: [L; 2],
    /// Where it slips.
    pub slips: L::Mask,
    /// What it opposes the slip with as pressure rises: μ along the slip, nothing where it sticks.
    pub with_pressure: [L; 2],
    /// Derivatives of the shear by the stretch at a steady pressure, MPa/mm: xx, xy = yx, yy.
    pub tangent: [L; 3],
}

impl<L: Lane> Coulomb<L> {
    #[inline(always)]
    pub fn new(simd: L::Simd, law: &BedLaw) -> Self {
        let of = |value| L::of(simd, value);
        Self {
            shear: of(law.shear),
            friction: of(law.friction),
            margin: of(1.0 + LIMIT_MARGIN),
            sliver: of(law.shear * STRETCH_MARGIN),
            zero: of(0.0),
            one: of(1.0),
        }
    }

    /// What a stretch s − sᵖ (mm) bears under a pressure (MPa).
    #[inline(always)]
    pub fn hold(&self, [x, y]: [L; 2], pressure: L) -> Held<L> {
        let zero = self.zero;
        let length = (x * x).plus_product(y, y).sqrt();
        let limit = self.friction * pressure;
        let slips = (self.shear * length).is_above(self.sliver.plus_product(limit, self.margin));
        let inverse = slips.choose(self.one / length, zero);
        let [ex, ey] = [x * inverse, y * inverse];
        // Along the bed −k_t where it sticks, and across the slip where it slips.
        let turn = limit * inverse;
        let secant = slips.choose(turn, self.shear);
        let shear = [-(secant * x), -(secant * y)];
        let stuck = slips.choose(zero, -self.shear);
        let (tx, ty) = (turn * ex, turn * ey);
        let tangent = [stuck.minus_product(ty, ey), tx * ey, stuck.minus_product(tx, ex)];
        Held { shear, slips, with_pressure: [self.friction * ex, self.friction * ey], tangent }
    }
}
