//! What a solved state says of itself: limb forces, anchor pulls, the condensed tangent, energy.

use super::bed::BedTotals;
use super::element::{At, FRAGMENT, Numbered};
use super::limb::{Limb, LimbWork, Strand, Vertex};
use super::rig::{Attachment, Controls, Home, State};
use super::screw::{ScrewReport, Setting};
use super::solver::Solver;
use crate::math::{Mat6, Vec3, Vec6, upper};
use nalgebra::{DMatrix, DVector};

/// A limb in a state.
#[derive(Debug, Clone, PartialEq)]
pub struct LimbReport {
    /// Tension of each segment, N.
    pub tensions: Vec<f64>,
    /// Net axial force of each segment, N: tension less what the seat bears.
    pub axial: Vec<f64>,
    /// Length of each segment, mm.
    pub lengths: Vec<f64>,
    /// Least rest material beyond a segment's length, mm: negative, by the largest stretch, until the
    /// whole strand is slack. Infinite for a loose limb.
    pub slack: f64,
    /// Turning angle at each turn, rad.
    pub angles: Vec<f64>,
    /// Places of the path's vertices, mm.
    pub places: Vec<Vec3>,
    /// Force on each vertex, N.
    pub forces: Vec<Vec3>,
    /// Force on the fragment and moment about its moved reference point (N, N·mm).
    pub wrench: Vec6,
}

impl LimbReport {
    /// Tension at the tie end, N.
    pub fn at_tie_end(&self) -> f64 {
        self.tensions.last().copied().unwrap_or(0.0)
    }
}

impl Solver<'_> {
    /// Limb `k` in a state; a loose limb carries nothing.
    pub fn limb_report(&mut self, state: &State, controls: &Controls, k: usize) -> LimbReport {
        let rig = self.rig();
        let at = At { rig, state, controls };
        let limb = &rig.limbs[k];
        let element = Numbered { number: k, what: limb };
        let (n, vertices) = (limb.segments(), limb.path.len());
        let loose = state.strands[k] == Strand::Loose;
        let work = element.carry(&at, &mut self.balance);
        if loose {
            work.strands.tension[..n].fill(0.0);
            work.axial[..n].fill(0.0);
            work.force[..vertices].fill(Vec3::zeros());
        } else {
            work.bear(limb, &rig.seat);
        }
        let work = &self.balance.limbs[k];
        let over = work.strands.rest[..n].iter().zip(&work.lengths[..n]).map(|(rest, length)| rest - length);
        LimbReport {
            tensions: work.strands.tension[..n].to_vec(),
            axial: work.axial[..n].to_vec(),
            lengths: work.lengths[..n].to_vec(),
            slack: if loose { f64::INFINITY } else { over.fold(f64::INFINITY, f64::min) },
            angles: work.angles[..limb.turns()].to_vec(),
            forces: work.force[..vertices].to_vec(),
            places: self.balance.places[..vertices].to_vec(),
            wrench: element.on_fragment(&at, &self.balance),
        }
    }

    /// Force that limb `k` would put on the fragment at `state` if it were pulled with 1 N, N.
    pub fn unit_pull(&self, state: &State, k: usize) -> Vec3 {
        let rig = self.rig();
        let limb: &Limb = &rig.limbs[k];
        let mut places = vec![Vec3::zeros(); limb.path.len()];
        rig.vertex_places(k, &state.configuration, &mut places);
        let mut work = LimbWork::default();
        work.measure(limb, &places);
        work.carry(limb, &Strand::Pulled, 1.0, 0.0);
        (0..limb.segments())
            .flat_map(|i| {
                let force = work.directions[i] * work.strands.tension[i];
                [(i, force), ((i + 1) % limb.path.len(), -force)]
            })
            .filter(|(v, _)| !matches!(limb.path[*v], Vertex::Anchor(_)))
            .map(|(_, force)| force)
            .sum()
    }

    /// Pull of the limbs on every anchor, N, from the reports of all limbs in order.
    pub fn anchor_pulls(&self, reports: &[LimbReport]) -> Vec<Vec3> {
        let rig = self.rig();
        let mut pulls = vec![Vec3::zeros(); rig.anchors.len()];
        for (limb, report) in rig.limbs.iter().zip(reports) {
            for (vertex, force) in limb.path.iter().zip(&report.forces) {
                if let Vertex::Anchor(k) = vertex {
                    pulls[*k] += force;
                }
            }
        }
        pulls
    }

    /// Screw `k` in a state; one that is not placed bears nothing.
    pub fn screw_report(&self, state: &State, controls: &Controls, k: usize) -> ScrewReport {
        let rig = self.rig();
        Numbered { number: k, what: &rig.screws[k] }.report(&At { rig, state, controls })
    }

    /// What the bed's cells bear together in a state.
    pub fn bed_totals(&self, state: &State) -> BedTotals {
        let rig = self.rig();
        rig.bed.totals(state.pose(), &rig.reference, &state.bed)
    }

    /// Force of the bed on the fragment as (along its normal, along the bed: friction and asperities), N.
    pub fn bed_forces(&self, state: &State) -> (Vec3, Vec3) {
        let totals = self.bed_totals(state);
        let [along, down] = [0, 1].map(|j| totals.friction[j] + totals.keyed[j]);
        let axes = &self.rig().bed.axes;
        (axes * Vec3::new(0.0, 0.0, totals.compression), axes * Vec3::new(along, down, 0.0))
    }

    /// Forces on the fragment of the envelope, each tether and each dead load, N.
    pub fn other_forces(&self, state: &State, controls: &Controls) -> (Vec3, Vec<Vec3>, Vec<Vec3>) {
        let rig = self.rig();
        let pose = state.pose();
        let envelope = rig.envelope.map_or_else(Vec3::zeros, |envelope| upper(&envelope.wrench(pose)));
        let tethers =
            rig.tethers.iter().map(|tether| tether.force(&pose.place(&rig.reference, &tether.fragment)).0).collect();
        let loads = rig.loads.iter().map(|load| load.present(controls)).collect();
        (envelope, tethers, loads)
    }

    /// Net wrench on the fragment about its moved reference point at a state, whatever balances it
    /// left out: what an instrument that holds it must bear, with the sign reversed.
    pub fn net_wrench(&mut self, state: &State, controls: &Controls) -> Vec6 {
        let rig = self.rig();
        self.balance.weigh(rig, state, controls, None);
        self.balance.bodies[FRAGMENT].wrench
    }

    /// Stiffness of the fragment (N/mm, N, N·mm/rad) against a twist at a freely held state, with
    /// the sprung points following: the negative of the condensed tangent, every cell and turn on
    /// the side that it is committed to. `None` when a sprung point has no stiffness.
    pub fn condensed_stiffness(&mut self, state: &State, controls: &Controls) -> Option<Mat6> {
        let rig = self.rig();
        for work in &mut self.balance.limbs {
            work.strands.forget();
        }
        self.balance.assemble(rig, state, controls, None);
        let m = 3 * rig.nodes.len();
        let linear = &self.balance.linear;
        let block = |row: usize, column: usize, rows: usize, columns: usize| {
            DMatrix::from_fn(rows, columns, |i, j| linear.at(row + i, column + j))
        };
        let mut condensed = block(m, m, 6, 6);
        if m > 0 {
            let inner = block(0, 0, m, m).lu().solve(&block(0, m, m, 6))?;
            // Column by column: the product of whole matrices would be rounded as the processor likes.
            let outer = block(m, 0, 6, m);
            for (mut column, inner) in condensed.column_iter_mut().zip(inner.column_iter()) {
                column -= &outer * inner;
            }
        }
        Some(-Mat6::from_iterator(condensed.iter().copied()))
    }

    /// Elastic energy stored in bed, strands, screws, seats, springs and tissue, N·mm. With a bed that is
    /// supported everywhere it is a potential of all elastic forces.
    pub fn stored_energy(&mut self, state: &State, controls: &Controls) -> f64 {
        let rig = self.rig();
        let (at, balance) = (At { rig, state, controls }, &mut self.balance);
        let mut stored = 0.0;
        rig.elements(&mut |element| stored += element.energy(&at, balance));
        stored
    }

    /// Force and moment about the moved reference point of all that acts on the fragment but the bed and the
    /// load of a push, element by element (N, N·mm).
    pub fn wrench_but_bed(&mut self, state: &State, controls: &Controls) -> Vec6 {
        let rig = self.rig();
        let (at, balance) = (At { rig, state, controls }, &mut self.balance);
        let mut sum = Vec6::zeros();
        rig.all_but_bed(&mut |element| sum += element.wrench(&at, balance));
        sum
    }

    /// The residual (forces on the sprung points, wrench on the fragment, lag of a push) and its
    /// tangent, for checking one against the other. Unknowns: sprung points, fragment twist, load.
    pub fn linearise(&mut self, state: &State, controls: &Controls) -> (DVector<f64>, DMatrix<f64>) {
        let rig = self.rig();
        self.balance.assemble(rig, state, controls, None);
        let n = 3 * rig.nodes.len() + 7;
        (
            DVector::from_fn(n, |i, _| -self.balance.linear.right()[i]),
            DMatrix::from_fn(n, n, |i, j| self.balance.linear.at(i, j)),
        )
    }

    /// Locks limb `k` at its present tensions: rest material frozen, with `feed` (mm, one entry a
    /// segment) to be let in by the next ramp of [`Controls::feed`].
    pub fn lock(&mut self, state: &mut State, controls: &Controls, k: usize, feed: Vec<f64>) {
        let n = self.rig().limbs[k].segments();
        let rig = self.rig();
        let limb = Numbered { number: k, what: &rig.limbs[k] };
        let rest = limb.carry(&At { rig, state, controls }, &mut self.balance).strands.rest[..n].to_vec();
        state.strands[k] = Strand::Tied { rest, feed };
    }

    /// Places screw `k` with the fragment as it lies; its head pulls by [`Controls::tighten`] from
    /// then on, until it is locked.
    pub fn place_screw(&self, state: &mut State, k: usize) {
        state.screws[k] = Setting::Tightened { drilled: *state.pose() };
        state.bones[k].clear();
    }

    /// Locks screw `k`, which has been placed, at its present pull.
    pub fn lock_screw(&self, state: &mut State, controls: &Controls, k: usize) {
        let rig = self.rig();
        let (Setting::Tightened { drilled } | Setting::Locked { drilled, .. }) = state.screws[k] else {
            return;
        };
        let pull = self.screw_report(state, controls, k).axial;
        let screw = &rig.screws[k];
        let travel = screw.travel(state.pose(), &rig.reference, &drilled);
        state.screws[k] = Setting::Locked { drilled, rest: travel - pull / screw.stiffness().axial, feed: 0.0 };
    }

    /// Prepares relaxation by the next ramp of [`Controls::feed`]: the force of every bite falls to the share
    /// `bites`, the tension of every strand and the pull of every screw's head to `strands`, all at the offsets and
    /// the pose that they have; what balance makes of it then, the ramp finds.
    pub fn relax(&mut self, state: &mut State, controls: &Controls, bites: f64, strands: f64) {
        let rig = self.rig();
        for k in 0..rig.limbs.len() {
            let report = self.limb_report(state, controls, k);
            let rigidity = rig.limbs[k].rigidity;
            if let Strand::Tied { rest, feed } = &mut state.strands[k] {
                for i in 0..rest.len() {
                    if report.tensions[i] > 0.0 {
                        feed[i] = report.lengths[i] * rigidity / (rigidity + strands * report.tensions[i]) - rest[i];
                    }
                }
            }
        }
        for k in 0..rig.screws.len() {
            let pull = self.screw_report(state, controls, k).axial;
            let stiffness = rig.screws[k].stiffness().axial;
            if let Setting::Locked { feed, .. } = &mut state.screws[k]
                && pull > 0.0
            {
                *feed = (1.0 - strands) * pull / stiffness;
            }
        }
        for (number, what) in rig.nodes.iter().enumerate() {
            if let Home::Bite(_) = what.home {
                let drawn = Numbered { number, what }.drawn(&At { rig, state, controls });
                let back = what.spring.stretch(drawn.size) - what.spring.stretch(bites * drawn.size);
                state.gives[number].feed = state.pose().turn.inverse() * drawn.along * -back;
            }
        }
    }

    /// Pull of the spring of each sprung point (N), in the order of [`State::gives`].
    pub fn pulls(&self, state: &State, controls: &Controls) -> Vec<f64> {
        let rig = self.rig();
        let pull = |(number, what)| Numbered { number, what }.drawn(&At { rig, state, controls }).size;
        rig.nodes.iter().enumerate().map(pull).collect()
    }

    /// Lets the feed of every tied strand, locked screw and sprung point become part of its rest, and what has
    /// crept of its set, after a ramp of [`Controls::feed`] to 1.
    pub fn absorb_feed(&self, state: &mut State, controls: &mut Controls) {
        let rig = self.rig();
        for (number, what) in rig.nodes.iter().enumerate() {
            let drawn = Numbered { number, what }.drawn(&At { rig, state, controls });
            let along = match what.home {
                Home::Anchor(_) => drawn.along,
                Home::Bite(_) => state.pose().turn.inverse() * drawn.along,
            };
            let give = &mut state.gives[number];
            give.set += (give.feed - along * (give.creep * drawn.size)) * controls.feed;
            (give.feed, give.creep) = (Vec3::zeros(), 0.0);
        }
        for strand in &mut state.strands {
            if let Strand::Tied { rest, feed } = strand {
                for (rest, feed) in rest.iter_mut().zip(feed) {
                    *rest += controls.feed * *feed;
                    *feed = 0.0;
                }
            }
        }
        for screw in &mut state.screws {
            if let Setting::Locked { rest, feed, .. } = screw {
                *rest += controls.feed * *feed;
                *feed = 0.0;
            }
        }
        controls.feed = 0.0;
    }
}

impl super::rig::Rig {
    /// Whether vertex `v` of limb `k` moves with the fragment (bone or bite).
    pub fn is_on_fragment(&self, k: usize, v: usize) -> bool {
        match self.attachments[k][v] {
            Attachment::Bone(_) => true,
            Attachment::Fixed(_) => false,
            Attachment::Node(n) => matches!(self.nodes[n].home, Home::Bite(_)),
        }
    }
}
