//! The law of the bed for the cells side by side: what [`Bed`](super::bed::Bed) says of one cell.
//! Every cell is rounded alike on every processor.

use super::bed::{Bed, LIMIT_MARGIN, LocalPose};
use super::bed_columns::Slip;
use super::bed_edge::{Edge, borne_area};
use super::lane::{FILLED, Lane, Mask, Work};

/// What the cells side by side do.
pub(super) struct Borne<L: Lane> {
    pub foot: [L; 3],
    pub slide: [L; 2],
    /// Pressure, MPa.
    pub pressure: L,
    /// Direction of the elastic stretch where it slips; zero where it sticks.
    pub direction: [L; 2],
    /// One over the stretch where it slips, 1/mm; zero where it sticks.
    pub inverse: L,
    /// Shear on the fragment, MPa.
    pub shear: [L; 2],
    pub slips: L::Mask,
}

/// The law with its constants in lanes.
pub(super) struct Law<L> {
    pub base: [L; 3],
    pub turn: [[L; 2]; 3],
    pub normal: L,
    pub stiffness: L,
    pub friction: L,
    pub margin: L,
    pub zero: L,
    pub one: L,
}

impl<L: Lane> Law<L> {
    #[inline(always)]
    pub fn new(simd: L::Simd, bed: &Bed, local: &LocalPose) -> Self {
        let of = |value| L::of(simd, value);
        let turn = &local.turn;
        Self {
            base: [of(local.base.x), of(local.base.y), of(local.base.z)],
            turn: [
                [of(turn[(0, 0)]), of(turn[(0, 1)])],
                [of(turn[(1, 0)]), of(turn[(1, 1)])],
                [of(turn[(2, 0)]), of(turn[(2, 1)])],
            ],
            normal: of(bed.law.normal),
            stiffness: of(bed.law.shear),
            friction: of(bed.law.friction),
            margin: of(1.0 + LIMIT_MARGIN),
            zero: of(0.0),
            one: of(1.0),
        }
    }

    #[inline(always)]
    pub fn bear(&self, t: L, m: L, slip: [L; 2]) -> Borne<L> {
        let zero = self.zero;
        let at = |j: usize| self.base[j] + self.turn[j][0] * t + self.turn[j][1] * m;
        let foot = [at(0), at(1), at(2)];
        let pressure = self.normal * (-foot[2]).max(zero);
        let slide = [foot[0] - t, foot[1] - m];
        let stretch = [slide[0] - slip[0], slide[1] - slip[1]];
        let length = (stretch[0] * stretch[0] + stretch[1] * stretch[1]).sqrt();
        let limit = self.friction * pressure;
        let slips = (self.stiffness * length).is_above(limit * self.margin);
        let inverse = slips.choose(self.one / length, zero);
        let direction = [stretch[0] * inverse, stretch[1] * inverse];
        let shear = |j: usize| slips.choose(-(limit * direction[j]), -(self.stiffness * stretch[j]));
        Borne { shear: [shear(0), shear(1)], foot, slide, pressure, direction, inverse, slips }
    }
}

/// Commits the slip of an accepted state: what the shear does not need elastically has slipped.
/// Gives the work done against friction by it, N·mm: Σ A w |q| |Δs_p|, with the shear q that a cell
/// bears there. Of first order in the step, like the radial return itself; exact where pressure does
/// not change while a cell slips. Never negative beyond rounding, zero where every cell sticks.
pub(super) struct Commit<'a> {
    pub bed: &'a Bed,
    pub local: &'a LocalPose,
    pub slip: &'a mut Slip,
}

impl Work for Commit<'_> {
    type Output = f64;

    #[inline(always)]
    fn run<E: Lane, L: Lane<Simd = E::Simd>>(self, simd: E::Simd) -> f64 {
        let law = Law::<E>::new(simd, self.bed, self.local);
        let edge = Edge::new(simd, self.bed);
        let softness = law.one / E::of(simd, self.bed.law.shear);
        let lane = |packed| E::unpack(simd, packed);
        let columns = &self.bed.columns;
        let [ts, ms, areas] = [&columns.t, &columns.m, &columns.area].map(|c| E::column(c.as_slice()));
        let slip = [E::column_mut(&mut self.slip.t), E::column_mut(&mut self.slip.m)];
        // Lost in each of eight lanes, in as many registers as they are.
        let mut lost = [0.0; FILLED];
        let work = E::column_mut(&mut lost);
        for v in 0..ts.len() {
            let was = [lane(slip[0][v]), lane(slip[1][v])];
            let cell = law.bear(lane(ts[v]), lane(ms[v]), was);
            if !cell.slips.any() {
                continue;
            }
            let (area, _) = borne_area(edge.as_ref(), &cell.foot, lane(areas[v]), law.zero);
            for j in 0..2 {
                let slipped = cell.slide[j] + cell.shear[j] * softness;
                let now = cell.slips.choose(slipped, was[j]);
                let own = &mut work[v % work.len()];
                *own = (lane(*own) - cell.shear[j] * (now - was[j]) * area).pack();
                slip[j][v] = now.pack();
            }
        }
        L::unpack(simd, L::column(&lost)[0]).total()
    }
}
