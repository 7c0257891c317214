//! A limb: an elastic, tension-only strand over turning points, as an element with forces and a
//! consistent tangent in its own vertices.

mod capstan;
mod exchange;
mod seat;

pub use capstan::{MOST_SEGMENTS, Strands};
pub use seat::Seat;

use super::certificate::Certificate;
use super::element::{At, Element, FRAGMENT, Lost, Numbered, Point};
use super::rig::{Attachment, Controls, Rig, State};
use super::solver::Balance;
use super::spring::Spring;
use crate::math::{Mat3, Vec3, Vec6, stack};

/// Most vertices of one limb's path (a closed strand counts its first vertex twice).
pub const MOST_VERTICES: usize = MOST_SEGMENTS + 1;

/// A vertex of a limb's path.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Vertex {
    /// On anchor number so-and-so of the rig.
    Anchor(usize),
    /// On a labral bite: a stitch on a spring.
    Bite {
        /// Its material point on the reduced fragment, mm.
        point: Vec3,
        /// The spring of the tissue that it holds.
        spring: Spring,
    },
    /// On the fragment's bone (material point on the reduced fragment, mm).
    Bone(Vec3),
}

/// How the strand turns at a vertex.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Passage {
    /// Slides with a friction coefficient.
    Sliding(f64),
    /// Held: no transfer of material.
    Locked,
}

/// A limb of the rig.
#[derive(Debug, Clone, PartialEq)]
pub struct Limb {
    /// The vertices from the free end to the tie end.
    pub path: Vec<Vertex>,
    /// How the strand passes each vertex; the first and last entries count only when `closed`
    /// (then the first: the strand slides through it).
    pub passages: Vec<Passage>,
    /// Whether the path leads back from the last vertex to the first as one closed strand.
    pub closed: bool,
    /// Axial rigidity EA, N.
    pub rigidity: f64,
    /// What it bears at most.
    pub limits: Limits,
}

/// What a limb bears at most, N; infinite where it is not known.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Limits {
    /// Tension at its knot or clamp, beyond which strand slides through.
    pub grip: f64,
    /// Tension at which the strand breaks.
    pub strength: f64,
}

impl Limits {
    /// No limit.
    pub const NONE: Self = Self { grip: f64::INFINITY, strength: f64::INFINITY };
}

impl Limb {
    /// Number of segments.
    pub fn segments(&self) -> usize {
        if self.closed { self.path.len() } else { self.path.len() - 1 }
    }

    /// Number of turns.
    pub fn turns(&self) -> usize {
        if self.closed { self.path.len() } else { self.path.len() - 2 }
    }

    /// The vertex (index in the path) at which turn `j`, between segments j and j + 1, happens.
    pub fn turn_vertex(&self, turn: usize) -> usize {
        (turn + 1) % self.path.len()
    }
}

/// What is known about a strand between steps.
#[derive(Debug, Clone, PartialEq)]
pub enum Strand {
    /// Not yet placed: it carries nothing.
    Loose,
    /// Being pulled at its tie end.
    Pulled,
    /// Tied: rest material of each segment, mm, and material still to be fed in by the ramp under
    /// way (knot slack, relaxation), mm.
    Tied {
        /// Committed rest material.
        rest: Vec<f64>,
        /// Material that the ramp adds in full at its end.
        feed: Vec<f64>,
    },
}

/// Geometry and forces of a limb at given vertex places. Kept between calls, so that the Newton
/// loop does not allocate.
#[derive(Debug, Clone)]
pub struct LimbWork {
    /// Segment lengths, mm.
    pub lengths: [f64; MOST_SEGMENTS],
    /// Segment directions, first vertex toward second.
    pub directions: [Vec3; MOST_SEGMENTS],
    /// Turning angle of each turn, rad.
    pub angles: [f64; MOST_SEGMENTS],
    /// Capstan bound μθ of each turn; infinite when locked.
    pub bounds: [f64; MOST_SEGMENTS],
    /// Tensions and rest material.
    pub strands: Strands,
    /// Net axial force of each segment, N: tension less what the seat bears.
    pub axial: [f64; MOST_SEGMENTS],
    /// Force on each vertex of the path, N.
    pub force: [Vec3; MOST_VERTICES],
    /// Tangent: derivative of the force on vertex `v` by the place of vertex `w`.
    pub tangent: [[Mat3; MOST_VERTICES]; MOST_VERTICES],
    held: [f64; MOST_SEGMENTS],
    gradient: [[Vec3; MOST_VERTICES]; MOST_SEGMENTS],
}

impl Default for LimbWork {
    fn default() -> Self {
        Self {
            lengths: [0.0; MOST_SEGMENTS],
            directions: [Vec3::zeros(); MOST_SEGMENTS],
            angles: [0.0; MOST_SEGMENTS],
            bounds: [0.0; MOST_SEGMENTS],
            strands: Strands::default(),
            axial: [0.0; MOST_SEGMENTS],
            force: [Vec3::zeros(); MOST_VERTICES],
            tangent: [[Mat3::zeros(); MOST_VERTICES]; MOST_VERTICES],
            held: [0.0; MOST_SEGMENTS],
            gradient: [[Vec3::zeros(); MOST_VERTICES]; MOST_SEGMENTS],
        }
    }
}

/// Sine of the turning angle below which its gradient is taken as zero: straight (0) and doubled
/// back (π) are the ends of the angle's range, where it has no direction to change in.
const FLAT_TURN: f64 = 1e-9;

impl LimbWork {
    /// Lengths, directions and capstan bounds at the places of the vertices.
    pub fn measure(&mut self, limb: &Limb, places: &[Vec3]) {
        let n = places.len();
        for i in 0..limb.segments() {
            let line = places[(i + 1) % n] - places[i];
            let length = line.norm();
            self.lengths[i] = length;
            self.directions[i] = if length > 0.0 { line / length } else { Vec3::zeros() };
        }
        for j in 0..limb.turns() {
            let (u, v) = (self.directions[j], self.directions[(j + 1) % n]);
            self.angles[j] = libm::atan2(u.cross(&v).norm(), u.dot(&v));
            self.bounds[j] = match limb.passages[limb.turn_vertex(j)] {
                Passage::Sliding(friction) => friction * self.angles[j],
                Passage::Locked => f64::INFINITY,
            };
        }
    }

    /// Tensions at the measured geometry. `pull` is the tension at the tie end while pulled, `feed`
    /// the fraction of the feed that has been let in.
    pub fn carry(&mut self, limb: &Limb, strand: &Strand, pull: f64, feed: f64) {
        let n = limb.segments();
        let turns = limb.turns();
        match strand {
            Strand::Loose => {
                self.strands.count = 0;
            }
            Strand::Pulled => {
                self.strands.pulled(limb.rigidity, &self.lengths[..n], &self.bounds[..turns], pull);
            }
            Strand::Tied { rest, feed: add } => {
                for i in 0..n {
                    self.held[i] = rest[i] + feed * add[i];
                }
                self.strands.tied(
                    limb.rigidity,
                    &self.lengths[..n],
                    &self.bounds[..turns],
                    &self.held[..n],
                    limb.closed,
                    limb.limits.grip,
                );
            }
        }
    }

    /// Forces on the vertices, after [`measure`](Self::measure) and [`carry`](Self::carry).
    pub fn bear(&mut self, limb: &Limb, seat: &Seat) {
        let vertices = limb.path.len();
        self.force[..vertices].fill(Vec3::zeros());
        for i in 0..limb.segments() {
            let (length, u) = (self.lengths[i], self.directions[i]);
            self.axial[i] = self.strands.tension[i] - seat.compression(length);
            self.force[i] += u * self.axial[i];
            self.force[(i + 1) % vertices] -= u * self.axial[i];
        }
    }

    /// Tangent of the forces, after [`bear`](Self::bear).
    pub fn differentiate(&mut self, limb: &Limb, seat: &Seat) {
        let n = limb.segments();
        let vertices = limb.path.len();
        self.strands.differentiate(limb.rigidity);
        for v in 0..vertices {
            self.tangent[v][..vertices].fill(Mat3::zeros());
        }
        for i in 0..n {
            self.gradient[i][..vertices].fill(Vec3::zeros());
        }
        self.gather_gradients(limb);
        for i in 0..n {
            let (a, b) = (i, (i + 1) % vertices);
            let (length, u) = (self.lengths[i], self.directions[i]);
            if length < seat.length {
                let rise = seat.rise(length);
                self.gradient[i][a] -= u * rise;
                self.gradient[i][b] += u * rise;
            }
            for w in 0..vertices {
                let block = u * self.gradient[i][w].transpose();
                self.tangent[a][w] += block;
                self.tangent[b][w] -= block;
            }
            if length > 0.0 {
                let geometric = (Mat3::identity() - u * u.transpose()) * (self.axial[i] / length);
                self.tangent[a][b] += geometric;
                self.tangent[a][a] -= geometric;
                self.tangent[b][a] += geometric;
                self.tangent[b][b] -= geometric;
            }
        }
    }

    /// Gradient of each segment's tension by each vertex's place.
    fn gather_gradients(&mut self, limb: &Limb) {
        let n = limb.segments();
        let vertices = limb.path.len();
        for k in 0..n {
            let u = self.directions[k];
            for i in 0..n {
                let by = self.strands.by_length[i][k];
                if by != 0.0 {
                    self.gradient[i][k] -= u * by;
                    self.gradient[i][(k + 1) % vertices] += u * by;
                }
            }
        }
        for j in 0..limb.turns() {
            let friction = match limb.passages[limb.turn_vertex(j)] {
                Passage::Sliding(friction) if friction > 0.0 => friction,
                _ => continue,
            };
            let next = (j + 1) % n;
            let (u, v) = (self.directions[j], self.directions[next]);
            let (cos, sin) = (u.dot(&v), libm::sin(self.angles[j]));
            if sin < FLAT_TURN {
                continue;
            }
            // dθ = a·du + b·dv, and du = (I − u uᵀ)/ℓ (dx_later − dx_earlier) with a square to u.
            let a = (u * cos - v) / (sin * self.lengths[j]);
            let b = (v * cos - u) / (sin * self.lengths[next]);
            for i in 0..n {
                let by = self.strands.by_bound[i][j] * friction;
                if by != 0.0 {
                    self.gradient[i][j] -= a * by;
                    self.gradient[i][(j + 1) % vertices] += (a - b) * by;
                    self.gradient[i][(next + 1) % vertices] += b * by;
                }
            }
        }
    }
}

impl Numbered<'_, Limb> {
    /// Measures the limb and finds its tensions at a state.
    pub(crate) fn carry<'b>(&self, at: &At<'_>, balance: &'b mut Balance) -> &'b mut LimbWork {
        let places = &mut balance.places[..self.what.path.len()];
        at.rig.vertex_places(self.number, &at.state.configuration, places);
        let work = &mut balance.limbs[self.number];
        work.measure(self.what, places);
        work.carry(self.what, self.strand(at), at.controls.pull[self.number], at.controls.feed);
        work
    }

    fn strand<'s>(&self, at: &At<'s>) -> &'s Strand {
        &at.state.strands[self.number]
    }

    /// What vertex `v` is, at the place where the balance has it.
    fn point(&self, at: &At<'_>, balance: &Balance, v: usize) -> Point {
        match at.rig.attachments[self.number][v] {
            Attachment::Fixed(_) => Point::Fixed,
            Attachment::Node(n) => Point::Node(n),
            Attachment::Bone(_) => Point::Body(FRAGMENT, balance.places[v] - at.centre(FRAGMENT)),
        }
    }
}

/// Tension (N) below which the excess over a capstan bound is no longer taken relative to it: a tension
/// carries the rounding of lengths times EA, up to some 1e-10 N, and on the verge of slack no ratio.
const LEAST_SCALE: f64 = 1.0;

impl Element for Numbered<'_, Limb> {
    fn add(&self, at: &At<'_>, balance: &mut Balance) {
        if *self.strand(at) == Strand::Loose {
            return;
        }
        let (limb, k) = (self.what, self.number);
        let with_tangent = balance.with_tangent;
        let work = self.carry(at, balance);
        work.bear(limb, &at.rig.seat);
        if with_tangent {
            work.differentiate(limb, &at.rig.seat);
        }
        for i in 0..limb.segments() {
            balance.note(balance.limbs[k].axial[i].abs());
        }
        let mut points = [Point::Fixed; MOST_VERTICES];
        let points = &mut points[..limb.path.len()];
        for (v, point) in points.iter_mut().enumerate() {
            *point = self.point(at, balance, v);
        }
        for (v, on) in points.iter().enumerate() {
            if *on == Point::Fixed {
                continue;
            }
            let force = balance.limbs[k].force[v];
            balance.force(*on, &force);
            for (w, by) in points.iter().enumerate() {
                let block = balance.limbs[k].tangent[v][w];
                balance.couple(*on, *by, &block);
            }
        }
    }

    /// What crosses a turn stays across, what has slid through the knot or clamp stays in; a strand beyond its
    /// strength breaks.
    fn commit(&self, rig: &Rig, controls: &Controls, state: &mut State, balance: &mut Balance) -> Lost {
        if state.strands[self.number] == Strand::Loose {
            return Lost::default();
        }
        let n = self.what.segments();
        let strands = &self.carry(&At { rig, state, controls }, balance).strands;
        let yielding = strands.fed * if strands.fed > 0.0 { strands.tension[n - 1] } else { 0.0 };
        if strands.tension[..n].iter().any(|tension| *tension > self.what.limits.strength) {
            let stored = self.energy(&At { rig, state, controls }, balance);
            state.strands[self.number] = Strand::Loose;
            return Lost { friction: 0.0, yielding: yielding + stored, unsettled: true };
        }
        let held = strands.rest;
        if let Strand::Tied { rest, feed } = &mut state.strands[self.number] {
            for (i, (rest, feed)) in rest.iter_mut().zip(feed).enumerate() {
                *rest = held[i] - controls.feed * *feed;
            }
        }
        Lost { friction: 0.0, yielding, unsettled: false }
    }

    /// Of a tied strand, and of what it presses on its seats.
    fn energy(&self, at: &At<'_>, balance: &mut Balance) -> f64 {
        if !matches!(self.strand(at), Strand::Tied { .. }) {
            return 0.0;
        }
        let (limb, seat) = (self.what, at.rig.seat);
        let work = self.carry(at, balance);
        let of = |i: usize| {
            let stretched = work.strands.tension[i].powi(2) * work.strands.rest[i] / (2.0 * limb.rigidity);
            stretched + seat.energy(work.lengths[i])
        };
        (0..limb.segments()).map(of).sum()
    }

    fn check(&self, at: &At<'_>, balance: &Balance, certificate: &mut Certificate) {
        let strand = self.strand(at);
        if *strand == Strand::Loose {
            return;
        }
        let (limb, work) = (self.what, &balance.limbs[self.number]);
        if !work.strands.settled {
            certificate.capstan_excess = certificate.capstan_excess.max(1.0);
        }
        let n = limb.segments();
        let tension = &work.strands.tension[..n];
        certificate.least_tension = tension.iter().fold(certificate.least_tension, |least, t| least.min(*t));
        // While a closed strand is pulled, the turn beside its tie end is where the pull enters.
        let turns = if limb.closed && *strand == Strand::Pulled { limb.turns() - 1 } else { limb.turns() };
        for j in 0..turns {
            let (a, b) = (tension[j], tension[(j + 1) % n]);
            if work.bounds[j].is_finite() && a.max(b) > 0.0 {
                let beyond = a.max(b) - a.min(b) * libm::exp(work.bounds[j]);
                let excess = beyond / a.max(b).max(LEAST_SCALE);
                certificate.capstan_excess = certificate.capstan_excess.max(excess);
            }
        }
    }

    fn wrench(&self, at: &At<'_>, balance: &mut Balance) -> Vec6 {
        if *self.strand(at) == Strand::Loose {
            return Vec6::zeros();
        }
        self.carry(at, balance).bear(self.what, &at.rig.seat);
        self.on_fragment(at, balance)
    }
}

impl Numbered<'_, Limb> {
    /// Force and moment of the assembled limb's vertices that lie on the fragment.
    pub(crate) fn on_fragment(&self, at: &At<'_>, balance: &Balance) -> Vec6 {
        let centre = at.centre(FRAGMENT);
        let on = |v: &usize| !matches!(self.what.path[*v], Vertex::Anchor(_));
        (0..self.what.path.len()).filter(on).fold(Vec6::zeros(), |sum, v| {
            let force = balance.limbs[self.number].force[v];
            sum + stack(&force, &(balance.places[v] - centre).cross(&force))
        })
    }
}
