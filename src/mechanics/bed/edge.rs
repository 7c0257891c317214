//! The fading edge of the bed for the cells side by side.

use super::{Bed, Outline};
use crate::mechanics::lane::{Lane, Mask};

/// The crater's outline in lanes: the same as
/// [`Fragment::outline`](crate::anatomy::Fragment::outline).
pub(crate) struct Edge<L> {
    sin: L,
    cos: L,
    distance: L,
    height: L,
    wall: L,
    taper: L,
    half_chord: L,
    /// Radius of the face and its square; none when it is flat.
    face: Option<[L; 2]>,
    /// One over the fading width, 1/mm.
    per_width: L,
    zero: L,
    one: L,
}

/// The areas that the cells side by side bear with, mm²: nothing where they lift off, less where the
/// support fades; and, where any fades, the gradient of that over the weight, 1/mm.
#[inline(always)]
pub(crate) fn borne_area<L: Lane>(
    edge: Option<&Edge<L>>,
    foot: &[L; 3],
    gap: L,
    area: L,
    zero: L,
) -> (L, Option<[L; 2]>) {
    let area = gap.is_above(zero).choose(zero, area);
    let Some(edge) = edge else {
        return (area, None);
    };
    let full = edge.is_full(foot[0], foot[1]);
    if !area.is_above(zero).and_not(full).any() {
        return (area, None);
    }
    let own = edge.support(foot[0], foot[1]);
    let change = [full.choose(zero, own.change[0]), full.choose(zero, own.change[1])];
    (full.choose(area, area * own.weight), Some(change))
}

/// Support of the cells side by side: the weight, and its gradient along t and m over the weight, 1/mm.
pub(crate) struct Support<L> {
    pub weight: L,
    pub change: [L; 2],
}

impl<L: Lane> Edge<L> {
    /// `None` when the support has no edge.
    #[inline(always)]
    pub fn new(simd: L::Simd, bed: &Bed) -> Option<Self> {
        let Outline::Crater { fragment, edge } = bed.outline() else {
            return None;
        };
        let of = |value| L::of(simd, value);
        let (sin, cos) = fragment.tilt_sin_cos;
        Some(Self {
            sin: of(sin),
            cos: of(cos),
            distance: of(fragment.chord_distance),
            height: of(fragment.chord_height),
            wall: of(fragment.wall_radius(0.0)),
            taper: of(fragment.taper),
            half_chord: of(fragment.half_chord),
            face: fragment.socket.face_radius.map(|rho| [of(rho), of(rho * rho)]),
            per_width: of(1.0 / edge),
            zero: of(0.0),
            one: of(1.0),
        })
    }

    /// Where the support is full: without roots, because it is asked of every cell.
    #[inline(always)]
    pub fn is_full(&self, t: L, m: L) -> L::Mask {
        let e = self.distance.plus_product(m, self.sin);
        let z = self.height.minus_product(m, self.cos);
        let squared = (e * e).plus_product(t, t);
        let wall = self.wall.plus_product(z, self.taper);
        let mut full = self
            .half_chord
            .is_at_least(t.abs())
            .and(wall.is_at_least(self.zero))
            .and((wall * wall).is_at_least(squared));
        let low = self.zero.is_at_least(z);
        full = full.and(match self.face {
            None => low,
            Some([rho, rho_squared]) => {
                let under = rho - z;
                squared.plus_product(under, under).is_at_least(rho_squared).or(low)
            }
        });
        full
    }

    /// The support where it fades, that is where it is not full.
    #[inline(always)]
    pub fn support(&self, t: L, m: L) -> Support<L> {
        let (zero, one) = (self.zero, self.one);
        let e = self.distance + m * self.sin;
        let z = self.height - m * self.cos;
        let r = (e * e + t * t).sqrt();
        let inverse = r.is_above(zero).choose(one / r, zero);
        let (dr_dt, dr_dm) = (t * inverse, e * self.sin * inverse);
        // How far inside, and its gradient: of the ends, the face and the wall the least counts.
        let outward = t.is_at_least(zero).choose(-one, one);
        let mut least = [self.half_chord - t.abs(), outward, zero];
        let face = match self.face {
            None => [-z, zero, self.cos],
            Some([rho, rho_squared]) => {
                let reaches = rho.is_above(r);
                let across = (rho_squared - r * r).max(zero).sqrt();
                let slope = reaches.choose(r / across, zero);
                let height = rho - across;
                [height - z, slope * dr_dt, slope * dr_dm + self.cos]
            }
        };
        let wall = [self.wall + z * self.taper - r, -dr_dt, -(self.taper * self.cos) - dr_dm];
        for other in [face, wall] {
            let less = least[0].is_above(other[0]);
            for (least, other) in least.iter_mut().zip(other) {
                *least = less.choose(other, *least);
            }
        }
        let weight = one + least[0] * self.per_width;
        let supports = weight.is_above(zero);
        let fades = supports.and(one.is_above(weight));
        let scale = fades.choose(self.per_width / weight, zero);
        Support { weight: supports.choose(weight.min(one), zero), change: [least[1] * scale, least[2] * scale] }
    }
}
