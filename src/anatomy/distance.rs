//! Distances of straight holes in closed form: between two segments, from a segment to a polygon, and how far a
//! direction lies outside a cone.

use crate::math::{Vec3, angle_between, any_perpendicular};

/// A straight stretch, from one end to the other, mm.
pub type Segment = [Vec3; 2];

/// The point of a segment nearest to a point, mm.
pub fn nearest_on(segment: &Segment, point: &Vec3) -> Vec3 {
    let [a, b] = segment;
    let line = b - a;
    let square = line.norm_squared();
    let share = if square > 0.0 { ((point - a).dot(&line) / square).clamp(0.0, 1.0) } else { 0.0 };
    a + line * share
}

/// The two points at which two segments come nearest, one on each, mm.
///
/// Exact: the squared distance is a convex quadratic over the square of the two shares, so its least value lies where
/// its slope vanishes, or on an edge of the square, where an end of one segment is nearest to the other.
pub fn nearest_between(one: &Segment, other: &Segment) -> [Vec3; 2] {
    let (u, v, w) = (one[1] - one[0], other[1] - other[0], one[0] - other[0]);
    let (a, b, c, d, e) = (u.dot(&u), u.dot(&v), v.dot(&v), u.dot(&w), v.dot(&w));
    // The square of the sine of the angle between them, times both squared lengths; parallel ones have none.
    let sine = a * c - b * b;
    if sine > 1e-12 * a * c {
        let (s, t) = ((b * e - c * d) / sine, (a * e - b * d) / sine);
        if (0.0..=1.0).contains(&s) && (0.0..=1.0).contains(&t) {
            return [one[0] + u * s, other[0] + v * t];
        }
    }
    let ends = [
        [one[0], nearest_on(other, &one[0])],
        [one[1], nearest_on(other, &one[1])],
        [nearest_on(one, &other[0]), other[0]],
        [nearest_on(one, &other[1]), other[1]],
    ];
    let far = |pair: &[Vec3; 2]| (pair[1] - pair[0]).norm_squared();
    ends.into_iter()
        .reduce(|best, next| if far(&next) < far(&best) { next } else { best })
        .unwrap_or([one[0], other[0]])
}

/// Least distance of two segments, mm.
pub fn between(one: &Segment, other: &Segment) -> f64 {
    let [p, q] = nearest_between(one, other);
    (q - p).norm()
}

/// The two points at which a segment comes nearest to a line of straight pieces, mm; `None` without a piece.
pub fn nearest_to_line(segment: &Segment, line: &[Vec3]) -> Option<[Vec3; 2]> {
    let far = |pair: &[Vec3; 2]| (pair[1] - pair[0]).norm();
    let mut best: Option<[Vec3; 2]> = None;
    for piece in line.windows(2) {
        // No point of a piece is nearer than its middle is, less half its length.
        let middle = 0.5 * (piece[0] + piece[1]);
        let bound = (middle - nearest_on(segment, &middle)).norm() - 0.5 * (piece[1] - piece[0]).norm();
        if best.is_none_or(|best| bound < far(&best)) {
            let next = nearest_between(segment, &[piece[0], piece[1]]);
            if best.is_none_or(|best| far(&next) < far(&best)) {
                best = Some(next);
            }
        }
    }
    best
}

/// Unit direction from a clock position (`angle`, rad from anterior toward superior) and an elevation (rad) above the
/// plane of the face, toward lateral.
pub fn seen_from(angle: f64, elevation: f64) -> Vec3 {
    let (sin, cos) = libm::sincos(angle);
    let (up, out) = libm::sincos(elevation);
    Vec3::new(out * cos, out * sin, up)
}

/// The direction in a cone (unit `axis`, half angle in rad) nearest to a unit direction `wanted`, and by how much (rad)
/// it falls short of it: zero where the cone holds it.
pub fn within_cone(wanted: &Vec3, axis: &Vec3, half: f64) -> (Vec3, f64) {
    let angle = angle_between(wanted, axis);
    // A direction on the edge, as it was written, may stand a rounding outside.
    if angle <= half + 1e-12 {
        return (*wanted, 0.0);
    }
    // Straight behind the axis every side is as near.
    let aside = (wanted - axis * wanted.dot(axis)).try_normalize(1e-12).unwrap_or_else(|| any_perpendicular(axis));
    let (sin, cos) = libm::sincos(half);
    (axis * cos + aside * sin, angle - half)
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::f64::consts::{FRAC_PI_2, FRAC_PI_4};

    fn v(x: f64, y: f64, z: f64) -> Vec3 {
        Vec3::new(x, y, z)
    }

    /// Numbers that look like chance and are the same everywhere.
    fn drawn(seed: &mut u64) -> f64 {
        *seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (*seed >> 40) as f64 / f64::from(1 << 24) * 20.0 - 10.0
    }

    /// A brute-force reference that knows nothing of the closed form: both segments walked in steps.
    fn walked(one: &Segment, other: &Segment, steps: usize) -> f64 {
        let at = |s: &Segment, k: usize| s[0].lerp(&s[1], k as f64 / steps as f64);
        let mut least = f64::INFINITY;
        for i in 0..=steps {
            for j in 0..=steps {
                least = least.min((at(one, i) - at(other, j)).norm());
            }
        }
        least
    }

    #[test]
    fn two_segments_are_as_near_as_a_walk_along_both_finds() {
        let mut seed = 7;
        for _ in 0..60 {
            let mut point = || v(drawn(&mut seed), drawn(&mut seed), drawn(&mut seed));
            let (one, other) = ([point(), point()], [point(), point()]);
            let (exact, found) = (between(&one, &other), walked(&one, &other, 150));
            // A step is a 150th of at most 35 mm; half a step on either segment bounds what the walk can miss.
            let step = ((one[1] - one[0]).norm() + (other[1] - other[0]).norm()) / 300.0;
            assert!(exact <= found + 1e-12 && found - exact <= step, "{exact} {found}");
        }
    }

    #[test]
    fn a_direction_is_drawn_back_to_the_edge_of_its_cone() {
        let axis = v(0.0, 0.0, 1.0);
        let (to, short) = within_cone(&v(1.0, 0.0, 0.0), &axis, FRAC_PI_4);
        // Square to the axis, with a half angle of 45°: 45° short, on the edge at (1, 0, 1)/√2.
        assert!((short - FRAC_PI_4).abs() < 1e-15 && (to - v(1.0, 0.0, 1.0).normalize()).norm() < 1e-15);
        assert_eq!(within_cone(&axis, &axis, 0.1), (axis, 0.0));
        let (behind, short) = within_cone(&-axis, &axis, FRAC_PI_2);
        assert!((short - FRAC_PI_2).abs() < 1e-15 && behind.z.abs() < 1e-15);
    }
}
