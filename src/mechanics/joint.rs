//! The joint: a rigid spherical head on the cartilage of a socket, an elastic foundation without friction.
//!
//! At a point x of the face the head, of radius R and with its centre at h, lies `δ = R − |x − h|` deep in the cartilage;
//! where δ is positive the pressure is `p = k δ` and acts along `h − x`. So the force on the head is the slope of the
//! energy `½ k ∫ δ² dA`, and passes through the head's centre.
//!
//! **Rings.** On a sphere (or plane) with the curvature κ, all points at a chord c from the pole, the face's point
//! nearest to the head's centre, lie equally deep: `s² = |x − h|² = g² + (1 − κg) c²` with the centre g above the pole,
//! and the area element is exactly `c dc dα`. Rim and cuts leave arcs of each ring, whose integrals are closed forms;
//! what is left to quadrature is smooth in c between the chords where a ring touches a boundary or passes a corner.
//! It is done between those by Gauss–Legendre in `sin(πu/2)`, which takes the square roots at both ends away.

use super::Pose;
use crate::anatomy::{Face, Fragment};
use crate::math::{Vec3, any_perpendicular};
use std::f64::consts::{FRAC_PI_2, PI, TAU};

/// The head and the foundation that it presses on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Head {
    /// Radius of the head, mm.
    pub radius: f64,
    /// Pressure per penetration, MPa/mm: confined modulus over thickness.
    pub stiffness: f64,
}

/// What the head bears.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Contact {
    /// Force on the head, N.
    pub force: Vec3,
    /// Area in contact, mm².
    pub area: f64,
    /// Energy stored in the cartilage, N·mm.
    pub energy: f64,
    /// Largest pressure, MPa.
    pub pressure: f64,
}

impl Contact {
    fn add(&mut self, other: &Self) {
        self.force += other.force;
        self.area += other.area;
        self.energy += other.energy;
        self.pressure = self.pressure.max(other.pressure);
    }
}

/// A part of the face.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Part {
    /// All of it.
    Whole,
    /// The fragment's.
    Fragment,
    /// What is left without the fragment.
    Rest,
}

/// Where the fragment's part of the face is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Piece {
    /// Unbroken.
    Whole,
    /// Gone.
    Missing,
    /// At a pose of the fragment.
    At(Pose),
}

/// A socket, its fragment's part of the face, and the head.
#[derive(Debug, Clone, PartialEq)]
pub struct Joint {
    face: Face,
    /// Reference point of poses, mm.
    reference: Vec3,
    head: Head,
    /// Places in [−1, 1] and weights of the quadrature between two chords.
    nodes: Vec<[f64; 2]>,
}

/// The head at rest under a load along the axis of the socket.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Seated {
    /// Height of the head's centre over the bottom of the face, mm.
    pub height: f64,
    /// What it bears, all together.
    pub contact: Contact,
    /// Force of the head on the fragment, N.
    pub on_fragment: Vec3,
    /// By how much the load is missed, N.
    pub imbalance: f64,
    /// Change of the force along the axis with the height, N/mm: a good start for the next place.
    slope: f64,
}

/// Nodes between two chords by default: a peak changes by under 1e-8 of it with twice as many.
pub const NODES: usize = 12;

/// Largest change of height in one step of the solution, mm.
const STRIDE: f64 = 0.25;
/// Share of the load that the solution aims at.
const AIM: f64 = 1e-11;

impl Joint {
    /// The joint of a fragment's socket with so many nodes between two chords.
    pub fn new(fragment: &Fragment, head: Head, nodes: usize) -> Self {
        Self { face: Face::of(fragment), reference: fragment.centroid, head, nodes: gauss_in_sine(nodes) }
    }

    /// Height of the head's centre where it just touches the bottom of the face, mm.
    pub fn touching(&self) -> f64 {
        self.head.radius
    }

    /// What the head bears with its centre at a point (mm), and its force on the fragment (N).
    pub fn press(&self, piece: &Piece, centre: &Vec3) -> (Contact, Vec3) {
        match piece {
            Piece::Whole => (self.part(Part::Whole, centre), Vec3::zeros()),
            Piece::Missing => (self.part(Part::Rest, centre), Vec3::zeros()),
            Piece::At(pose) => {
                // The fragment's face as it was, under the head as the fragment sees it.
                let seen = self.reference + pose.turn.inverse() * (centre - self.reference - pose.shift);
                let mut own = self.part(Part::Fragment, &seen);
                own.force = pose.turn * own.force;
                let mut all = self.part(Part::Rest, centre);
                all.add(&own);
                (all, -own.force)
            }
        }
    }

    /// The head over a place (mm anterior, superior of the socket's middle), pressed medially along the socket's axis
    /// by a load (N), and held from moving aside. `None` where nothing bears it. `from` is a neighbouring state.
    pub fn seat(&self, piece: &Piece, [x, y]: [f64; 2], load: f64, from: Option<&Seated>) -> Option<Seated> {
        let mut height = from.map_or(self.touching(), |s| s.height);
        let mut slope = from.map_or(0.0, |s| s.slope);
        let (mut low, mut high) = (f64::NEG_INFINITY, f64::INFINITY);
        let mut last: Option<[f64; 2]> = None;
        // Some ten steps do; where nothing bears the head it sinks past the socket.
        for _ in 0..400 {
            let (contact, on_fragment) = self.press(piece, &Vec3::new(x, y, height));
            let over = contact.force.z - load;
            if let Some([h, o]) = last.filter(|[h, _]| *h != height) {
                slope = (over - o) / (height - h);
            }
            let narrow = high - low <= 1e-14 * self.head.radius;
            if over.abs() <= AIM * load || narrow {
                return Some(Seated { height, contact, on_fragment, imbalance: over.abs(), slope });
            }
            if over > 0.0 {
                low = low.max(height);
            } else {
                high = high.min(height);
            }
            last = Some([height, over]);
            let step = if slope < 0.0 { (-over / slope).clamp(-STRIDE, STRIDE) } else { STRIDE * over.signum() };
            let next = height + step;
            height = if next > low && next < high {
                next
            } else {
                0.5 * (low.max(height - STRIDE) + high.min(height + STRIDE))
            };
            if height < -self.head.radius {
                return None;
            }
        }
        None
    }

    /// What a part of the face in its reduced place bears.
    pub fn part(&self, part: Part, centre: &Vec3) -> Contact {
        let Head { radius, stiffness } = self.head;
        let curvature = self.face.curvature;
        let toward = Vec3::z() - centre * curvature;
        // The distance from the face's own centre to the head's, as a share of the face's radius: 1 − κg.
        let spread = toward.norm();
        let normal = if spread > 1e-9 { toward / spread } else { Vec3::z() };
        let gap = (2.0 * centre.z - curvature * centre.norm_squared()) / (1.0 + spread);
        let pole = centre - normal * gap;
        let mut reach = pole.norm() + self.face.rim;
        let deep = radius * radius - gap * gap;
        if spread * reach * reach > deep {
            reach = (deep.max(0.0) / spread).sqrt();
        }
        if curvature > 0.0 {
            reach = reach.min(2.0 / curvature);
        }
        let mut found = Contact::default();
        if reach <= 0.0 || gap >= radius && spread > 0.0 {
            return found;
        }
        let first = any_perpendicular(&normal);
        let axes = [first, normal.cross(&first)];
        let mut bounds = [Bound::default(); 4];
        let rim = 0.5 * (self.face.rim * self.face.rim - pole.norm_squared());
        bounds[0] = Bound::new(rim, 0.5 * (1.0 + curvature * pole.dot(&normal)), &pole, &axes);
        for (bound, cut) in bounds[1..].iter_mut().zip(&self.face.cuts) {
            let n = &cut.normal;
            *bound = Bound::new(cut.level - n.dot(&pole), 0.5 * curvature * n.dot(&normal), n, &axes);
        }
        let bounds = &bounds[..if part == Part::Whole { 1 } else { 4 }];
        let mut chords = Chords::new(reach);
        bounds.iter().for_each(|bound| chords.touching(bound, curvature));
        if part != Part::Whole {
            self.face.corners.iter().for_each(|corner| chords.push((corner - pole).norm()));
        }
        let mut sum = [0.0; 3];
        for [from, to] in chords.stretches() {
            let (middle, half) = (0.5 * (from + to), 0.5 * (to - from));
            // What a ring passes does not change between two chords.
            if arcs(part, bounds, middle, curvature)[0] <= 0.0 {
                continue;
            }
            if found.area == 0.0 {
                found.pressure = stiffness * (radius - (gap * gap + spread * from * from).sqrt());
            }
            for [place, weight] in &self.nodes {
                let c = middle + half * place;
                let [all, cos, sin] = arcs(part, bounds, c, curvature);
                let s = (gap * gap + spread * c * c).sqrt();
                let depth = radius - s;
                let area = weight * half * c;
                let pressed = stiffness * depth * area;
                let sideways = pressed / s * c * slant(c, curvature);
                sum[0] += pressed / s * (gap - 0.5 * curvature * c * c) * all;
                sum[1] -= sideways * cos;
                sum[2] -= sideways * sin;
                found.area += area * all;
                found.energy += 0.5 * pressed * depth * all;
            }
        }
        found.force = normal * sum[0] + axes[0] * sum[1] + axes[1] * sum[2];
        found
    }
}

/// Share of a chord that runs along the tangent plane of its pole.
fn slant(c: f64, curvature: f64) -> f64 {
    (1.0 - 0.25 * (curvature * c).powi(2)).max(0.0).sqrt()
}

/// A boundary as the rings meet it: of the ring at chord c the points with `across · c w cos(α − at) ≤ p − q c²` lie
/// inside, w the slant.
#[derive(Debug, Clone, Copy, Default)]
struct Bound {
    p: f64,
    q: f64,
    across: f64,
    at: f64,
}

impl Bound {
    fn new(p: f64, q: f64, toward: &Vec3, axes: &[Vec3; 2]) -> Self {
        let [x, y] = [0, 1].map(|k| toward.dot(&axes[k]));
        Self { p, q, across: libm::hypot(x, y), at: libm::atan2(y, x) }
    }
}

/// Integrals of 1, cos α and sin α over what a part of the face has of a ring.
fn arcs(part: Part, bounds: &[Bound], c: f64, curvature: f64) -> [f64; 3] {
    let inside = |bounds: &[Bound]| {
        let mut arcs = Arcs::whole();
        let along = c * slant(c, curvature);
        for bound in bounds {
            let (most, swing) = (bound.p - bound.q * c * c, bound.across * along);
            if most <= -swing {
                return [0.0; 3];
            }
            if most < swing {
                arcs.without(bound.at, libm::acos(most / swing));
            }
        }
        arcs.moments()
    };
    match part {
        Part::Whole | Part::Fragment => inside(bounds),
        Part::Rest => {
            let (all, gone) = (inside(&bounds[..1]), inside(bounds));
            let left = [0, 1, 2].map(|k| all[k] - gone[k]);
            // A ring that the fragment has whole leaves a rounding.
            if left[0] <= 1e-12 { [0.0; 3] } else { left }
        }
    }
}

/// Arcs of a ring, angles from −π to π, in their order.
struct Arcs {
    arcs: [[f64; 2]; 8],
    count: usize,
}

impl Arcs {
    fn whole() -> Self {
        let mut arcs = [[0.0; 2]; 8];
        arcs[0] = [-PI, PI];
        Self { arcs, count: 1 }
    }

    /// Takes away what is nearer than `half` to an angle.
    fn without(&mut self, at: f64, half: f64) {
        let (from, to) = (at - half, at + half);
        self.cut(from, to);
        self.cut(from - TAU, to - TAU);
        self.cut(from + TAU, to + TAU);
    }

    fn cut(&mut self, from: f64, to: f64) {
        let old = (self.arcs, self.count);
        self.count = 0;
        for [a, b] in &old.0[..old.1] {
            for piece in [[*a, b.min(from)], [a.max(to), *b]] {
                if piece[1] > piece[0] && self.count < self.arcs.len() {
                    self.arcs[self.count] = piece;
                    self.count += 1;
                }
            }
        }
    }

    fn moments(&self) -> [f64; 3] {
        if self.count == 1 && self.arcs[0] == [-PI, PI] {
            return [TAU, 0.0, 0.0];
        }
        let mut sum = [0.0; 3];
        for [a, b] in &self.arcs[..self.count] {
            let ((sin_a, cos_a), (sin_b, cos_b)) = (libm::sincos(*a), libm::sincos(*b));
            sum[0] += b - a;
            sum[1] += sin_b - sin_a;
            sum[2] += cos_a - cos_b;
        }
        sum
    }
}

/// Chords between which the integrands are smooth.
struct Chords {
    values: [f64; 20],
    count: usize,
    reach: f64,
}

impl Chords {
    fn new(reach: f64) -> Self {
        let mut values = [0.0; 20];
        values[1] = reach;
        Self { values, count: 2, reach }
    }

    fn push(&mut self, c: f64) {
        if c > 0.0 && c < self.reach && self.count < self.values.len() {
            self.values[self.count] = c;
            self.count += 1;
        }
    }

    /// The chords whose rings touch a boundary: `(p − q c²)² = (across · c w)²`.
    fn touching(&mut self, bound: &Bound, curvature: f64) {
        let Bound { p, q, across, .. } = *bound;
        let square = across * across;
        let inner = square + 4.0 * p * q - (curvature * p).powi(2);
        if inner < 0.0 {
            return;
        }
        let (a, b) = (q * q + 0.25 * (curvature * across).powi(2), 2.0 * p * q + square);
        let root = across * inner.sqrt();
        // The two roots in c², each in the form that does not cancel.
        let sum = if b >= 0.0 { b + root } else { b - root };
        for squared in [2.0 * p * p / sum, 0.5 * sum / a] {
            if squared.is_finite() && squared > 0.0 {
                self.push(squared.sqrt());
            }
        }
    }

    /// The stretches between them, from the pole outward.
    fn stretches(&mut self) -> impl Iterator<Item = [f64; 2]> + '_ {
        self.values[..self.count].sort_unstable_by(f64::total_cmp);
        let least = 1e-13 * self.reach;
        let chords = &self.values[..self.count];
        (1..self.count).map(move |k| [chords[k - 1], chords[k]]).filter(move |[a, b]| b - a > least)
    }
}

/// Places and weights of Gauss–Legendre in u for an integral over `sin(πu/2)` from −1 to 1.
fn gauss_in_sine(count: usize) -> Vec<[f64; 2]> {
    let n = count.max(2);
    let node = |k: usize| {
        // Newton from the usual start (Abramowitz & Stegun 22.16.6) to the zero of the Legendre polynomial.
        let mut x = -libm::cos(PI * (k as f64 + 0.75) / (n as f64 + 0.5));
        let mut slope = 1.0;
        for _ in 0..50 {
            let (mut before, mut now) = (1.0, x);
            for j in 2..=n {
                let j = j as f64;
                (before, now) = (now, ((2.0 * j - 1.0) * x * now - (j - 1.0) * before) / j);
            }
            slope = n as f64 * (x * now - before) / (x * x - 1.0);
            let step = now / slope;
            x -= step;
            if step.abs() < 1e-15 {
                break;
            }
        }
        let weight = 2.0 / ((1.0 - x * x) * slope * slope);
        let (sin, cos) = libm::sincos(FRAC_PI_2 * x);
        [sin, weight * FRAC_PI_2 * cos]
    };
    (0..n).map(node).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::anatomy::{FragmentShape, Socket};
    use crate::math::rotation;

    fn fragment(face_radius: Option<f64>, length: Option<f64>) -> Fragment {
        let shape = FragmentShape { width: 6.5, direction: -0.5, depth: 10.0, tilt: 10.0f64.to_radians(), length };
        Fragment::new(Socket { radius: 13.0, face_radius }, shape).unwrap()
    }

    const HEAD: Head = Head { radius: 24.0, stiffness: 9.5 };

    /// The same by brute force: midpoints of a million cells of the face seen from lateral, whether each lies in the
    /// fragment told by the solid that anatomy defines.
    fn by_cells(fragment: &Fragment, part: Part, centre: &Vec3) -> Contact {
        let (n, radius) = (1000, fragment.socket.radius);
        let h = 2.0 * radius / n as f64;
        let mut found = Contact::default();
        for k in 0..n * n {
            let [x, y] = [k / n, k % n].map(|i| -radius + h * (i as f64 + 0.5));
            if libm::hypot(x, y) > radius {
                continue;
            }
            let point = fragment.socket.on_face(x, y);
            let off = point - fragment.bed_origin();
            let own = off.dot(&fragment.normal) > 0.0 && off.dot(&fragment.along).abs() < fragment.half_chord;
            if (part == Part::Fragment && !own) || (part == Part::Rest && own) {
                continue;
            }
            let s = (centre - point).norm();
            let depth = HEAD.radius - s;
            if depth > 0.0 {
                let lean = fragment.socket.face_radius.map_or(1.0, |rho| 1.0 - point.z / rho);
                let area = h * h / lean;
                found.force += (centre - point) / s * (HEAD.stiffness * depth * area);
                found.area += area;
                found.energy += 0.5 * HEAD.stiffness * depth * depth * area;
                found.pressure = found.pressure.max(HEAD.stiffness * depth);
            }
        }
        found
    }

    #[test]
    fn rings_with_their_arcs_are_what_a_million_cells_sum_to() {
        let all = [(Some(30.0), None), (Some(30.0), Some(9.0)), (None, Some(12.0)), (Some(16.0), None)];
        for (face_radius, length) in all {
            let fragment = fragment(face_radius, length);
            let joint = Joint::new(&fragment, HEAD, NODES);
            for centre in [[0.3, -0.2, 23.6], [3.0, -1.5, 23.7], [8.0, -6.0, 24.0], [-4.0, 3.0, 23.5]] {
                let centre = Vec3::from(centre);
                for part in [Part::Whole, Part::Fragment, Part::Rest] {
                    let (rings, cells) = (joint.part(part, &centre), by_cells(&fragment, part, &centre));
                    let what = format!("{face_radius:?} {length:?} {centre} {part:?}: {rings:?} {cells:?}");
                    // Cells of 0.026 mm along a boundary of some 40 mm err by chance, each by half of its area:
                    // some hundredths of a mm² in all, 0.01 of the largest pressure in force.
                    let scale = joint.part(Part::Whole, &centre).pressure.max(0.1);
                    assert!((rings.area - cells.area).abs() < 0.15, "{what}");
                    assert!((rings.force - cells.force).norm() < 0.1 * scale, "{what}");
                    assert!((rings.energy - cells.energy).abs() < 0.1 * scale * scale, "{what}");
                    assert!((rings.pressure - cells.pressure).abs() < 0.02 * scale + 0.02, "{what}");
                }
            }
        }
    }

    #[test]
    fn parts_are_the_whole_and_a_joint_turned_with_its_fragment_bears_the_same() {
        let fragment = fragment(Some(30.0), Some(15.0));
        let joint = Joint::new(&fragment, HEAD, NODES);
        let centre = Vec3::new(4.0, -2.0, 23.8);
        let whole = joint.part(Part::Whole, &centre);
        let (all, _) = joint.press(&Piece::At(Pose::default()), &centre);
        // Quadrature: 12 nodes between two chords.
        assert!((all.force - whole.force).norm() < 1e-7 * whole.force.norm(), "{all:?} {whole:?}");
        assert!((all.area - whole.area).abs() < 1e-7 * whole.area, "{all:?} {whole:?}");
        assert_eq!(all.pressure, whole.pressure);
        // What a moved fragment bears is what it bears unmoved under the head moved back.
        let pose = Pose { shift: Vec3::new(0.3, -0.4, 0.2), turn: rotation(&Vec3::new(0.05, -0.1, 0.08)) };
        let moved = pose.place(&fragment.centroid, &centre);
        let own = joint.part(Part::Fragment, &centre);
        let (_, on_fragment) = joint.press(&Piece::At(pose), &moved);
        assert!((on_fragment + pose.turn * own.force).norm() < 1e-9 * own.force.norm());
    }
}
