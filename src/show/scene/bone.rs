//! Outlines of intact bone.

use super::view::Seen;
use crate::anatomy::Fragment;
use crate::model::Case;
use crate::show::chart::*;

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
pub(super) fn intact(case: &Case, seen: Seen) -> Vec<[f64; 2]> {
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
