//! A window on a view: what is drawn in it is cut at its frame.

use crate::show::figures::rect::{Point, Rect};

/// The part of a polyline inside a rectangle, as pieces (Liang–Barsky).
pub(in crate::show::figures) fn lines(points: &[Point], window: Rect) -> Vec<Vec<Point>> {
    let mut pieces: Vec<Vec<Point>> = Vec::new();
    let mut piece: Vec<Point> = Vec::new();
    for pair in points.windows(2) {
        let Some((from, to)) = segment(pair[0], pair[1], window) else {
            if piece.len() > 1 {
                pieces.push(std::mem::take(&mut piece));
            }
            piece.clear();
            continue;
        };
        if piece.last() != Some(&from) {
            if piece.len() > 1 {
                pieces.push(std::mem::take(&mut piece));
            }
            piece = vec![from];
        }
        piece.push(to);
    }
    if piece.len() > 1 {
        pieces.push(piece);
    }
    pieces
}

fn segment(from: Point, to: Point, r: Rect) -> Option<(Point, Point)> {
    let (dx, dy) = (to[0] - from[0], to[1] - from[1]);
    let (mut lo, mut hi) = (0.0_f64, 1.0_f64);
    for (p, q) in [(-dx, from[0] - r.x), (dx, r.right() - from[0]), (-dy, from[1] - r.y), (dy, r.bottom() - from[1])] {
        if p == 0.0 {
            if q < 0.0 {
                return None;
            }
        } else if p < 0.0 {
            lo = lo.max(q / p);
        } else {
            hi = hi.min(q / p);
        }
    }
    // Ends that are inside stay exactly as they are, so that pieces join.
    let at = |s: f64| [from[0] + s * dx, from[1] + s * dy];
    (lo < hi).then(|| (if lo == 0.0 { from } else { at(lo) }, if hi == 1.0 { to } else { at(hi) }))
}

/// The part of a polygon inside a rectangle (Sutherland–Hodgman).
pub(in crate::show::figures) fn polygon(points: &[Point], window: Rect) -> Vec<Point> {
    let mut out = points.to_vec();
    for (axis, sign, limit) in
        [(0, 1.0, window.x), (0, -1.0, -window.right()), (1, 1.0, window.y), (1, -1.0, -window.bottom())]
    {
        out = half(&out, |p| sign * p[axis] - limit);
    }
    out
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
            let s = a / (a - b);
            out.push([p[0] + s * (q[0] - p[0]), p[1] + s * (q[1] - p[1])]);
        }
    }
    out
}

/// The convex hull, counter-clockwise in axes x right, y up (Andrew's monotone chain).
pub(super) fn hull(points: &[Point]) -> Vec<Point> {
    let mut sorted = points.to_vec();
    sorted.sort_by(|a, b| a[0].total_cmp(&b[0]).then(a[1].total_cmp(&b[1])));
    let turn = |o: &Point, a: &Point, b: &Point| (a[0] - o[0]) * (b[1] - o[1]) - (a[1] - o[1]) * (b[0] - o[0]);
    let mut hull: Vec<Point> = Vec::new();
    for pass in 0..2 {
        let start = hull.len();
        let mut add = |p: &Point| {
            while hull.len() >= start + 2 && turn(&hull[hull.len() - 2], &hull[hull.len() - 1], p) <= 0.0 {
                hull.pop();
            }
            hull.push(*p);
        };
        if pass == 0 {
            sorted.iter().for_each(&mut add);
        } else {
            sorted.iter().rev().for_each(&mut add);
        }
        hull.pop();
    }
    hull
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_and_areas_end_at_the_frame() {
        let window = Rect::new(0.0, 0.0, 2.0, 2.0);
        let through = [[-1.0, 1.0], [1.0, 1.0], [1.0, 3.0], [1.5, 3.0], [1.5, 1.0]];
        assert_eq!(
            lines(&through, window),
            vec![vec![[0.0, 1.0], [1.0, 1.0], [1.0, 2.0]], vec![[1.5, 2.0], [1.5, 1.0]]]
        );
        let square = [[-1.0, -1.0], [1.0, -1.0], [1.0, 1.0], [-1.0, 1.0]];
        let cut = polygon(&square, window);
        // A quarter of the square's area of 4 lies in the window.
        let area: f64 = (0..cut.len())
            .map(|k| {
                let (a, b) = (cut[k], cut[(k + 1) % cut.len()]);
                0.5 * (a[0] * b[1] - b[0] * a[1])
            })
            .sum();
        assert_eq!(area, 1.0);
    }

    #[test]
    fn the_hull_leaves_out_what_lies_inside() {
        let points = [[0.0, 0.0], [2.0, 0.0], [1.0, 0.5], [2.0, 2.0], [0.0, 2.0]];
        assert_eq!(hull(&points), vec![[0.0, 0.0], [2.0, 0.0], [2.0, 2.0], [0.0, 2.0]]);
    }
}
