//! The articular face as an area: inside the rim, and cut by planes into the fragment's part and the rest.

use super::Fragment;
use crate::math::Vec3;

/// A half-space `normal · x ≤ level`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HalfSpace {
    /// Unit normal, pointing out of it.
    pub normal: Vec3,
    /// Level of its plane along the normal, mm.
    pub level: f64,
}

/// The face of a socket, spherical or flat, with the cuts that part the fragment's piece from the rest. Its rim is the
/// circle of the socket; what of the socket lies superior of that circle is left out.
#[derive(Debug, Clone, PartialEq)]
pub struct Face {
    /// Curvature, 1/mm; zero of a flat face. Its lowest point is the origin.
    pub curvature: f64,
    /// Distance of the rim from the origin, mm: `√(R² + z_R²)`.
    pub rim: f64,
    /// The fragment's part is what lies in all of these: beyond the fracture plane, between the end cuts.
    pub cuts: [HalfSpace; 3],
    /// Points of the face in which two of rim and cuts meet, mm.
    pub corners: Vec<Vec3>,
}

impl Face {
    /// The face that a fragment broke from, in the reduced pose.
    pub fn of(fragment: &Fragment) -> Self {
        let (socket, c) = (&fragment.socket, fragment.half_chord);
        let (radius, height) = (socket.radius, socket.rim_height());
        let along = fragment.along;
        let cuts = [
            HalfSpace { normal: -fragment.normal, level: -fragment.normal.dot(&fragment.bed_origin()) },
            HalfSpace { normal: along, level: c },
            HalfSpace { normal: -along, level: c },
        ];
        let at_rim = |t: f64| {
            let e = (radius * radius - t * t).max(0.0).sqrt();
            fragment.outward * e + along * t + Vec3::z() * height
        };
        // Where the fracture plane leaves through the rim, as far as that is between the end cuts.
        let e = fragment.chord_distance - (height - fragment.chord_height) * libm::tan(fragment.shape.tilt);
        let leaves = (radius * radius - e * e).max(0.0).sqrt();
        let inner = (leaves < c).then_some(leaves);
        let corners = [-1.0, 1.0].into_iter().flat_map(|side| {
            let edge = fragment.edge_point(side * c);
            [Some(at_rim(side * c)), Some(edge), inner.map(|t| at_rim(side * t))].into_iter().flatten()
        });
        Self {
            curvature: socket.face_radius.map_or(0.0, f64::recip),
            rim: libm::hypot(radius, height),
            cuts,
            corners: corners.collect(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::anatomy::{FragmentShape, Socket};

    #[test]
    fn corners_lie_on_the_face_and_on_what_meets_there() {
        for (tilt, length) in [(10.0f64, None), (-15.0, None), (0.0, Some(12.0))] {
            let shape = FragmentShape { width: 6.5, direction: -0.5, depth: 10.0, tilt: tilt.to_radians(), length };
            let socket = Socket { radius: 13.0, face_radius: Some(30.0) };
            let fragment = Fragment::new(socket, shape).unwrap();
            let face = Face::of(&fragment);
            assert!(face.corners.len() >= 4);
            for corner in &face.corners {
                let r = libm::hypot(corner.x, corner.y);
                // Roundings of numbers near 30.
                assert!((corner.z - socket.face_height(r)).abs() < 1e-12, "{corner}");
                let on_rim = usize::from((corner.norm() - face.rim).abs() < 1e-12);
                let on_cut = face.cuts.iter().filter(|cut| (cut.normal.dot(corner) - cut.level).abs() < 1e-12);
                assert!(on_rim + on_cut.count() >= 2, "{corner}");
            }
        }
    }
}
