//! The fragment and its bed (crater) in closed form, from what can be measured on CT.

use super::Socket;
use crate::math::Vec3;
use std::f64::consts::{FRAC_PI_2, PI};
use thiserror::Error;

/// The angle (rad, anterior toward superior) of a clock position: `φ = 90° − 30°·hours`.
/// 12 is superior, 3 anterior on either side, 6 inferior.
pub fn clock_angle(hours: f64) -> f64 {
    FRAC_PI_2 - hours * PI / 6.0
}

/// What is measured: the numbers that define a fragment on a socket.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FragmentShape {
    /// Width w, mm: from the rim to the fracture line, along the mid-radius.
    pub width: f64,
    /// Direction φ of the fragment's middle, rad from anterior toward superior.
    pub direction: f64,
    /// Medial depth H at mid-chord, mm: how far below the face the fracture leaves the neck.
    pub depth: f64,
    /// Tilt β of the fracture plane, rad; zero along z, positive when the plane runs outward as it
    /// goes medially.
    pub tilt: f64,
    /// Superoinferior length, mm, when the ends are cut off shorter than the chord.
    pub length: Option<f64>,
}

/// A geometry that no socket can have, with the measurement to look at first.
#[derive(Debug, Clone, PartialEq, Error)]
#[error("{message}")]
pub struct GeometryError {
    /// The measurement to look at: `diameter`, `face_radius`, `width`, `depth`, `tilt` or `length`.
    pub look_at: &'static str,
    /// What is wrong with it, with the numbers.
    pub message: String,
}

/// A checked fragment: the solid between fracture plane, neck wall, face and end cuts.
#[derive(Debug, Clone, PartialEq)]
pub struct Fragment {
    /// The socket it broke from.
    pub socket: Socket,
    /// The measurements it was built from.
    pub shape: FragmentShape,
    /// Unit vector outward along the mid-radius.
    pub outward: Vec3,
    /// Unit vector along the chord, positive toward superior.
    pub along: Vec3,
    /// Unit normal n of the fracture plane, into the fragment.
    pub normal: Vec3,
    /// Unit vector d down the fracture plane (medially).
    pub down: Vec3,
    /// Distance a of the chord from the socket's centre, mm: `R − w`.
    pub chord_distance: f64,
    /// Height z_a of the face at mid-chord, mm.
    pub chord_height: f64,
    /// Half chord c, mm (or half the length, if shorter).
    pub half_chord: f64,
    /// Taper tan γ of the neck wall: its radius shrinks by this per mm medially.
    pub taper: f64,
    /// Radius of the neck wall carried on to height zero, mm: `R − z_R tan γ`.
    wall_at_face: f64,
    /// Sine and cosine of the tilt.
    pub(crate) tilt_sin_cos: (f64, f64),
    /// Volume of the fragment, mm³.
    pub volume: f64,
    /// Volume centroid in the reduced pose, mm: the fragment's reference point.
    pub centroid: Vec3,
}

/// Abscissae and weights of the five-point Gauss–Legendre rule on [−1, 1]
/// (Abramowitz & Stegun, table 25.4).
const GAUSS: [(f64, f64); 5] = [
    (0.0, 0.568_888_888_888_888_9),
    (-0.538_469_310_105_683_1, 0.478_628_670_499_366_5),
    (0.538_469_310_105_683_1, 0.478_628_670_499_366_5),
    (-0.906_179_845_938_664, 0.236_926_885_056_189_1),
    (0.906_179_845_938_664, 0.236_926_885_056_189_1),
];

/// Integrates `f` over [lo, hi] with `panels` five-point panels.
fn integrate(lo: f64, hi: f64, panels: usize, mut f: impl FnMut(f64) -> [f64; 4]) -> [f64; 4] {
    let mut sum = [0.0; 4];
    let half = 0.5 * (hi - lo) / panels as f64;
    for k in 0..panels {
        let middle = lo + half * (2 * k + 1) as f64;
        for (x, weight) in GAUSS {
            let value = f(middle + half * x);
            for (s, v) in sum.iter_mut().zip(value) {
                *s += weight * half * v;
            }
        }
    }
    sum
}

impl Fragment {
    /// Builds the fragment, or says which measurement makes it impossible.
    ///
    /// # Errors
    /// When the chord misses the socket, the neck wall would taper beyond ±45°, the fracture plane
    /// leaves the socket before its depth, or the face is more curved than the circle allows.
    pub fn new(socket: Socket, shape: FragmentShape) -> Result<Self, GeometryError> {
        let fail = |look_at, message| Err(GeometryError { look_at, message });
        let radius = socket.radius;
        if let Some(rho) = socket.face_radius
            && rho <= radius
        {
            return fail(
                "face_radius",
                format!(
                    "the face radius {rho} mm must exceed the circle's radius {radius} mm, or the face closes before its rim"
                ),
            );
        }
        let a = radius - shape.width;
        if !(shape.width > 0.0 && a > 0.0) {
            return fail(
                "width",
                format!("a width of {:.2} mm must lie between 0 and the circle's radius {radius:.2} mm", shape.width),
            );
        }
        let (sin_phi, cos_phi) = libm::sincos(shape.direction);
        let (sin, cos) = libm::sincos(shape.tilt);
        let outward = Vec3::new(cos_phi, sin_phi, 0.0);
        let along = Vec3::new(-sin_phi, cos_phi, 0.0);
        let chord_height = socket.face_height(a);
        let rise = socket.rim_height() - chord_height;
        let run = radius - a - shape.depth * libm::tan(shape.tilt);
        let taper = run / (rise + shape.depth);
        if taper.abs() > 1.0 {
            return fail(
                if shape.tilt.abs() > 0.35 { "tilt" } else { "depth" },
                format!(
                    "the neck wall would taper by {:.0}°, beyond ±45°: width {:.2} mm, depth {:.2} mm and tilt {:.1}° do not belong together",
                    libm::atan(taper).to_degrees(),
                    shape.width,
                    shape.depth,
                    shape.tilt.to_degrees()
                ),
            );
        }
        let wall = radius - taper * rise;
        let exit = a + shape.depth * libm::tan(shape.tilt);
        if exit <= 0.0 || wall * sin + a * taper * cos <= 0.0 || sin + taper * cos <= 0.0 {
            return fail(
                "tilt",
                format!(
                    "a fracture plane tilted {:.1}° leaves the socket before its depth of {:.2} mm",
                    shape.tilt.to_degrees(),
                    shape.depth
                ),
            );
        }
        let chord = (radius * radius - a * a).sqrt();
        let half_chord = match shape.length {
            Some(length) if length <= 0.0 => {
                return fail("length", format!("a length of {length} mm must be above zero"));
            }
            Some(length) => chord.min(0.5 * length),
            None => chord,
        };
        let mut fragment = Self {
            socket,
            shape,
            outward,
            along,
            normal: outward * cos + Vec3::z() * sin,
            down: outward * sin - Vec3::z() * cos,
            chord_distance: a,
            chord_height,
            half_chord,
            taper,
            wall_at_face: radius - taper * socket.rim_height(),
            tilt_sin_cos: (sin, cos),
            volume: 0.0,
            centroid: Vec3::zeros(),
        };
        let (volume, centroid) = fragment.volume_and_centroid();
        fragment.volume = volume;
        fragment.centroid = centroid;
        Ok(fragment)
    }

    /// Length of the fracture line on the face, mm (`2c`).
    pub fn chord(&self) -> f64 {
        2.0 * self.half_chord
    }

    /// Area (mm²) of the circular segment that the full fracture line cuts from the circle.
    pub fn segment_area(&self) -> f64 {
        let r = self.socket.radius;
        let a = self.chord_distance;
        r * r * libm::acos(a / r) - a * (r * r - a * a).sqrt()
    }

    /// The segment's share of the whole circle, 0 to 1.
    pub fn segment_share(&self) -> f64 {
        self.segment_area() / (PI * self.socket.radius * self.socket.radius)
    }

    /// A point B(t, m) of the fracture plane, mm: `t` along the chord, `m` down the plane.
    pub fn bed_point(&self, t: f64, m: f64) -> Vec3 {
        self.bed_origin() + self.along * t + self.down * m
    }

    /// The middle of the fracture line, mm: the origin of bed coordinates (t, m).
    pub fn bed_origin(&self) -> Vec3 {
        self.outward * self.chord_distance + Vec3::z() * self.chord_height
    }

    /// A point in the section across the bed through the fragment's middle: (outward, lateral), mm.
    pub fn in_section(&self, p: &Vec3) -> [f64; 2] {
        [p.dot(&self.outward), p.z]
    }

    /// Where the face (first) and the neck wall (second) cut the fracture plane at chord position
    /// `t`, as distances m down the plane, mm. The two are equal where the bed has no height.
    pub fn bed_column(&self, t: f64) -> (f64, f64) {
        let (sin, cos) = self.tilt_sin_cos;
        let a = self.chord_distance;
        let top = match self.socket.face_radius {
            None => 0.0,
            Some(rho) => {
                let b = a * sin + (rho - self.chord_height) * cos;
                -t * t / (b + (b * b - t * t).max(0.0).sqrt())
            }
        };
        let rise = self.socket.rim_height() - self.chord_height;
        let wall = self.socket.radius - self.taper * rise;
        let quadratic = sin * sin - (self.taper * cos).powi(2);
        let linear = a * sin + wall * self.taper * cos;
        let constant = a * a + t * t - wall * wall;
        let root = (linear * linear - quadratic * constant).max(0.0).sqrt();
        let bottom = -constant / (linear + root);
        (top, bottom.max(top))
    }

    /// The point of the articular fracture line at chord position `t`, mm.
    pub fn edge_point(&self, t: f64) -> Vec3 {
        self.bed_point(t, self.bed_column(t).0)
    }

    /// The point of the articular fracture line nearest to a point, mm.
    pub fn nearest_edge_point(&self, point: &Vec3) -> Vec3 {
        let c = self.half_chord;
        let distance = |t: f64| (self.edge_point(t) - point).norm_squared();
        // Convex enough on the line: a ternary search, to well under the radius of a needle.
        let (mut low, mut high) = (-c, c);
        for _ in 0..80 {
            let third = (high - low) / 3.0;
            if distance(low + third) <= distance(high - third) {
                high -= third;
            } else {
                low += third;
            }
        }
        self.edge_point(0.5 * (low + high))
    }

    /// Signed distance-like measure q (mm) of the bed point (t, m): positive inside the crater
    /// outline, the least of the margins to the end cuts, to the face and to the neck wall.
    /// With it, its gradient along (t, m).
    pub fn outline(&self, t: f64, m: f64) -> (f64, [f64; 2]) {
        let (sin, cos) = self.tilt_sin_cos;
        let e = self.chord_distance + m * sin;
        let z = self.chord_height - m * cos;
        let r = (e * e + t * t).sqrt();
        let (dr_dt, dr_dm) = if r > 0.0 { (t / r, e * sin / r) } else { (0.0, 0.0) };
        let ends = (self.half_chord - t.abs(), [-t.signum(), 0.0]);
        let slope = match self.socket.face_radius {
            Some(rho) if r < rho => r / (rho * rho - r * r).sqrt(),
            _ => 0.0,
        };
        let face = (self.socket.face_height(r) - z, [slope * dr_dt, slope * dr_dm + cos]);
        let wall = (self.wall_radius(z) - r, [-dr_dt, -self.taper * cos - dr_dm]);
        let mut least = ends;
        for other in [face, wall] {
            if other.0 < least.0 {
                least = other;
            }
        }
        least
    }

    /// Whether the bed point (t, m) lies inside the crater outline, on whose edge
    /// [`outline`](Self::outline) is zero; without roots, because it is asked of every cell.
    #[inline]
    pub fn is_inside_outline(&self, t: f64, m: f64) -> bool {
        let (sin, cos) = self.tilt_sin_cos;
        let e = self.chord_distance + m * sin;
        let z = self.chord_height - m * cos;
        let squared = e * e + t * t;
        let wall = self.wall_radius(z);
        let below_face = match self.socket.face_radius {
            None => z <= 0.0,
            Some(rho) => squared + (rho - z) * (rho - z) >= rho * rho || z <= 0.0,
        };
        t.abs() <= self.half_chord && below_face && wall >= 0.0 && squared <= wall * wall
    }

    /// Radius of the neck wall at height `z`, mm: `R − (z_R − z) tan γ`.
    pub fn wall_radius(&self, z: f64) -> f64 {
        self.wall_at_face + z * self.taper
    }

    /// How deep (mm) a point lies inside the fragment in its reduced pose; negative outside.
    pub fn depth_inside(&self, point: &Vec3) -> f64 {
        let t = point.dot(&self.along);
        let r = libm::hypot(point.x, point.y);
        let off_plane = (point - self.bed_origin()).dot(&self.normal);
        let below_face = self.socket.face_height(r) - point.z;
        let inside_wall = self.wall_radius(point.z) - r;
        off_plane.min(below_face).min(inside_wall).min(self.half_chord - t.abs())
    }

    fn volume_and_centroid(&self) -> (f64, Vec3) {
        let tan = libm::tan(self.shape.tilt);
        let rim = self.socket.rim_height();
        let slice = |t: f64| {
            let (top, bottom) = self.bed_column(t);
            let cos = libm::cos(self.shape.tilt);
            let (z_top, z_bottom) = (self.chord_height - top * cos, self.chord_height - bottom * cos);
            let layer = |z: f64| {
                let plane = self.chord_distance + (self.chord_height - z) * tan;
                let face = self.socket.radius_at_height(z).min(self.socket.radius);
                let face = (face * face - t * t).max(0.0).sqrt();
                let outer = (self.wall_radius(z).powi(2) - t * t).max(0.0).sqrt();
                let inner = plane.max(face).min(outer);
                let area = outer - inner;
                [area, 0.5 * (outer * outer - inner * inner), t * area, z * area]
            };
            let low = integrate(z_bottom, z_top, 6, layer);
            let high = integrate(z_top, rim.max(z_top), 6, layer);
            [low[0] + high[0], low[1] + high[1], low[2] + high[2], low[3] + high[3]]
        };
        // t = c sin u takes the square-root ends out of the integrand.
        let c = self.half_chord;
        let sum =
            integrate(-FRAC_PI_2, FRAC_PI_2, 16, |u| slice(c * libm::sin(u)).map(|value| value * c * libm::cos(u)));
        let volume = sum[0];
        let centroid = (self.outward * sum[1] + self.along * sum[2] + Vec3::z() * sum[3]) / volume;
        (volume, centroid)
    }
}

#[cfg(test)]
mod tests;
