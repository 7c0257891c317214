//! The bed: a unilateral elastic foundation of mated asperities with Coulomb friction under the fracture
//! surface.
//!
//! What a cell bears is written in `law`; pressure and shear are multiplied by the support weight
//! `w = clamp(1 + q/f, 0, 1)` of the cell's foot on the bed plane, where q is the crater outline's margin.
//!
//! Inside this file everything is in bed axes (along the chord t, down the plane m, normal n).

mod cells;
mod edge;
mod law;
mod sum;
mod totals;

pub use cells::BedMemory;
pub use totals::BedTotals;
pub(crate) use totals::ON_LIMIT;

use super::element::{At, Element, FRAGMENT, Lost};
use super::lane::{Lane, in_lanes};
use super::pose::Pose;
use super::rig::{Controls, Rig, State};
use super::solver::Balance;
use crate::anatomy::Fragment;
use crate::math::{Mat3, Mat6, Vec3, Vec6, add_block, stack, upper};
use cells::Columns;
use sum::{Arms, Commit, Each, Sums};

/// Where the bed supports.
#[derive(Debug, Clone, PartialEq)]
pub enum Outline {
    /// Everywhere: an endless plane.
    Unbounded,
    /// Inside the crater of a fragment, fading over `edge` mm outside it.
    Crater {
        /// The fragment whose crater it is.
        fragment: Box<Fragment>,
        /// Fading width f, mm.
        edge: f64,
    },
}

/// Material of the bed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BedLaw {
    /// Normal stiffness k_n, MPa/mm.
    pub normal: f64,
    /// Shear stiffness k_t, MPa/mm.
    pub shear: f64,
    /// Friction coefficient μ, without asperities.
    pub friction: f64,
    /// How its surfaces are mated.
    pub asperities: Asperity,
    /// Crush strength p_c, MPa; infinite where nothing crushes.
    pub crush: f64,
}

impl BedLaw {
    /// A plane bed without asperities that never crushes.
    pub const fn plane(normal: f64, shear: f64, friction: f64) -> Self {
        Self { normal, shear, friction, asperities: Asperity::PLANE, crush: f64::INFINITY }
    }
}

/// The asperities of mated fracture surfaces.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Asperity {
    /// Angle i₀ at which they ride up, rad; zero of a plane bed.
    pub angle: f64,
    /// Height a of the asperities, mm.
    pub height: f64,
    /// Rounding σ₀ of their hollows, mm.
    pub rounding: f64,
}

impl Asperity {
    /// None: a plane.
    pub const PLANE: Self = Self { angle: 0.0, height: 1.0, rounding: 1.0 };
}

/// A cell of the fragment's fracture surface.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cell {
    /// Position along the chord, mm.
    pub t: f64,
    /// Position down the plane, mm.
    pub m: f64,
    /// Area, mm².
    pub area: f64,
}

/// The bed with its cells.
#[derive(Debug, Clone, PartialEq)]
pub struct Bed {
    /// Origin of bed coordinates, mm.
    pub origin: Vec3,
    /// Bed axes as columns: along the chord, down the plane, normal into the fragment.
    pub axes: Mat3,
    /// Material.
    pub law: BedLaw,
    /// Cells.
    pub cells: Vec<Cell>,
    /// Total area, mm².
    pub area: f64,
    /// Area centroid in bed coordinates, mm.
    pub centroid: [f64; 2],
    /// Polar radius of gyration r_g about the area centroid, mm.
    pub gyration: f64,
    outline: Outline,
    hand: f64,
    pub(crate) columns: Columns,
}

/// What a cell bears at a pose, before weighting.
#[derive(Debug, Clone, Copy)]
pub struct CellLoad {
    /// Support weight, 0 to 1; zero for a cell that lifts off.
    pub weight: f64,
    /// Pressure, MPa.
    pub pressure: f64,
    /// Shear on the fragment in bed axes, MPa: of friction and of the asperities.
    pub shear: [f64; 2],
    /// Shear of friction alone, MPa.
    pub friction: [f64; 2],
    /// Slope ∇h of the asperities that it lies on, in bed axes.
    pub slope: [f64; 2],
    /// Current position in bed axes, mm.
    pub foot: Vec3,
}

/// Pose expressed in bed axes.
pub(crate) struct LocalPose {
    pub base: Vec3,
    pub turn: Mat3,
    reference: Vec3,
}

impl LocalPose {
    /// The arms from the moved reference point to the cells.
    pub fn arms(&self) -> Arms {
        Arms { at: self.base - self.reference, along: self.turn.column(0).into(), down: self.turn.column(1).into() }
    }
}

impl Bed {
    /// The bed of a fragment, cut into about `cells` cells of a mapped grid: columns across the
    /// chord, each divided evenly from the face to the neck wall.
    pub fn of_fragment(fragment: &Fragment, law: BedLaw, edge: f64, cells: usize) -> Self {
        let c = fragment.half_chord;
        let mean_height = {
            let probe = 64;
            (0..probe)
                .map(|k| {
                    let (top, bottom) = fragment.bed_column(c * ((2 * k + 1) as f64 / probe as f64 - 1.0));
                    bottom - top
                })
                .sum::<f64>()
                / probe as f64
        };
        let aspect = 2.0 * c / mean_height.max(1e-6);
        let columns = ((cells as f64 * aspect).sqrt().round() as usize).clamp(4, cells);
        let rows = (cells as f64 / columns as f64).ceil().max(2.0) as usize;
        let width = 2.0 * c / columns as f64;
        let mut list = Vec::with_capacity(columns * rows);
        for i in 0..columns {
            let t = -c + width * (i as f64 + 0.5);
            let (top, bottom) = fragment.bed_column(t);
            let height = (bottom - top) / rows as f64;
            if height <= 0.0 {
                continue;
            }
            for j in 0..rows {
                let m = top + height * (j as f64 + 0.5);
                list.push((t, m, width * height));
            }
        }
        let axes = Mat3::from_columns(&[fragment.along, fragment.down, fragment.normal]);
        let outline = Outline::Crater { fragment: Box::new(fragment.clone()), edge };
        Self::from_cells(fragment.bed_origin(), axes, law, outline, &list)
    }

    /// A bed from given cells (t, m, area), for example a rectangle.
    pub fn from_cells(origin: Vec3, axes: Mat3, law: BedLaw, outline: Outline, list: &[(f64, f64, f64)]) -> Self {
        let area: f64 = list.iter().map(|c| c.2).sum();
        let centroid =
            [list.iter().map(|c| c.0 * c.2).sum::<f64>() / area, list.iter().map(|c| c.1 * c.2).sum::<f64>() / area];
        let second: f64 = list.iter().map(|c| ((c.0 - centroid[0]).powi(2) + (c.1 - centroid[1]).powi(2)) * c.2).sum();
        let cells: Vec<Cell> = list.iter().map(|&(t, m, area)| Cell { t, m, area }).collect();
        Self {
            columns: Columns::new(&cells),
            origin,
            axes,
            law,
            cells,
            area,
            centroid,
            gyration: (second / area).sqrt(),
            outline,
            hand: axes.determinant().signum(),
        }
    }

    /// A rectangle of `length` (along t) by `width` (down the plane), centred on `origin`, cut into
    /// `columns` × `rows` cells, on an endless plane.
    pub fn rectangle(
        origin: Vec3,
        axes: Mat3,
        law: BedLaw,
        (length, width): (f64, f64),
        (columns, rows): (usize, usize),
    ) -> Self {
        let (dt, dm) = (length / columns as f64, width / rows as f64);
        let list: Vec<_> = (0..columns)
            .flat_map(|i| {
                (0..rows)
                    .map(move |j| (dt * (i as f64 + 0.5) - 0.5 * length, dm * (j as f64 + 0.5) - 0.5 * width, dt * dm))
            })
            .collect();
        Self::from_cells(origin, axes, law, Outline::Unbounded, &list)
    }

    /// Bed normal n, into the fragment.
    pub fn normal(&self) -> Vec3 {
        self.axes.column(2).into()
    }

    pub(crate) fn local(&self, pose: &Pose, reference: &Vec3) -> LocalPose {
        let to_bed = self.axes.transpose();
        let turn = to_bed * pose.turn.to_rotation_matrix().matrix() * self.axes;
        let centre = to_bed * (reference + pose.shift - self.origin);
        let base = centre - turn * (to_bed * (reference - self.origin));
        LocalPose { base, turn, reference: centre }
    }

    /// Where it supports.
    pub(crate) fn outline(&self) -> &Outline {
        &self.outline
    }

    /// Adds the bed's wrench about the moved reference point, and its tangent if asked, at `pose` with the
    /// committed memory of its cells.
    pub(crate) fn add(
        &self,
        pose: &Pose,
        reference: &Vec3,
        past: &BedMemory,
        wrench: &mut Vec6,
        tangent: Option<&mut Mat6>,
    ) {
        let local = self.local(pose, reference);
        // A cross product taken in bed axes changes sign with their handedness.
        let hand = self.hand;
        let summed = in_lanes(Sums { bed: self, local: &local, past, with_tangent: tangent.is_some() });
        *wrench += stack(&(self.axes * summed.force), &(self.axes * summed.moment * hand));
        let Some(tangent) = tangent else { return };
        let blocks = summed.blocks;
        let rotate = |m: Mat3| self.axes * m * self.axes.transpose();
        add_block(tangent, 0, 0, &rotate(blocks[0]));
        add_block(tangent, 0, 3, &rotate(blocks[1] * hand));
        add_block(tangent, 3, 0, &rotate(blocks[2] * hand));
        add_block(tangent, 3, 3, &rotate(blocks[3]));
    }

    /// What each cell bears at `pose` with what it remembers.
    pub fn loads(
        &self,
        pose: &Pose,
        reference: &Vec3,
        past: &BedMemory,
    ) -> impl ExactSizeIterator<Item = CellLoad> + use<> {
        in_lanes(Each { bed: self, local: &self.local(pose, reference), past }).into_iter()
    }

    /// Slip memory that leaves no shear at `pose`: the fragment has just been laid there.
    pub(crate) fn settle(&self, pose: &Pose, reference: &Vec3, past: &mut BedMemory) {
        let feet = Feet::<f64>::new((), &self.local(pose, reference));
        for (k, cell) in self.cells.iter().enumerate() {
            let [t, m, _] = feet.at(cell.t, cell.m);
            past.t[k] = t - cell.t;
            past.m[k] = m - cell.m;
        }
    }
}

/// Where the cells of a moved fragment are, in bed axes.
struct Feet<L> {
    base: [L; 3],
    turn: [[L; 2]; 3],
}

impl<L: Lane> Feet<L> {
    #[inline(always)]
    fn new(simd: L::Simd, local: &LocalPose) -> Self {
        let of = |value| L::of(simd, value);
        let (base, turn) = (&local.base, &local.turn);
        Self {
            base: [of(base.x), of(base.y), of(base.z)],
            turn: [
                [of(turn[(0, 0)]), of(turn[(0, 1)])],
                [of(turn[(1, 0)]), of(turn[(1, 1)])],
                [of(turn[(2, 0)]), of(turn[(2, 1)])],
            ],
        }
    }

    #[inline(always)]
    fn at(&self, t: L, m: L) -> [L; 3] {
        let at = |j: usize| self.base[j].plus_product(self.turn[j][0], t).plus_product(self.turn[j][1], m);
        [at(0), at(1), at(2)]
    }
}

impl Element for Bed {
    fn add(&self, at: &At<'_>, balance: &mut Balance) {
        let with_tangent = balance.with_tangent;
        let body = &mut balance.bodies[FRAGMENT];
        self.add(
            at.pose(FRAGMENT),
            &at.rig.reference,
            &at.state.bed,
            &mut body.wrench,
            with_tangent.then_some(&mut body.tangent),
        );
        balance.largest = balance.largest.max(upper(&balance.bodies[FRAGMENT].wrench).norm());
    }

    fn commit(&self, rig: &Rig, _: &Controls, state: &mut State, _: &mut Balance) -> Lost {
        let local = self.local(&state.configuration.pose, &rig.reference);
        let [friction, yielding] = in_lanes(Commit { bed: self, local: &local, past: &mut state.bed });
        Lost { friction, yielding, unsettled: false }
    }

    fn energy(&self, at: &At<'_>, _: &mut Balance) -> f64 {
        let law = self.law;
        let of = |(load, cell): (CellLoad, &Cell)| {
            let mut energy = load.pressure.powi(2) / (2.0 * law.normal);
            if law.shear > 0.0 {
                energy += (load.friction[0].powi(2) + load.friction[1].powi(2)) / (2.0 * law.shear);
            }
            energy * cell.area * load.weight
        };
        self.loads(at.pose(FRAGMENT), &at.rig.reference, &at.state.bed).zip(&self.cells).map(of).sum()
    }

    fn wrench(&self, at: &At<'_>, _: &mut Balance) -> Vec6 {
        let mut wrench = Vec6::zeros();
        self.add(at.pose(FRAGMENT), &at.rig.reference, &at.state.bed, &mut wrench, None);
        wrench
    }
}
