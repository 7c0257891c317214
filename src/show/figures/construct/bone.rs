//! Outlines of bone: the socket seen en face, the fragment, and both in section.

use crate::anatomy::Fragment;

/// The socket's outline en face, as (anterior, superior) in mm: the inferior circle below, a
/// narrower upper part above, with the shallow notch that the anterior margin has between them. The
/// upper part is a sketch to the socket's height and enters no computation.
pub(in crate::show::figures) fn socket(fragment: &Fragment, height: f64) -> Vec<[f64; 2]> {
    let r = fragment.socket.radius;
    let top = (height - r).max(1.05 * r);
    let small = (0.66 * r).min(0.5 * (top + r) * 0.9);
    let centre = top - small;
    let arc = |cx: f64, cy: f64, radius: f64, from: f64, to: f64, n: usize| {
        (0..=n).map(move |k| {
            let a = (from + (to - from) * k as f64 / n as f64).to_radians();
            [cx + radius * libm::cos(a), cy + radius * libm::sin(a)]
        })
    };
    // Outer common tangent of two circles on the vertical axis.
    let lean = libm::asin((r - small) / centre.max(r - small)).to_degrees();
    let mut outline: Vec<[f64; 2]> = arc(0.0, 0.0, r, 180.0 - lean, 400.0, 150).collect();
    let (a, b) = (40.0_f64.to_radians(), 4.0_f64.to_radians());
    let from = [r * libm::cos(a), r * libm::sin(a)];
    let to = [small * libm::cos(b), centre + small * libm::sin(b)];
    let reach = 0.8 * libm::hypot(to[0] - from[0], to[1] - from[1]);
    let (out, into) = ([-libm::sin(a) * reach, libm::cos(a) * reach], [-libm::sin(b) * reach, libm::cos(b) * reach]);
    for k in 1..24 {
        let s = f64::from(k) / 24.0;
        let (s2, s3) = (s * s, s * s * s);
        // Cubic Hermite between the two circles, tangent to both.
        let h = [2.0 * s3 - 3.0 * s2 + 1.0, s3 - 2.0 * s2 + s, 3.0 * s2 - 2.0 * s3, s3 - s2];
        outline.push([0, 1].map(|i| h[0] * from[i] + h[1] * out[i] + h[2] * to[i] + h[3] * into[i]));
    }
    outline.extend(arc(0.0, centre, small, 4.0, 180.0 - lean, 80));
    outline
}

/// The fragment's outline en face, (anterior, superior) in mm: fracture line and rim.
pub(in crate::show::figures) fn fragment(f: &Fragment) -> Vec<[f64; 2]> {
    let r = f.socket.radius;
    let c = f.half_chord;
    let flat = |e: f64, t: f64| {
        let p = f.outward * e + f.along * t;
        [p.x, p.y]
    };
    let mut outline = vec![flat(f.chord_distance, c), flat(f.chord_distance, -c)];
    let half = libm::asin((c / r).clamp(-1.0, 1.0));
    for k in 0..=60 {
        let a = half * (f64::from(k) / 30.0 - 1.0);
        outline.push(flat(r * libm::cos(a), r * libm::sin(a)));
    }
    outline
}

/// The face in section, (outward, lateral) in mm, from `from` to `to` along the mid-radius.
pub(in crate::show::figures) fn face_line(f: &Fragment, from: f64, to: f64) -> Vec<[f64; 2]> {
    (0..=40)
        .map(|k| {
            let e = from + (to - from) * f64::from(k) / 40.0;
            [e, f.socket.face_height(e.abs())]
        })
        .collect()
}

/// The fragment in section: face, rim, neck wall, medial margin, fracture plane.
pub(in crate::show::figures) fn fragment_section(f: &Fragment) -> Vec<[f64; 2]> {
    let mut outline = face_line(f, f.chord_distance, f.socket.radius);
    outline.push(margin(f));
    outline
}

/// The medial margin in section.
pub(in crate::show::figures) fn margin(f: &Fragment) -> [f64; 2] {
    let p = f.bed_point(0.0, f.bed_column(0.0).1);
    [p.dot(&f.outward), p.z]
}

/// Whether a point lies medial to the face, under the socket: hidden en face.
pub(in crate::show::figures) fn is_hidden(f: &Fragment, p: [f64; 3]) -> bool {
    let r = libm::hypot(p[0], p[1]);
    // A point that rests on the rim or the face is seen; 0.05 mm keeps rounding from hiding it.
    r < f.socket.radius - 1e-6 && p[2] < f.socket.face_height(r) - 0.05
}
