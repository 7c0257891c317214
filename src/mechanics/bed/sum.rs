//! Sums over the cells of a bed: its wrench, and its tangent.
//!
//! The cells of a bed lie in one plane of the fragment, so a cell's arm from the moved reference
//! point is `r = r₀ + t a + m b` with the same three vectors for all. Every sum over cells of a
//! product with the arm is then a combination of sums of the cell's own quantity times 1, t, m, t²,
//! t m and m². A cell that bears the force f with the tangent `K = ∂f/∂x` adds `K`, `−K [r]×`,
//! `[r]× K` and `−[r]× K [r]× + [f]× [r]×` to the four blocks of the tangent.
//!
//! The sums go over eight cells at a time on every processor (see `lane`), so that every processor
//! gives the same digits.

use super::cells::BedMemory;
use super::edge::{Edge, borne_area};
use super::law::{CellLaw, Past, Rise};
use super::{Bed, CellLoad, Feet, LocalPose};
use crate::math::{Mat3, Vec3, cross};
use crate::mechanics::lane::{FILLED, Lane, Mask, SUMMED, Work};
use std::ops::Range;

/// Cells whose quantities are held before they are summed.
const BLOCK: usize = 32;

/// A block of cells under work: one quantity after the other.
struct Held {
    /// Per area: the tangent in the order of [`Borne::tangent`](super::law::Borne) (MPa/mm), then the force
    /// (MPa).
    per_area: [[f64; BLOCK]; QUANTITIES],
    /// Where each cell is (3), and how far its asperities lift it: height, slope (2), curvature (3).
    placed: [[f64; BLOCK]; 9],
    /// Area borne, mm², times 1, t, m, t², t m, m².
    area: [[f64; BLOCK]; 6],
}

/// Where the force begins among the quantities per area.
const FORCE: usize = 9;
/// How many they are.
const QUANTITIES: usize = 12;

/// The sums over all cells of a bed.
pub(crate) struct Sums<'a> {
    pub bed: &'a Bed,
    pub local: &'a LocalPose,
    pub past: &'a BedMemory,
    /// Whether the tangent is wanted, or the load alone.
    pub with_tangent: bool,
}

/// Force and moment about the moved reference point and, if wanted, the tangent in four blocks
/// (force–shift, force–turn, moment–shift, moment–turn), in bed axes with a right-handed cross product.
pub(crate) struct Summed {
    pub force: Vec3,
    pub moment: Vec3,
    pub blocks: [Mat3; 4],
}

impl Work for Sums<'_> {
    type Output = Summed;

    #[inline(always)]
    fn run<E: Lane, L: Lane<Simd = E::Simd>>(self, simd: E::Simd) -> Summed {
        if self.with_tangent { self.sum::<E, L, true>(simd) } else { self.sum::<E, L, false>(simd) }
    }
}

impl Sums<'_> {
    #[inline(always)]
    fn sum<E: Lane, L: Lane<Simd = E::Simd>, const TANGENT: bool>(&self, simd: E::Simd) -> Summed {
        let arms = self.local.arms();
        let feet = Feet::<E>::new(simd, self.local);
        let law = CellLaw::<E>::new(simd, &self.bed.law);
        let edge = Edge::<E>::new(simd, self.bed);
        let mut held =
            Held { per_area: [[0.0; BLOCK]; QUANTITIES], placed: [[0.0; BLOCK]; 9], area: [[0.0; BLOCK]; 6] };
        let mut sums = [[L::of(simd, 0.0); 6]; QUANTITIES];
        let length = self.bed.columns.t.len();
        let mut start = 0;
        while start < length {
            let range = start..length.min(start + BLOCK);
            self.bear::<E, TANGENT>(simd, (&feet, &law), edge.as_ref(), &range, &mut held);
            self.weigh::<L, TANGENT>(simd, &range, &mut held, &mut sums);
            start += BLOCK;
        }
        let mut totals = [[0.0; 6]; QUANTITIES];
        for (total, sum) in totals.as_flattened_mut().iter_mut().zip(sums.as_flattened()) {
            *total = sum.total();
        }
        let sums = totals;
        let moments = Moments(
            [0, 1, 2].map(|power| Vec3::new(sums[FORCE][power], sums[FORCE + 1][power], sums[FORCE + 2][power])),
        );
        Summed {
            force: moments.0[0],
            moment: moments.moment(&arms),
            blocks: if TANGENT { blocks(&arms, &sums, &moments) } else { [Mat3::zeros(); 4] },
        }
    }

    /// The law in the cells of a range.
    #[inline(always)]
    fn bear<L: Lane, const TANGENT: bool>(
        &self,
        simd: L::Simd,
        (feet, law): (&Feet<L>, &CellLaw<L>),
        edge: Option<&Edge<L>>,
        range: &Range<usize>,
        held: &mut Held,
    ) {
        let columns = &self.bed.columns;
        let [ts, ms, areas] = [&columns.t, &columns.m, &columns.area].map(|c| L::column(&c[range.clone()]));
        let past = [&self.past.t, &self.past.m, &self.past.level].map(|c| L::column(&c[range.clone()]));
        let per_area = held.per_area.each_mut().map(|c| L::column_mut(c));
        let borne = L::column_mut(&mut held.area[0]);
        let lane = |packed| L::unpack(simd, packed);
        let zero = L::of(simd, 0.0);
        // In two rounds, each with few enough numbers under way to be held in registers.
        let placed = held.placed.each_mut().map(|c| L::column_mut(c));
        for v in 0..ts.len() {
            let (t, m) = (lane(ts[v]), lane(ms[v]));
            let foot = feet.at(t, m);
            let rise = law.rise([foot[0] - t, foot[1] - m]);
            let [x, y, z] = foot;
            let [gx, gy] = rise.slope;
            let [cxx, cxy, cyy] = rise.curvature;
            // The curvature counts in the tangent alone.
            let kept = if TANGENT { 9 } else { 6 };
            for (q, own) in [x, y, z, rise.height, gx, gy, cxx, cxy, cyy].into_iter().enumerate().take(kept) {
                placed[q][v] = own.pack();
            }
        }
        for v in 0..ts.len() {
            let (t, m) = (lane(ts[v]), lane(ms[v]));
            let foot = [lane(placed[0][v]), lane(placed[1][v]), lane(placed[2][v])];
            let risen = Rise {
                height: lane(placed[3][v]),
                slope: [lane(placed[4][v]), lane(placed[5][v])],
                curvature: [lane(placed[6][v]), lane(placed[7][v]), lane(placed[8][v])],
            };
            let past = Past { slip: [lane(past[0][v]), lane(past[1][v])], level: lane(past[2][v]) };
            let cell = law.bear_risen(foot[2], [foot[0] - t, foot[1] - m], risen, &past);
            let (area, support) = borne_area(edge, &foot, cell.gap, lane(areas[v]), zero);
            borne[v] = area.pack();
            let [sx, sy] = cell.shear;
            for (q, force) in [sx, sy, cell.pressure].into_iter().enumerate() {
                per_area[FORCE + q][v] = force.pack();
            }
            if TANGENT {
                let [mut xx, mut xy, mut yx, mut yy, xz, yz, mut zx, mut zy, zz] = cell.tangent;
                // Where the support fades, the borne area changes with the place.
                if let Some([gx, gy]) = support {
                    xx = xx.plus_product(sx, gx);
                    xy = xy.plus_product(sx, gy);
                    yx = yx.plus_product(sy, gx);
                    yy = yy.plus_product(sy, gy);
                    zx = zx.plus_product(cell.pressure, gx);
                    zy = zy.plus_product(cell.pressure, gy);
                }
                for (q, own) in [xx, xy, yx, yy, xz, yz, zx, zy, zz].into_iter().enumerate() {
                    per_area[q][v] = own.pack();
                }
            }
        }
    }

    /// Adds a block's quantities times its areas to the sums.
    #[inline(always)]
    fn weigh<L: Lane, const TANGENT: bool>(
        &self,
        simd: L::Simd,
        range: &Range<usize>,
        held: &mut Held,
        sums: &mut [[L; 6]; QUANTITIES],
    ) {
        let columns = &self.bed.columns;
        let lane = |packed| L::unpack(simd, packed);
        let powers =
            [&columns.t, &columns.m, &columns.tt, &columns.tm, &columns.mm].map(|c| L::column(&c[range.clone()]));
        let area = held.area.each_mut().map(|c| L::column_mut(c));
        let count = powers[0].len();
        for v in 0..count {
            let own = lane(area[0][v]);
            for (j, power) in powers.iter().enumerate().take(if TANGENT { 5 } else { 2 }) {
                area[j + 1][v] = (own * lane(power[v])).pack();
            }
        }
        let first = if TANGENT { 0 } else { FORCE };
        for (q, sum) in sums.iter_mut().enumerate().skip(first) {
            let quantity = L::column(&held.per_area[q]);
            // A force needs its product with the arm, a tangent with the arm twice.
            if q >= FORCE {
                add_products::<L, 3>(simd, sum, &quantity[..count], &area);
            } else {
                add_products::<L, 6>(simd, sum, &quantity[..count], &area);
            }
        }
    }
}

/// Adds a quantity times the first `N` of the areas.
#[inline(always)]
fn add_products<L: Lane, const N: usize>(
    simd: L::Simd,
    sum: &mut [L; 6],
    quantity: &[L::Packed],
    area: &[&mut [L::Packed]; 6],
) {
    let mut total = [sum[0]; N];
    total.copy_from_slice(&sum[..N]);
    for (v, own) in quantity.iter().enumerate() {
        for (total, area) in total.iter_mut().zip(area) {
            *total = total.plus_product(L::unpack(simd, *own), L::unpack(simd, area[v]));
        }
    }
    sum[..N].copy_from_slice(&total);
}

/// Sums of filled columns, one a quantity, in one order.
#[inline(always)]
pub(super) fn totals<L: Lane, const N: usize>(simd: L::Simd, sums: &[[f64; FILLED]; N]) -> [f64; N] {
    let mut totals = [0.0; N];
    for (total, sum) in totals.iter_mut().zip(sums) {
        let halves = L::column(sum);
        *total = (L::unpack(simd, halves[0]) + L::unpack(simd, halves[1])).total();
    }
    totals
}

/// The arm from the moved reference point to a cell: r = at + t·along + m·down, bed axes, mm.
pub(crate) struct Arms {
    pub at: Vec3,
    pub along: Vec3,
    pub down: Vec3,
}

/// Σ f, Σ t f and Σ m f over the cells.
pub(super) struct Moments(pub [Vec3; 3]);

impl Moments {
    pub fn moment(&self, arms: &Arms) -> Vec3 {
        arms.at.cross(&self.0[0]) + arms.along.cross(&self.0[1]) + arms.down.cross(&self.0[2])
    }

    /// Σ r fᵀ.
    fn arm_force(&self, arms: &Arms) -> Mat3 {
        arms.at * self.0[0].transpose() + arms.along * self.0[1].transpose() + arms.down * self.0[2].transpose()
    }
}

/// The four blocks of the tangent from the sums over all cells.
fn blocks(arms: &Arms, sums: &[[f64; 6]; QUANTITIES], forces: &Moments) -> [Mat3; 4] {
    let [at, along, down] = [&arms.at, &arms.along, &arms.down].map(cross);
    let k = [0, 1, 2, 3, 4, 5].map(|power| {
        let [xx, xy, yx, yy, xz, yz, zx, zy, zz] = std::array::from_fn(|q| sums[q][power]);
        Mat3::new(xx, xy, xz, yx, yy, yz, zx, zy, zz)
    });
    // Σ K [r]× with the weights 1, t and m.
    let turned = [
        k[0] * at + k[1] * along + k[2] * down,
        k[1] * at + k[3] * along + k[4] * down,
        k[2] * at + k[4] * along + k[5] * down,
    ];
    let arm_force = forces.arm_force(arms);
    [
        k[0],
        -turned[0],
        at * k[0] + along * k[1] + down * k[2],
        // The arms turn with the fragment: Σ (δθ × r) × f = (Σ r fᵀ − (Σ r·f) I) δθ.
        arm_force - Mat3::identity() * arm_force.trace() - at * turned[0] - along * turned[1] - down * turned[2],
    ]
}

/// What each cell bears.
pub(crate) struct Each<'a> {
    pub bed: &'a Bed,
    pub local: &'a LocalPose,
    pub past: &'a BedMemory,
}

impl Work for Each<'_> {
    type Output = Vec<CellLoad>;

    #[inline(always)]
    fn run<E: Lane, L: Lane<Simd = E::Simd>>(self, simd: E::Simd) -> Vec<CellLoad> {
        let feet = Feet::<L>::new(simd, self.local);
        let law = CellLaw::<L>::new(simd, &self.bed.law);
        let edge = Edge::new(simd, self.bed);
        let (zero, one) = (L::of(simd, 0.0), L::of(simd, 1.0));
        let lane = |packed| L::unpack(simd, packed);
        let [ts, ms] = [&self.bed.columns.t, &self.bed.columns.m].map(|c| L::column(c));
        let past = [&self.past.t, &self.past.m, &self.past.level].map(|c| L::column(c));
        let mut loads = Vec::with_capacity(ts.len() * SUMMED);
        for v in 0..ts.len() {
            let (t, m) = (lane(ts[v]), lane(ms[v]));
            let foot = feet.at(t, m);
            let slide = [foot[0] - t, foot[1] - m];
            let past = Past { slip: [lane(past[0][v]), lane(past[1][v])], level: lane(past[2][v]) };
            let cell = law.bear(foot[2], slide, &past);
            let (weight, _) = borne_area(edge.as_ref(), &foot, cell.gap, one, zero);
            let [[sx, sy], [fx, fy], [gx, gy]] = [cell.shear, cell.friction, cell.slope];
            let [px, py, pz] = foot;
            let quantities = [weight, cell.pressure, sx, sy, fx, fy, gx, gy, px, py, pz];
            let mut held = [[0.0; SUMMED]; 11];
            for (held, quantity) in held.iter_mut().zip(quantities) {
                L::column_mut(held)[0] = quantity.pack();
            }
            loads.extend((0..SUMMED).map(|k| CellLoad {
                weight: held[0][k],
                pressure: held[1][k],
                shear: [held[2][k], held[3][k]],
                friction: [held[4][k], held[5][k]],
                slope: [held[6][k], held[7][k]],
                foot: Vec3::new(held[8][k], held[9][k], held[10][k]),
            }));
        }
        loads.truncate(self.bed.cells.len());
        loads
    }
}

/// Commits an accepted state to the cells' memory: what the shear of friction does not need elastically has
/// slipped, and what pressure beyond the crush strength would take has yielded. Gives the work lost by both,
/// N·mm: Σ A w (|q| |Δs_p| + p_c |Δg_p|), with the shear q that a cell bears there. Of first order in the step,
/// like the return itself; exact where pressure does not change meanwhile. Never negative beyond rounding, zero
/// where every cell sticks.
pub(crate) struct Commit<'a> {
    pub bed: &'a Bed,
    pub local: &'a LocalPose,
    pub past: &'a mut BedMemory,
}

impl Work for Commit<'_> {
    /// Against friction, and by crushing.
    type Output = [f64; 2];

    #[inline(always)]
    fn run<E: Lane, L: Lane<Simd = E::Simd>>(self, simd: E::Simd) -> [f64; 2] {
        let feet = Feet::<E>::new(simd, self.local);
        let law = CellLaw::<E>::new(simd, &self.bed.law);
        let edge = Edge::new(simd, self.bed);
        let softness = E::of(simd, 1.0) / E::of(simd, self.bed.law.shear);
        let lane = |packed| E::unpack(simd, packed);
        let columns = &self.bed.columns;
        let [ts, ms, areas] = [&columns.t, &columns.m, &columns.area].map(|c| E::column(c.as_slice()));
        let slip = [E::column_mut(&mut self.past.t), E::column_mut(&mut self.past.m)];
        let levels = E::column_mut(&mut self.past.level);
        // Lost in each lane of a filled column, in as many registers as they are.
        let mut lost = [[0.0; FILLED]; 2];
        let [rubbed, crushed] = lost.each_mut().map(|lost| E::column_mut(lost));
        for v in 0..ts.len() {
            let (t, m) = (lane(ts[v]), lane(ms[v]));
            let was = [lane(slip[0][v]), lane(slip[1][v])];
            let foot = feet.at(t, m);
            let slide = [foot[0] - t, foot[1] - m];
            let past = Past { slip: was, level: lane(levels[v]) };
            let cell = law.bear(foot[2], slide, &past);
            if !cell.slips.or(cell.yields).any() {
                continue;
            }
            let (area, _) = borne_area(edge.as_ref(), &foot, cell.gap, lane(areas[v]), E::of(simd, 0.0));
            let lane_of = v % rubbed.len();
            let own = &mut rubbed[lane_of];
            for j in 0..2 {
                let now = cell.slips.choose(slide[j] + cell.friction[j] * softness, was[j]);
                *own = (lane(*own) - cell.friction[j] * (now - was[j]) * area).pack();
                slip[j][v] = now.pack();
            }
            let level = law.level(&cell, &past);
            let own = &mut crushed[lane_of];
            *own = (lane(*own) + cell.pressure * (past.level - level) * area).pack();
            levels[v] = level.pack();
        }
        totals::<L, 2>(simd, &lost)
    }
}

#[cfg(test)]
pub(super) mod tests {
    use super::super::{Asperity, BedLaw};
    use super::*;
    use crate::anatomy::{Fragment, FragmentShape, Socket};
    use crate::math::{Vec6, rotation};
    use crate::mechanics::Pose;
    use crate::mechanics::lane::{Eight, in_lanes};
    use pulp::WithSimd;

    /// A bed under a fragment that hangs over its edge, tilts and slips: every branch of the law.
    pub fn under_work() -> (Bed, Pose, Vec3, BedMemory) {
        let socket = Socket { radius: 13.0, face_radius: Some(30.0) };
        let shape = FragmentShape { width: 6.0, direction: 0.1, depth: 9.0, tilt: 0.15, length: None };
        let fragment = Fragment::new(socket, shape).unwrap();
        let law = BedLaw {
            asperities: Asperity { angle: 0.3, height: 0.5, rounding: 0.1 },
            crush: 5.0,
            ..BedLaw::plane(40.0, 20.0, 0.5)
        };
        // 407 cells: no multiple of any number of lanes.
        let bed = Bed::of_fragment(&fragment, law, 0.5, 407);
        let pose = Pose {
            shift: -fragment.along * 0.6 + fragment.down * 0.3 - fragment.normal * 0.02,
            turn: rotation(&(fragment.along * 0.01 + fragment.normal * 0.02)),
        };
        let mut slip = BedMemory::none(bed.cells.len());
        for k in 0..bed.cells.len() {
            slip.t[k] = -0.6 + 0.02 * libm::sin(k as f64);
            slip.m[k] = 0.3 + 0.02 * libm::cos(1.7 * k as f64);
        }
        (bed, pose, fragment.centroid, slip)
    }

    #[test]
    fn sums_agree_with_the_law_of_single_cells_whatever_the_lanes() {
        let (bed, pose, reference, slip) = under_work();
        let local = bed.local(&pose, &reference);
        let sums = || Sums { bed: &bed, local: &local, past: &slip, with_tangent: true };
        let wide = in_lanes(sums());
        let single = Eight(sums()).with_simd(pulp::Scalar::new());
        let (mut force, mut moment) = (Vec3::zeros(), Vec3::zeros());
        let mut branches = [false; 4];
        for (load, cell) in bed.loads(&pose, &reference, &slip).zip(&bed.cells) {
            let own = Vec3::new(load.shear[0], load.shear[1], load.pressure) * (cell.area * load.weight);
            force += own;
            moment += (load.foot - local.base + local.arms().at).cross(&own);
            let limit = bed.law.friction * load.pressure;
            let slips = libm::hypot(load.shear[0], load.shear[1]) > 0.999_999 * limit;
            branches[0] |= load.weight > 0.0 && slips;
            branches[1] |= load.weight > 0.0 && !slips;
            branches[2] |= load.weight > 0.0 && load.weight < 1.0;
            branches[3] |= load.foot.z > 0.0;
        }
        assert_eq!(branches, [true; 4], "slipping, sticking, fading, lifted");
        // Sums of some 400 terms in another order: 400 × 1e-16 of the sum of magnitudes, with margin.
        let scale = force.norm();
        let close = |a: &Vec3, b: &Vec3, size: f64| (a - b).norm() < 1e-12 * size;
        assert!(close(&wide.force, &force, scale));
        assert!(close(&wide.moment, &moment, scale * bed.gyration));
        // Whatever the registers, to the last digit.
        assert_eq!((wide.force, wide.moment, wide.blocks), (single.force, single.moment, single.blocks));
        let committed = |single: bool| {
            let mut slip = slip.clone();
            let commit = Commit { bed: &bed, local: &local, past: &mut slip };
            let work = if single { Eight(commit).with_simd(pulp::Scalar::new()) } else { in_lanes(commit) };
            (work, slip)
        };
        assert_eq!(committed(true), committed(false));
        // The load alone is the same as with its tangent.
        let mut with = Vec6::zeros();
        let mut without = Vec6::zeros();
        let mut tangent = crate::math::Mat6::zeros();
        bed.add(&pose, &reference, &slip, &mut with, Some(&mut tangent));
        bed.add(&pose, &reference, &slip, &mut without, None);
        assert!((with - without).norm() < 1e-12 * with.norm());
    }
}
