//! Bone beside a screw's shank: it bears as an elastic foundation and yields at its strength.
//!
//! One beam of bending stiffness EI runs from head to tip. Station by station along it bone resists
//! its displacement y, on the fragment's side against what the fragment itself moves by, w = s + τ x
//! (x from the fracture plane toward the tip; w = 0 in the scapula), across the axis:
//!
//! ```text
//! r = k (y − w − y_p),   |r| ≤ p_c d        per length; y_p yields along r, and is kept
//! EI y'''' + r = 0,      f = Σ r,  g = Σ x r over the fragment's side
//! ```
//!
//! Beams are cubic (Hermite), with four Gauss points of each as the stations; what is left of y is
//! eliminated by Newton's method on the convex incremental potential. Bone yields as a strip of
//! strength p_c d does (Broms 1964, with p_c for his 9 c_u), on both sides of the hole alike, so that a
//! hole worn wide is not followed; the shank itself stays elastic.

use super::shank::Shank;
use nalgebra::{Matrix2, Matrix4, SMatrix, Vector2, Vector4};

/// Two components across the axis.
pub(super) type Pair = Vector2<f64>;
/// A block of the beam's equations, or of the joint's tangent: shift and slope, two components each.
pub(super) type Block = Matrix4<f64>;

/// Longest element of the beam, mm: of λ = 0.14/mm its stiffness errs by some (λl)⁴/200, 2e-6.
const ELEMENT: f64 = 1.0;
/// Gauss points of an element and their weights on −1 to 1; they integrate products of two cubics exactly.
const GAUSS: [(f64, f64); 4] = [
    (-0.861_136_311_594_052_6, 0.347_854_845_137_453_85),
    (-0.339_981_043_584_856_26, 0.652_145_154_862_546_1),
    (0.339_981_043_584_856_26, 0.652_145_154_862_546_1),
    (0.861_136_311_594_052_6, 0.347_854_845_137_453_85),
];
/// Newton steps at most; a dozen is common where much has yielded.
const STEPS: usize = 80;
/// Force that may be left at a node, of the largest that a station bears or of 1 N; what rounding of the displacement
/// leaves comes on top.
const LEFT: f64 = 1e-13;
/// Share of a station's stiffness that the equations keep where it has yielded, so that they can be
/// solved when all of a side has; what is found does not depend on it.
const KEPT: f64 = 1e-9;

/// A Gauss point of the beam, with the bone that it bears on.
#[derive(Debug, Clone, PartialEq)]
struct Station {
    /// Toward the tip from the fracture plane, mm.
    along: f64,
    /// Displacement here by those of the element's ends and by their slopes.
    shape: [f64; 4],
    /// Of the bone, N/mm.
    stiffness: f64,
    /// Force at which bone yields, N.
    limit: f64,
    /// Elastic reaction by a unit shift and a unit slope, N/mm and N.
    reach: [f64; 2],
}

/// A shank in bone.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Bearing {
    bending: f64,
    /// Lengths of the elements, mm.
    lengths: Vec<f64>,
    /// Four to each element.
    stations: Vec<Station>,
    /// Elastic resistance: force and couple by shift and slope.
    pub elastic: Matrix2<f64>,
}

/// What the bone does with a shift and a slope of the fragment's hole.
pub(super) struct Borne {
    /// Force on the fragment, N.
    pub force: Pair,
    /// Couple on the direction of its hole, N·mm.
    pub couple: Pair,
    /// What both fall by, by shift and by slope.
    pub tangent: Block,
    /// Displacement and slope of the beam's nodes; none where all is elastic.
    bent: Option<Vec<Vector4<f64>>>,
}

impl Bearing {
    pub fn new(shank: &Shank) -> Self {
        let (mut lengths, mut stations) = (Vec::new(), Vec::new());
        for (from, length) in [(-shank.grip, shank.grip), (0.0, shank.working)] {
            let count = (length / ELEMENT).ceil().max(4.0);
            let l = length / count;
            for k in 0..count as usize {
                lengths.push(l);
                for (place, weight) in GAUSS {
                    let x = 0.5 + 0.5 * place;
                    let (x2, x3) = (x * x, x * x * x);
                    stations.push(Station {
                        along: from + l * (k as f64 + x),
                        shape: [1.0 - 3.0 * x2 + 2.0 * x3, l * (x - 2.0 * x2 + x3), 3.0 * x2 - 2.0 * x3, l * (x3 - x2)],
                        stiffness: 0.5 * weight * l * shank.line(),
                        limit: 0.5 * weight * l * shank.strength * shank.diameter,
                        reach: [0.0; 2],
                    });
                }
            }
        }
        let mut it = Self { bending: shank.bending(), lengths, stations, elastic: Matrix2::zeros() };
        for (kind, outer) in [Vector4::new(1.0, 0.0, 0.0, 0.0), Vector4::new(0.0, 0.0, 1.0, 0.0)].iter().enumerate() {
            let fresh = vec![Pair::zeros(); it.stations.len()];
            let found = it.solve(outer, &fresh, false);
            for (k, (reaction, _)) in it.reactions(outer, &fresh, &found, f64::INFINITY).into_iter().enumerate() {
                it.stations[k].reach[kind] = reaction.x;
            }
            it.elastic.set_column(kind, &-Vector2::new(found.force.x, found.couple.x));
        }
        it
    }

    /// Number of stations.
    pub fn len(&self) -> usize {
        self.stations.len()
    }

    /// What bone does when the fragment's hole is shifted and sloped by `outer`, with what has yielded
    /// so far at the stations (none: nothing).
    pub fn bear(&self, outer: &Vector4<f64>, yielded: &[Pair]) -> Borne {
        let (shift, slope) = (Pair::new(outer.x, outer.y), Pair::new(outer.z, outer.w));
        let within = |s: &Station| (shift * s.reach[0] + slope * s.reach[1]).norm() <= s.limit;
        if yielded.is_empty() && self.stations.iter().all(within) {
            let k = &self.elastic;
            let tangent = Matrix4::from_fn(|i, j| if i % 2 == j % 2 { k[(i / 2, j / 2)] } else { 0.0 });
            let force = -(tangent * outer);
            return Borne { force: force.xy(), couple: Pair::new(force.z, force.w), tangent, bent: None };
        }
        let fresh;
        let yielded = match yielded {
            [] => {
                fresh = vec![Pair::zeros(); self.len()];
                &fresh
            }
            some => some,
        };
        self.solve(outer, yielded, true)
    }

    /// Reaction of each station on the beam's displacement (N), and what has yielded there then (mm).
    /// Bone bears at most `share` of its limit.
    fn reactions(&self, outer: &Vector4<f64>, yielded: &[Pair], borne: &Borne, share: f64) -> Vec<(Pair, Pair)> {
        let (shift, slope) = (Pair::new(outer.x, outer.y), Pair::new(outer.z, outer.w));
        let one = |(k, s): (usize, &Station)| {
            let Some(bent) = &borne.bent else {
                return (shift * s.reach[0] + slope * s.reach[1], Pair::zeros());
            };
            let before = yielded.get(k).copied().unwrap_or_default();
            let stretch = s.displaced(&bent[k / GAUSS.len()], &bent[k / GAUSS.len() + 1]) - s.moved(outer);
            let (reaction, _) = s.law(&(stretch - before), share);
            (reaction, stretch - reaction / s.stiffness)
        };
        self.stations.iter().enumerate().map(one).collect()
    }

    /// What has yielded at each station in the state found (mm), the work that this takes against what
    /// had before (N·mm); `None` if nothing more has.
    pub fn yields(&self, outer: &Vector4<f64>, yielded: &[Pair], borne: &Borne) -> Option<(Vec<Pair>, f64)> {
        borne.bent.as_ref()?;
        let mut work = 0.0;
        let now = self.reactions(outer, yielded, borne, 1.0).into_iter().enumerate().map(|(k, (reaction, now))| {
            let before = yielded.get(k).copied().unwrap_or_default();
            if reaction.norm() < self.stations[k].limit * (1.0 - 1e-12) {
                return before;
            }
            work += reaction.dot(&(now - before));
            now
        });
        let now = now.collect();
        (work != 0.0).then_some((now, work))
    }

    /// Elastic energy of beam and bone, N·mm.
    pub fn energy(&self, outer: &Vector4<f64>, yielded: &[Pair], borne: &Borne) -> f64 {
        // Linear with the stations' rests given: half of what the reactions do on the way back to them.
        let all = self.stations.iter().zip(self.reactions(outer, yielded, borne, 1.0));
        all.map(|(s, (r, now))| {
            if borne.bent.is_none() { -0.5 * r.dot(&s.moved(outer)) } else { -0.5 * r.dot(&(s.moved(outer) + now)) }
        })
        .sum()
    }

    /// Largest pressure of shank on bone (of its strength), and the share of the shank's length along
    /// which bone yields.
    pub fn pressed(&self, outer: &Vector4<f64>, yielded: &[Pair], borne: &Borne) -> (f64, f64) {
        let all = self.stations.iter().zip(self.reactions(outer, yielded, borne, 1.0));
        let mut worst = 0.0f64;
        let (mut soft, mut whole) = (0.0, 0.0);
        for (s, (reaction, _)) in all {
            let pressure = reaction.norm() / s.stiffness;
            worst = worst.max(pressure);
            whole += s.stiffness;
            // A return to the limit ends there up to rounding.
            soft += if reaction.norm() >= s.limit * (1.0 - 1e-9) { s.stiffness } else { 0.0 };
        }
        (worst, soft / whole)
    }

    fn solve(&self, outer: &Vector4<f64>, yielded: &[Pair], limited: bool) -> Borne {
        let nodes = self.lengths.len() + 1;
        let mut bent = vec![Vector4::zeros(); nodes];
        let (mut last, mut step, mut part) = (f64::INFINITY, Vec::<Vector4<f64>>::new(), 1.0);
        for count in 0..STEPS {
            // The first step takes bone as elastic, so that yielding is sought from near.
            let mut it = self.assemble(outer, yielded, &bent, if limited && count > 0 { 1.0 } else { f64::INFINITY });
            let along: f64 = it.left.iter().zip(&step).map(|(g, d)| g.column(0).dot(d)).sum();
            let allowed = LEFT * it.scale + it.rounding;
            if count > 1 && it.worst > allowed && along.abs() > 0.9 * last && part > 1e-3 {
                // Too far along a descent of a convex potential: half of it back.
                part *= 0.5;
                bent.iter_mut().zip(&step).for_each(|(z, d)| *z -= d * part);
                continue;
            }
            let done = it.worst <= allowed && (count > 0 || !limited);
            it.eliminate();
            if done || (!limited && count > 0) {
                // What the beam follows by, by shift and slope: −A⁻¹ ∂g/∂u.
                let mut tangent = it.outer;
                for (mixed, column) in it.mixed.iter().zip(&it.left) {
                    tangent -= mixed.transpose() * column.fixed_columns::<4>(1);
                }
                return Borne {
                    force: it.force.xy(),
                    couple: Pair::new(it.force.z, it.force.w),
                    tangent,
                    bent: Some(bent),
                };
            }
            step = it.left.iter().map(|c| -c.column(0)).collect();
            part = 1.0;
            last = it.descent(&step);
            bent.iter_mut().zip(&step).for_each(|(z, d)| *z += d);
        }
        let nothing = Pair::from_element(f64::NAN);
        Borne { force: nothing, couple: nothing, tangent: Block::zeros(), bent: Some(bent) }
    }

    fn assemble(&self, outer: &Vector4<f64>, yielded: &[Pair], bent: &[Vector4<f64>], share: f64) -> Equations {
        let nodes = bent.len();
        let mut it = Equations {
            diagonal: vec![Block::zeros(); nodes],
            beside: vec![Block::zeros(); nodes - 1],
            left: vec![SMatrix::zeros(); nodes],
            gradient: vec![Vector4::zeros(); nodes],
            mixed: vec![Block::zeros(); nodes],
            outer: Block::zeros(),
            force: Vector4::zeros(),
            worst: 0.0,
            scale: 1.0,
            rounding: 0.0,
        };
        for (e, &l) in self.lengths.iter().enumerate() {
            let b = self.bending / l.powi(3);
            let [d, s, t, h] = [12.0 * b, 6.0 * b * l, 4.0 * b * l * l, 2.0 * b * l * l];
            let block = |a, b, c, d| {
                let one = Matrix2::identity();
                let mut m = Block::zeros();
                m.fixed_view_mut::<2, 2>(0, 0).copy_from(&(one * a));
                m.fixed_view_mut::<2, 2>(0, 2).copy_from(&(one * b));
                m.fixed_view_mut::<2, 2>(2, 0).copy_from(&(one * c));
                m.fixed_view_mut::<2, 2>(2, 2).copy_from(&(one * d));
                m
            };
            let (first, second, cross) = (block(d, s, s, t), block(d, -s, -s, t), block(-d, s, -s, h));
            // By the slopes off the chord, which keep the digits that stiffness times displacement would lose.
            let chord = (bent[e + 1] - bent[e]).xy() / l;
            let [one, two] = [bent[e], bent[e + 1]].map(|z| Pair::new(z.z, z.w) - chord);
            let (m1, m2) = ((one * 2.0 + two) * (2.0 * self.bending / l), (one + two * 2.0) * (2.0 * self.bending / l));
            let shear = (m1 + m2) / l;
            it.gradient[e] += Vector4::new(shear.x, shear.y, m1.x, m1.y);
            it.gradient[e + 1] += Vector4::new(-shear.x, -shear.y, m2.x, m2.y);
            it.rounding = it.rounding.max(64.0 * f64::EPSILON * b * bent[e].xy().norm());
            it.diagonal[e] += first;
            it.diagonal[e + 1] += second;
            it.beside[e] += cross;
            let own = GAUSS.len() * e..GAUSS.len() * (e + 1);
            for (s, yielded) in self.stations[own.clone()].iter().zip(&yielded[own]) {
                let stretch = s.displaced(&bent[e], &bent[e + 1]) - s.moved(outer) - yielded;
                let (reaction, slope) = s.law(&stretch, share);
                it.scale = it.scale.max(reaction.norm());
                // Of the ends by shape, and of the fragment's motion, which takes away from the stretch.
                let [a, b, c, d] = s.shape;
                let (near, far) = (
                    SMatrix::<f64, 2, 4>::new(a, 0.0, b, 0.0, 0.0, a, 0.0, b),
                    SMatrix::<f64, 2, 4>::new(c, 0.0, d, 0.0, 0.0, c, 0.0, d),
                );
                it.gradient[e] += near.transpose() * reaction;
                it.gradient[e + 1] += far.transpose() * reaction;
                it.diagonal[e] += near.transpose() * slope * near;
                it.diagonal[e + 1] += far.transpose() * slope * far;
                it.beside[e] += near.transpose() * slope * far;
                if s.along < 0.0 {
                    let moved = SMatrix::<f64, 2, 4>::new(1.0, 0.0, s.along, 0.0, 0.0, 1.0, 0.0, s.along);
                    it.force += moved.transpose() * reaction;
                    it.outer += moved.transpose() * slope * moved;
                    it.mixed[e] += near.transpose() * slope * moved;
                    it.mixed[e + 1] += far.transpose() * slope * moved;
                }
            }
        }
        for ((left, gradient), mixed) in it.left.iter_mut().zip(&it.gradient).zip(&it.mixed) {
            left.set_column(0, gradient);
            left.fixed_columns_mut::<4>(1).copy_from(mixed);
            it.worst = it.worst.max(gradient.xy().norm());
        }
        it
    }
}

impl Station {
    /// Displacement of the beam here, mm.
    fn displaced(&self, near: &Vector4<f64>, far: &Vector4<f64>) -> Pair {
        let [a, b, c, d] = self.shape;
        near.xy() * a + Pair::new(near.z, near.w) * b + far.xy() * c + Pair::new(far.z, far.w) * d
    }

    /// What the bone itself moves by here, mm.
    fn moved(&self, outer: &Vector4<f64>) -> Pair {
        if self.along < 0.0 { outer.xy() + Pair::new(outer.z, outer.w) * self.along } else { Pair::zeros() }
    }

    /// Reaction to an elastic stretch, at most `share` of the limit, and its derivative (radial return).
    fn law(&self, stretch: &Pair, share: f64) -> (Pair, Matrix2<f64>) {
        let (trial, limit) = (stretch * self.stiffness, self.limit * share);
        let size = trial.norm();
        let whole = Matrix2::identity() * self.stiffness;
        if size <= limit {
            return (trial, whole);
        }
        let along = trial / size;
        (along * limit, (whole - along * along.transpose() * self.stiffness) * (limit / size) + whole * KEPT)
    }
}

/// The beam's equations, node by node, about a state of it.
struct Equations {
    diagonal: Vec<Block>,
    beside: Vec<Block>,
    /// Right sides: what is left at each node, and its derivative by shift and slope (sign turned).
    left: Vec<SMatrix<f64, 4, 5>>,
    gradient: Vec<Vector4<f64>>,
    mixed: Vec<Block>,
    outer: Block,
    force: Vector4<f64>,
    /// Largest force left at a node, and what it is measured by, N.
    worst: f64,
    scale: f64,
    /// What rounding of the displacement makes of it, N.
    rounding: f64,
}

impl Equations {
    /// Solves for the right sides in place, block by block.
    fn eliminate(&mut self) {
        let nodes = self.diagonal.len();
        for k in 0..nodes {
            let inverse = self.diagonal[k].try_inverse().unwrap_or_else(|| Block::from_element(f64::NAN));
            self.diagonal[k] = inverse;
            if k + 1 < nodes {
                let down = self.beside[k].transpose() * inverse;
                self.diagonal[k + 1] -= down * self.beside[k];
                let right = down * self.left[k];
                self.left[k + 1] -= right;
            }
        }
        for k in (0..nodes).rev() {
            let mut right = self.left[k];
            if k + 1 < nodes {
                right -= self.beside[k] * self.left[k + 1];
            }
            self.left[k] = self.diagonal[k] * right;
        }
    }

    /// Magnitude of the potential's slope along a step.
    fn descent(&self, step: &[Vector4<f64>]) -> f64 {
        self.gradient.iter().zip(step).map(|(g, d)| g.dot(d)).sum::<f64>().abs()
    }
}
