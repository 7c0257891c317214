//! Mated fracture surfaces: reduced, every asperity sits in the hollow that it was broken from; slid, it rides up.
//!
//! With σ the displacement of a cell along the bed from reduced, the ramp is `h(σ) = a (1 − e^{−x/a})`,
//! `x = tan i₀ (√(σ² + σ₀²) − σ₀)`. The mobilised ratio for leaving is μ + h′, at most μ + tan i₀ (Patton's law
//! of a rock joint in additive form, from memory: Patton 1966).

use crate::mechanics::bed::Asperity;
use crate::mechanics::lane::Lane;

/// The ramp with its constants in lanes.
pub(crate) struct Asperities<L> {
    tan: L,
    height: L,
    tan_per_height: L,
    rounding: L,
    rounding_squared: L,
    decay: Decay<L>,
    one: L,
}

/// How far a cell is lifted where it lies.
pub(crate) struct Rise<L> {
    /// Height h, mm.
    pub height: L,
    /// Its gradient along the bed.
    pub slope: [L; 2],
    /// Its second derivatives xx, xy, yy, 1/mm.
    pub curvature: [L; 3],
}

impl<L: Lane> Asperities<L> {
    #[inline(always)]
    pub fn new(simd: L::Simd, asperity: &Asperity) -> Self {
        let of = |value| L::of(simd, value);
        let tan = libm::tan(asperity.angle);
        Self {
            tan: of(tan),
            height: of(asperity.height),
            tan_per_height: of(tan / asperity.height),
            rounding: of(asperity.rounding),
            rounding_squared: of(asperity.rounding * asperity.rounding),
            decay: Decay::new(simd),
            one: of(1.0),
        }
    }

    /// The ramp at a displacement along the bed, mm.
    #[inline(always)]
    pub fn rise(&self, [x, y]: [L; 2]) -> Rise<L> {
        let length = self.rounding_squared.plus_product(x, x).plus_product(y, y).sqrt();
        let inverse = self.one / length;
        let left = self.decay.of((length - self.rounding) * self.tan_per_height);
        let per_length = self.tan * left * inverse;
        // ∂²h = tan i₀ e^{−x/a} (I/r − s sᵀ (1/r³ + tan i₀/(a r²))), r = √(σ² + σ₀²).
        let bend = per_length * inverse * (inverse + self.tan_per_height);
        let (bx, by) = (bend * x, bend * y);
        Rise {
            height: self.height.minus_product(self.height, left),
            slope: [per_length * x, per_length * y],
            curvature: [per_length.minus_product(bx, x), -(bx * y), per_length.minus_product(by, y)],
        }
    }
}

/// `e^{−y}` for y ≥ 0 in lanes: a Taylor polynomial of degree ten at y/64, squared six times. To 1e-16 of 1 for
/// every y; past 40, where nothing is left of it, it stays at e^{−40}.
struct Decay<L> {
    most: L,
    part: L,
    coefficients: [L; 11],
}

impl<L: Lane> Decay<L> {
    #[inline(always)]
    fn new(simd: L::Simd) -> Self {
        let mut factorial = 1.0;
        let coefficients = std::array::from_fn(|k| {
            factorial *= if k == 0 { 1.0 } else { k as f64 };
            L::of(simd, 1.0 / factorial)
        });
        Self { most: L::of(simd, 40.0), part: L::of(simd, -1.0 / 64.0), coefficients }
    }

    #[inline(always)]
    fn of(&self, y: L) -> L {
        let y = y.min(self.most) * self.part;
        let mut value = self.coefficients[10];
        for k in (0..10).rev() {
            value = self.coefficients[k].plus_product(value, y);
        }
        for _ in 0..6 {
            value = value * value;
        }
        value
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_decay_is_that_of_the_library() {
        let decay = Decay::<f64>::new(());
        for k in 0..4000 {
            let y = 0.01 * f64::from(k);
            // Sixty-four roundings of a value squared six times, of at most 1.
            assert!((decay.of(y) - libm::exp(-y)).abs() < 2e-14 * libm::exp(-y) + 1e-16, "{y}");
        }
        assert_eq!(decay.of(0.0), 1.0);
        assert!(decay.of(1e6) < 1e-17);
    }

    /// Slope and curvature against central differences; the ramp at its ends in closed form.
    #[test]
    fn the_ramp_has_its_own_derivatives() {
        let asperity = Asperity { angle: 15f64.to_radians(), height: 0.7, rounding: 0.1 };
        let law = Asperities::<f64>::new((), &asperity);
        let h = 1e-5;
        for [x, y] in [[0.0, 0.0], [0.03, -0.02], [0.4, 0.9], [-3.0, 1.0]] {
            let at = law.rise([x, y]);
            let (east, west) = (law.rise([x + h, y]), law.rise([x - h, y]));
            let (north, south) = (law.rise([x, y + h]), law.rise([x, y - h]));
            let difference = |a: f64, b: f64| (a - b) / (2.0 * h);
            // Differences are good to h² times third derivatives of some 10 per mm², and to rounding over h.
            for (own, theirs) in [
                (at.slope[0], difference(east.height, west.height)),
                (at.slope[1], difference(north.height, south.height)),
                (at.curvature[0], difference(east.slope[0], west.slope[0])),
                (at.curvature[1], difference(east.slope[1], west.slope[1])),
                (at.curvature[2], difference(north.slope[1], south.slope[1])),
            ] {
                assert!((own - theirs).abs() < 1e-7, "{x} {y}: {own} {theirs}");
            }
        }
        assert_eq!(law.rise([0.0, 0.0]).height, 0.0);
        assert!((law.rise([60.0, 0.0]).height - 0.7).abs() < 1e-9);
        let steepest = (0..1000).map(|k| law.rise([0.005 * f64::from(k), 0.0]).slope[0]).fold(0.0, f64::max);
        assert!(steepest < libm::tan(asperity.angle));
    }
}
