//! Outlines of intact bone, and the fragment in any pose: its outlines, what it hides, and its fracture line against the intact edge.

use super::*;
use crate::anatomy::Fragment;

/// Points along the fracture line.
pub(super) const LINE: usize = 31;

/// The fragment's edges, material points in mm.
pub(crate) struct Body<'a> {
    pub case: &'a Case,
    /// Fracture line on the face, from the inferior to the superior end.
    line: Vec<Vec3>,
    /// Rim, from the superior to the inferior end.
    rim: Vec<Vec3>,
    /// Medial margin, as the fracture line.
    margin: Vec<Vec3>,
    /// Middle section: face, rim, neck wall, medial margin.
    section: Vec<Vec3>,
}

impl<'a> Body<'a> {
    pub fn new(case: &'a Case) -> Self {
        let f = &case.fragment;
        let (c, radius) = (f.half_chord, f.socket.radius);
        let turn = libm::asin((c / radius).clamp(-1.0, 1.0)).to_degrees();
        let bed = |k: usize, edge: fn((f64, f64)) -> f64| {
            // Sines, so that the ends, where the outline is steep, are finely cut.
            let t = c * turned(180.0 * k as f64 / (LINE - 1) as f64 - 180.0)[0];
            f.bed_point(t, edge(f.bed_column(t)))
        };
        let rim = arc([0.0; 2], radius, [turn, -turn], 60).into_iter();
        let face = face_line(f, f.chord_distance, radius).into_iter();
        let margin: Vec<Vec3> = (0..LINE).map(|k| bed(k, |column| column.1)).collect();
        let section = face.map(|[e, z]| f.outward * e + Vec3::z() * z);
        Self {
            case,
            line: (0..LINE).map(|k| bed(k, |column| column.0)).collect(),
            rim: rim.map(|[e, t]| f.outward * e + f.along * t + Vec3::z() * f.socket.rim_height()).collect(),
            section: section.chain([f.bed_point(0.0, f.bed_column(0.0).1)]).collect(),
            margin,
        }
    }

    fn f(&self) -> &'a Fragment {
        &self.case.fragment
    }

    fn place(&self, pose: &Pose, p: &Vec3) -> Vec3 {
        pose.place(&self.f().centroid, p)
    }

    /// Its outline in a pose as seen from somewhere; en face that of its face, fracture line first.
    pub fn outline(&self, seen: Seen, pose: &Pose) -> Vec<[f64; 2]> {
        let ends = [&self.rim[0], &self.rim[self.rim.len() - 1]];
        let points: Vec<&Vec3> = match seen {
            Seen::Face => self.line.iter().chain(&self.rim).collect(),
            Seen::Section => self.section.iter().collect(),
            Seen::Front => ends.into_iter().chain(&self.margin).collect(),
            Seen::Bed => self.line.iter().chain(self.margin.iter().rev()).collect(),
        };
        points.into_iter().map(|p| seen.flat(self.case, &self.place(pose, p))).collect()
    }

    /// The outline en face of all of it outward of the intact edge.
    pub fn whole(&self, pose: &Pose) -> Vec<[f64; 2]> {
        let all = self.line.iter().chain(&self.rim).chain(&self.margin);
        let all: Vec<[f64; 2]> = all.map(|p| Seen::Face.flat(self.case, &self.place(pose, p))).collect();
        let (out, edge) = (self.f().outward, self.f().chord_distance);
        half(&hull(&all), |p| p[0] * out.x + p[1] * out.y - edge)
    }

    /// Its fracture line against the intact edge, from the inferior to the superior end: where along the
    /// chord, and how far lateral of the intact edge there, mm.
    pub fn against(&self, pose: &Pose) -> Vec<[f64; 2]> {
        let f = self.f();
        let step = |p: &Vec3| {
            let q = self.place(pose, p);
            let along = (q - f.bed_origin()).dot(&f.along);
            [along, q.z - f.bed_point(along, f.bed_column(along).0).z]
        };
        self.line.iter().map(step).collect()
    }

    /// Its inferior tip in a pose.
    pub fn tip(&self, pose: &Pose) -> Vec3 {
        self.place(pose, &self.rim[self.rim.len() - 1])
    }

    /// Whether a point is hidden en face, by the fragment in its pose or deep in intact bone. A
    /// straight limb to a recessed fragment dips below the intact edge, which it would lie on.
    pub fn hides(&self, pose: &Pose, p: Vec3) -> bool {
        const DIP: f64 = 4.0;
        let f = self.f();
        let outward = |q: &Vec3| q.dot(&f.outward) - f.chord_distance;
        // The same place on the reduced fragment.
        let own = pose.turn.inverse() * (p - f.centroid - pose.shift) + f.centroid;
        let by_fragment = outward(&own) >= 0.0 && own.dot(&f.along).abs() < f.half_chord;
        let by_socket = outward(&p) < 0.0;
        (by_fragment && is_hidden(f, own.into())) || (by_socket && is_hidden(f, (p + Vec3::z() * DIP).into()))
    }

    /// Draws intact bone, the bed that the fragment does not cover, the fragment in its pose, and where it is reduced.
    pub fn draw(&self, canvas: &mut Canvas, view: &View<'_>, pose: &Pose) {
        let theme = view.theme;
        let outline = Stroke::solid(theme.ink, theme.outline);
        let intact = view.all(&intact(self.case, view.seen));
        canvas.area(&intact, theme.bone);
        canvas.outline(&intact, theme.axis());
        canvas.area(&view.all(&self.outline(view.seen, &Pose::default())), theme.bone.mix(theme.ink, 0.16));
        if view.seen == Seen::Face {
            let whole = view.all(&self.whole(pose));
            canvas.area(&whole, theme.fragment.mix(theme.ink, 0.25));
            canvas.outline(&whole, outline);
        }
        let face = view.all(&self.outline(view.seen, pose));
        canvas.area(&face, theme.fragment);
        canvas.outline(&face, outline);
        if view.seen == Seen::Face {
            canvas.path(&face[..LINE], Stroke::solid(theme.ink, 1.3));
        }
        self.draw_reduced(canvas, view);
    }

    /// Draws the outline of the reduced fragment.
    pub fn draw_reduced(&self, canvas: &mut Canvas, view: &View<'_>) {
        canvas.outline(&view.all(&self.outline(view.seen, &Pose::default())), view.theme.reduced());
    }
}

/// The part of a polygon where `inside` is not negative.
pub(super) fn half(points: &[Point], inside: impl Fn(&Point) -> f64) -> Vec<Point> {
    let mut out = Vec::with_capacity(points.len() + 4);
    for (k, p) in points.iter().enumerate() {
        let q = &points[(k + 1) % points.len()];
        let (a, b) = (inside(p), inside(q));
        if a >= 0.0 {
            out.push(*p);
        }
        if (a >= 0.0) != (b >= 0.0) {
            out.push(between(*p, *q, a / (a - b)));
        }
    }
    out
}

/// The convex hull, counter-clockwise in axes x right, y up (Andrew's monotone chain).
fn hull(points: &[Point]) -> Vec<Point> {
    let mut sorted = points.to_vec();
    sorted.sort_by(|a, b| a[0].total_cmp(&b[0]).then(a[1].total_cmp(&b[1])));
    let turn = |o: &Point, a: &Point, b: &Point| (a[0] - o[0]) * (b[1] - o[1]) - (a[1] - o[1]) * (b[0] - o[0]);
    let chain = |points: &mut dyn Iterator<Item = Point>| {
        let mut chain: Vec<Point> = Vec::new();
        for p in points {
            while chain.len() >= 2 && turn(&chain[chain.len() - 2], &chain[chain.len() - 1], &p) <= 0.0 {
                chain.pop();
            }
            chain.push(p);
        }
        chain.pop();
        chain
    };
    [chain(&mut sorted.iter().copied()), chain(&mut sorted.iter().rev().copied())].concat()
}

/// The socket's outline en face, as (anterior, superior) in mm: the inferior circle below, a
/// narrower upper part above, with the shallow notch that the anterior margin has between them. The
/// upper part is a sketch to the socket's height and enters no computation.
fn socket(f: &Fragment, height: f64) -> Vec<[f64; 2]> {
    let r = f.socket.radius;
    let top = (height - r).max(1.05 * r);
    let small = (0.66 * r).min(0.5 * (top + r) * 0.9);
    let centre = top - small;
    // Outer common tangent of two circles on the vertical axis.
    let lean = libm::asin((r - small) / centre.max(r - small)).to_degrees();
    let mut outline = arc([0.0, 0.0], r, [180.0 - lean, 400.0], 150);
    let (a, b) = (turned(40.0), turned(4.0));
    let from = a.map(|v| r * v);
    let to = [small * b[0], centre + small * b[1]];
    let reach = 0.8 * distance(from, to);
    let (out, into) = ([-a[1] * reach, a[0] * reach], [-b[1] * reach, b[0] * reach]);
    for k in 1..24 {
        let s = f64::from(k) / 24.0;
        let (s2, s3) = (s * s, s * s * s);
        // Cubic Hermite between the two circles, tangent to both.
        let h = [2.0 * s3 - 3.0 * s2 + 1.0, s3 - 2.0 * s2 + s, 3.0 * s2 - 2.0 * s3, s3 - s2];
        outline.push([0, 1].map(|i| h[0] * from[i] + h[1] * out[i] + h[2] * to[i] + h[3] * into[i]));
    }
    outline.extend(arc([0.0, centre], small, [4.0, 180.0 - lean], 80));
    outline
}

/// The neck wall from in front, from the rim to far medial, so that the neck goes on beyond any window.
fn neck(f: &Fragment) -> Vec<[f64; 2]> {
    const DEEP: f64 = 60.0;
    let rim = -f.socket.rim_height();
    let edge = |k: i32| {
        let u = rim + (DEEP - rim) * f64::from(k) / 20.0;
        [u, f.wall_radius(-u).max(0.0)]
    };
    (0..=20).map(edge).chain((0..=20).rev().map(edge).map(|[u, v]| [u, -v])).collect()
}

/// The intact bone en face or from in front; in other views none.
fn intact(case: &Case, seen: Seen) -> Vec<[f64; 2]> {
    match seen {
        Seen::Face => socket(&case.fragment, case.socket_height),
        Seen::Front => neck(&case.fragment),
        Seen::Section | Seen::Bed => Vec::new(),
    }
}

/// The face in section, (outward, lateral) in mm, from `from` to `to` along the mid-radius.
pub(super) fn face_line(f: &Fragment, from: f64, to: f64) -> Vec<[f64; 2]> {
    let at = |k: i32| from + (to - from) * f64::from(k) / 40.0;
    (0..=40).map(|k| [at(k), f.socket.face_height(at(k).abs())]).collect()
}

/// The medial margin in section.
pub(super) fn margin(f: &Fragment) -> [f64; 2] {
    let p = f.bed_point(0.0, f.bed_column(0.0).1);
    [p.dot(&f.outward), p.z]
}

/// Whether a point lies medial to the face, under the socket: hidden en face.
pub(crate) fn is_hidden(f: &Fragment, p: [f64; 3]) -> bool {
    let r = distance([0.0; 2], [p[0], p[1]]);
    // A point that rests on the rim or the face is seen; 0.05 mm keeps rounding from hiding it.
    r < f.socket.radius - 1e-6 && p[2] < f.socket.face_height(r) - 0.05
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_hull_leaves_out_what_lies_inside() {
        let points = [[0.0, 0.0], [2.0, 0.0], [1.0, 0.5], [2.0, 2.0], [0.0, 2.0]];
        assert_eq!(hull(&points), vec![[0.0, 0.0], [2.0, 0.0], [2.0, 2.0], [0.0, 2.0]]);
    }

    #[test]
    fn half_of_a_square_has_half_its_area() {
        let square = [[-1.0, -1.0], [1.0, -1.0], [1.0, 1.0], [-1.0, 1.0]];
        assert_eq!(half(&square, |p| p[0]), vec![[0.0, -1.0], [1.0, -1.0], [1.0, 1.0], [0.0, 1.0]]);
    }
}
