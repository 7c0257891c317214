//! The law of a cell of the bed, piece by piece, each in a file: how far its asperities lift it
//! ([`asperity`]), what pressure it can bear ([`crush`]) and how friction holds it ([`coulomb`]).
//!
//! With the gap `g = u_n − h(s) − g_p` over the asperities' ramp h and the yielded level g_p, the pressure is
//! `p = min(k_n max(0, −g), p_c)`, and the shear is that of friction less `p ∇h`, which drives the cell home.
//! Pressure and ramp together have the potential `½ k_n g²`.

mod asperity;
mod coulomb;
mod crush;

use super::BedLaw;
use crate::mechanics::lane::{Lane, Mask};
use asperity::Asperities;
pub(super) use asperity::Rise;
use coulomb::Coulomb;
use crush::Crush;

/// What cells side by side bear.
pub(crate) struct Borne<L: Lane> {
    /// How far the cell is above what would bear it, mm: negative where it penetrates.
    pub gap: L,
    /// Pressure, MPa.
    pub pressure: L,
    /// Shear of friction on the fragment, MPa.
    pub friction: [L; 2],
    /// Shear on the fragment in all, MPa: of friction and of the asperities.
    pub shear: [L; 2],
    /// Slope ∇h of the asperities there.
    pub slope: [L; 2],
    /// Where it slips.
    pub slips: L::Mask,
    /// Where it is crushed.
    pub yields: L::Mask,
    /// Derivatives of shear and pressure by the cell's place, MPa/mm: xx, xy, yx, yy, xz, yz, zx, zy, zz.
    pub tangent: [L; 9],
}

/// What a cell remembers.
#[derive(Clone, Copy)]
pub(crate) struct Past<L> {
    /// Committed slip, mm.
    pub slip: [L; 2],
    /// Level g_p to which it has been crushed, mm: zero or negative.
    pub level: L,
}

/// The law with its constants in lanes: written once for one cell (`f64`) and for cells side by side.
pub(crate) struct CellLaw<L> {
    normal: L,
    friction: Coulomb<L>,
    crush: Crush<L>,
    asperities: Option<Asperities<L>>,
    zero: L,
}

impl<L: Lane> CellLaw<L> {
    #[inline(always)]
    pub fn new(simd: L::Simd, law: &BedLaw) -> Self {
        let of = |value| L::of(simd, value);
        Self {
            normal: of(law.normal),
            friction: Coulomb::new(simd, law),
            crush: Crush { strength: of(law.crush) },
            asperities: (law.asperities.angle > 0.0).then(|| Asperities::new(simd, &law.asperities)),
            zero: of(0.0),
        }
    }

    /// What a cell bears at a height above its place (mm), a displacement along the bed (mm) and with what it
    /// remembers.
    #[inline(always)]
    pub fn bear(&self, height: L, slide: [L; 2], past: &Past<L>) -> Borne<L> {
        self.bear_risen(height, slide, self.rise(slide), past)
    }

    /// How far its asperities lift a cell.
    #[inline(always)]
    pub fn rise(&self, slide: [L; 2]) -> Rise<L> {
        let zero = self.zero;
        // No closure here: it would be compiled without the registers that the rest may use.
        match &self.asperities {
            Some(asperities) => asperities.rise(slide),
            None => Rise { height: zero, slope: [zero; 2], curvature: [zero; 3] },
        }
    }

    /// What a cell bears that is lifted by its asperities.
    #[inline(always)]
    pub fn bear_risen(&self, height: L, slide: [L; 2], risen: Rise<L>, past: &Past<L>) -> Borne<L> {
        let zero = self.zero;
        let Rise { height: rise, slope: [gx, gy], curvature: [bxx, bxy, byy] } = risen;
        let gap = height - rise - past.level;
        let (pressure, yields) = self.crush.cap(self.normal * (-gap).max(zero));
        let held = self.friction.hold([slide[0] - past.slip[0], slide[1] - past.slip[1]], pressure);
        let shear = [held.shear[0].minus_product(pressure, gx), held.shear[1].minus_product(pressure, gy)];
        // Along the bed and off it: how the pressure changes, and what friction and asperities make of that.
        let stiffness = yields.choose(zero, self.normal);
        let (px, py) = (stiffness * gx, stiffness * gy);
        let [ax, ay] = [held.with_pressure[0] + gx, held.with_pressure[1] + gy];
        let [hxx, hxy, hyy] = held.tangent;
        let [txx, txy, tyy] =
            [hxx.minus_product(bxx, pressure), hxy.minus_product(bxy, pressure), hyy.minus_product(byy, pressure)];
        let tangent = [
            txx.minus_product(ax, px),
            txy.minus_product(ax, py),
            txy.minus_product(ay, px),
            tyy.minus_product(ay, py),
            ax * stiffness,
            ay * stiffness,
            px,
            py,
            -stiffness,
        ];
        Borne { gap, pressure, friction: held.shear, shear, slope: [gx, gy], slips: held.slips, yields, tangent }
    }

    /// The level at which a cell that is being crushed comes to lie, mm.
    #[inline(always)]
    pub fn level(&self, borne: &Borne<L>, past: &Past<L>) -> L {
        borne.yields.choose(past.level + borne.gap + borne.pressure / self.normal, past.level)
    }
}

#[cfg(test)]
mod tests {
    use super::super::Asperity;
    use super::*;

    /// The tangent of a cell against central differences, in every branch: sticking, slipping, crushed, open.
    #[test]
    fn the_tangent_is_that_of_the_law() {
        let asperities = Asperity { angle: 0.3, height: 0.5, rounding: 0.1 };
        let law = CellLaw::<f64>::new((), &BedLaw { asperities, crush: 4.0, ..BedLaw::plane(40.0, 20.0, 0.5) });
        let h = 1e-6;
        let mut branches = [false; 3];
        for (height, slide, slip) in [
            (-0.02, [0.1, 0.2], [0.09, 0.21]),
            (0.03, [0.3, -0.2], [0.1, -0.1]),
            (-0.3, [0.2, 0.1], [0.19, 0.11]),
            (-0.3, [0.2, 0.1], [-0.4, 0.0]),
            (0.01, [0.0, 0.0], [0.2, 0.0]),
        ] {
            let past = Past { slip, level: -0.01 };
            let at = |by: [f64; 3]| law.bear(height + by[2], [slide[0] + by[0], slide[1] + by[1]], &past);
            let borne = at([0.0; 3]);
            branches[0] |= borne.slips;
            branches[1] |= borne.yields;
            branches[2] |= !borne.slips && !borne.yields;
            let force = |b: &Borne<f64>| [b.shear[0], b.shear[1], b.pressure];
            let [xx, xy, yx, yy, xz, yz, zx, zy, zz] = borne.tangent;
            let own = [[xx, xy, xz], [yx, yy, yz], [zx, zy, zz]];
            for column in 0..3 {
                let mut by = [0.0; 3];
                by[column] = h;
                let (ahead, behind) = (force(&at(by)), force(&at(by.map(|b| -b))));
                for row in 0..3 {
                    if borne.pressure == 0.0 {
                        continue;
                    }
                    let difference = (ahead[row] - behind[row]) / (2.0 * h);
                    // Rounding of some 10 MPa over h, and h² times third derivatives.
                    assert!((difference - own[row][column]).abs() < 1e-7, "{height} {slide:?} {row} {column}");
                }
            }
        }
        assert_eq!(branches, [true; 3]);
    }
}
