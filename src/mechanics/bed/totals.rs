//! What all cells of a bed bear together, read back from a state: the numbers that are reported, and the bed's part of a
//! certificate.

use super::cells::BedMemory;
use super::edge::{Edge, borne_area};
use super::law::{CellLaw, Past};
use super::sum::{Moments, totals};
use super::{Bed, Feet, LocalPose};
use crate::math::{Vec3, Vec6, stack};
use crate::mechanics::lane::{FILLED, Lane, Mask, Work, in_lanes};
use crate::mechanics::pose::Pose;

/// Share of its limit from which something counts as on it: what slips stands on its limit but for rounding.
pub(crate) const ON_LIMIT: f64 = 1.0 - 1e-9;

/// What a bed bears in a state. Forces on the fragment in bed axes (along the chord, down the plane, normal); areas and
/// pressures of cells in contact count with their support weight where nothing else is said.
#[derive(Debug, Clone, PartialEq)]
pub struct BedTotals {
    /// Sum of pressures, N.
    pub compression: f64,
    /// Shear of friction, N.
    pub friction: [f64; 2],
    /// Shear of pressure on the flanks of the asperities, N.
    pub keyed: [f64; 2],
    /// First moments Σ x p A of the pressures in bed coordinates, N·mm.
    pub first_moment: [f64; 2],
    /// Area in contact, mm².
    pub touching: f64,
    /// Area in contact that slides, mm².
    pub sliding: f64,
    /// Whole area of the cells that have been crushed, in contact or not, mm².
    pub crushed: f64,
    /// Largest pressure, MPa.
    pub peak_pressure: f64,
    /// Least pressure of a cell before weighting, MPa: never below zero.
    pub least_pressure: f64,
    /// Largest excess of a cell's shear of friction over its limit before weighting, MPa: negative where all stick; no
    /// number where a force is none.
    pub friction_excess: f64,
    /// Force and moment about the moved reference point, in the socket frame (N, N·mm).
    pub wrench: Vec6,
}

impl BedTotals {
    /// Share of the area of `bed`, of which they are, in contact.
    pub fn contact(&self, bed: &Bed) -> f64 {
        self.touching / bed.area
    }
}

impl Bed {
    /// What the cells bear together at `pose` with what they remember.
    pub fn totals(&self, pose: &Pose, reference: &Vec3, past: &BedMemory) -> BedTotals {
        let local = self.local(pose, reference);
        let (sums, most) = in_lanes(Totals { bed: self, local: &local, past });
        // Force, and force times each cell's place t and m.
        let moments = Moments([0, 3, 6].map(|first| Vec3::new(sums[first], sums[first + 1], sums[first + 2])));
        let [force, by_t, by_m] = &moments.0;
        let [fx, fy] = [sums[9], sums[10]];
        let feet = local.base * force.z + local.turn.column(0) * by_t.z + local.turn.column(1) * by_m.z;
        let moment = moments.moment(&local.arms()) * self.hand;
        let wrench = stack(&(self.axes * force), &(self.axes * moment));
        BedTotals {
            compression: force.z,
            friction: [fx, fy],
            keyed: [force.x - fx, force.y - fy],
            first_moment: [feet.x, feet.y],
            touching: sums[11],
            sliding: sums[12],
            crushed: sums[13],
            peak_pressure: most[0].max(0.0),
            least_pressure: -most[1],
            // A largest value passes over what is no number; a sum does not.
            friction_excess: if wrench.iter().all(|value| value.is_finite()) { most[2] } else { f64::NAN },
            wrench,
        }
    }
}

/// How many sums there are, and how many largest values.
const SUMS: usize = 14;
const LARGEST: usize = 3;

struct Totals<'a> {
    bed: &'a Bed,
    local: &'a LocalPose,
    past: &'a BedMemory,
}

impl Work for Totals<'_> {
    type Output = ([f64; SUMS], [f64; LARGEST]);

    #[inline(always)]
    fn run<E: Lane, L: Lane<Simd = E::Simd>>(self, simd: E::Simd) -> Self::Output {
        let feet = Feet::<E>::new(simd, self.local);
        let law = CellLaw::<E>::new(simd, &self.bed.law);
        let edge = Edge::<E>::new(simd, self.bed);
        let [zero, one] = [0.0, 1.0].map(|value| E::of(simd, value));
        let (friction, none) = (E::of(simd, self.bed.law.friction), E::of(simd, f64::NEG_INFINITY));
        let on_limit = E::of(simd, ON_LIMIT);
        let lane = |packed| E::unpack(simd, packed);
        let columns = &self.bed.columns;
        let [ts, ms, areas] = [&columns.t, &columns.m, &columns.area].map(|c| E::column(c.as_slice()));
        let past = [&self.past.t, &self.past.m, &self.past.level].map(|c| E::column(c.as_slice()));
        // One entry for each lane of a filled column, in as many registers as they are.
        let (mut sums, mut most) = ([[0.0; FILLED]; SUMS], [[f64::NEG_INFINITY; FILLED]; LARGEST]);
        let mut summed = sums.each_mut().map(|own| E::column_mut(own));
        let mut largest = most.each_mut().map(|own| E::column_mut(own));
        for v in 0..ts.len() {
            let (t, m) = (lane(ts[v]), lane(ms[v]));
            let foot = feet.at(t, m);
            let past = Past { slip: [lane(past[0][v]), lane(past[1][v])], level: lane(past[2][v]) };
            let cell = law.bear(foot[2], [foot[0] - t, foot[1] - m], &past);
            let whole = lane(areas[v]);
            let (weight, _) = borne_area(edge.as_ref(), &foot, cell.gap, one, zero);
            let area = whole * weight;
            let force = [cell.shear[0] * area, cell.shear[1] * area, cell.pressure * area];
            let [fx, fy] = cell.friction;
            let squared = (fx * fx).plus_product(fy, fy);
            let limit = friction * cell.pressure;
            let near = limit * on_limit;
            let touches = force[2].is_above(zero);
            let slides = touches.and(squared.is_at_least(near * near));
            let crushed = cell.yields.or(zero.is_above(past.level));
            let own = [
                force[0],
                force[1],
                force[2],
                force[0] * t,
                force[1] * t,
                force[2] * t,
                force[0] * m,
                force[1] * m,
                force[2] * m,
                fx * area,
                fy * area,
                touches.choose(area, zero),
                slides.choose(area, zero),
                crushed.choose(whole, zero),
            ];
            let lane_of = v % summed[0].len();
            for (sum, own) in summed.iter_mut().zip(own) {
                sum[lane_of] = (lane(sum[lane_of]) + own).pack();
            }
            let most_of = [cell.pressure * weight, -cell.pressure, squared.sqrt() - limit];
            // What fills the columns up is no cell.
            let real = whole.is_above(zero);
            for (most, own) in largest.iter_mut().zip(most_of) {
                most[lane_of] = real.choose(own, none).max(lane(most[lane_of])).pack();
            }
        }
        (totals::<L, SUMS>(simd, &sums), most.map(|most| most.into_iter().fold(f64::NEG_INFINITY, f64::max)))
    }
}

#[cfg(test)]
mod tests {
    use super::super::sum::tests::under_work;
    use super::*;
    use crate::mechanics::Certificate;
    use crate::mechanics::lane::Eight;
    use pulp::WithSimd;

    /// Every total against a sum over single cells, and the same digits whatever the registers.
    #[test]
    fn totals_are_those_of_the_single_cells() {
        let (mut bed, pose, reference, mut past) = under_work();
        // Some cells are crushed now, some have been, some lift; what fills the columns up remembers nothing.
        bed.law.crush = 7.0;
        (0..bed.cells.len()).step_by(3).for_each(|k| past.level[k] = -0.2);
        let own = bed.totals(&pose, &reference, &past);
        let mut sums = [0.0; 10];
        let (mut peak, mut least, mut excess) = (0.0f64, f64::INFINITY, f64::NEG_INFINITY);
        for (k, (load, cell)) in bed.loads(&pose, &reference, &past).zip(&bed.cells).enumerate() {
            let area = cell.area * load.weight;
            let (force, shear) = (load.pressure * area, libm::hypot(load.friction[0], load.friction[1]));
            let limit = bed.law.friction * load.pressure;
            let touches = if force > 0.0 { area } else { 0.0 };
            let slides = if shear > 0.999_999 * limit { touches } else { 0.0 };
            let crushed = if past.level[k] < 0.0 || load.pressure >= bed.law.crush { cell.area } else { 0.0 };
            let [fx, fy] = load.friction;
            let [kx, ky] = [load.shear[0] - fx, load.shear[1] - fy];
            let [x, y, _] = load.foot.into();
            let of_cell =
                [force, fx * area, fy * area, kx * area, ky * area, x * force, y * force, touches, slides, crushed];
            sums.iter_mut().zip(of_cell).for_each(|(sum, own)| *sum += own);
            peak = peak.max(load.pressure * load.weight);
            least = least.min(load.pressure);
            excess = excess.max(shear - limit);
        }
        let [fx, fy] = own.friction;
        let [kx, ky] = own.keyed;
        let [x, y] = own.first_moment;
        let own_sums = [own.compression, fx, fy, kx, ky, x, y, own.touching, own.sliding, own.crushed];
        for (own, sum) in own_sums.iter().zip(sums) {
            // 400 terms in another order, against forces of some hundred newtons with arms of some ten millimetres.
            assert!((own - sum).abs() < 1e-10, "{own} {sum}");
            assert_ne!(sum, 0.0);
        }
        assert_eq!((own.peak_pressure, own.least_pressure), (peak, least));
        // The root is taken otherwise.
        assert!((own.friction_excess - excess).abs() < 1e-14);
        let mut wrench = Vec6::zeros();
        bed.add(&pose, &reference, &past, &mut wrench, None);
        assert!((own.wrench - wrench).norm() < 1e-12 * wrench.norm());
        let local = bed.local(&pose, &reference);
        let work = || Totals { bed: &bed, local: &local, past: &past };
        assert_eq!(in_lanes(work()), Eight(work()).with_simd(pulp::Scalar::new()));
    }

    /// Where a force is no number the largest excess of friction is none, and so no certificate holds.
    #[test]
    fn what_is_no_number_is_told() {
        let (bed, mut pose, reference, past) = under_work();
        pose.shift.z = f64::NAN;
        let own = bed.totals(&pose, &reference, &past);
        assert!(own.friction_excess.is_nan());
        let certificate = Certificate { friction_excess: own.friction_excess, ..Certificate::default() };
        assert!(!certificate.holds() && Certificate::default().holds());
    }
}
