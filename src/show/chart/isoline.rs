//! Lines of one value over a grid (marching squares): open where the grid ends or has a hole, closed where it
//! is walled in.

use std::collections::BTreeMap;

/// Values at the nodes of a grid; `None` where there is none.
#[derive(Debug, Clone)]
pub(crate) struct Nodes {
    /// Nodes along the first axis.
    pub columns: usize,
    /// Nodes along the second.
    pub rows: usize,
    /// Values, the second axis running fastest.
    pub values: Vec<Option<f64>>,
}

/// An edge of the grid: its first node and whether it runs along the first axis.
type Edge = (usize, usize, bool);

impl Nodes {
    /// A grid with a wall round it, one node wide and lower than every level, so that every line closes.
    pub fn walled(columns: usize, rows: usize, of: impl Fn(usize, usize) -> f64) -> Self {
        let inside = |i: usize, j: usize| (1..=columns).contains(&i) && (1..=rows).contains(&j);
        let value = |i: usize, j: usize| if inside(i, j) { of(i - 1, j - 1) } else { f64::NEG_INFINITY };
        let all = (0..columns + 2).flat_map(|i| (0..rows + 2).map(move |j| (i, j)));
        Self { columns: columns + 2, rows: rows + 2, values: all.map(|(i, j)| Some(value(i, j))).collect() }
    }

    /// The value at a node.
    pub fn at(&self, i: usize, j: usize) -> Option<f64> {
        self.values.get(i * self.rows + j).copied().flatten()
    }

    /// The lines on which the values, linear between neighbours, are `level`: in numbers of nodes. A
    /// square that lacks a corner has none.
    pub fn lines(&self, level: f64) -> Vec<Vec<[f64; 2]>> {
        let mut segments: Vec<[Edge; 2]> = Vec::new();
        for i in 0..self.columns.saturating_sub(1) {
            for j in 0..self.rows.saturating_sub(1) {
                self.square(i, j, level, &mut segments);
            }
        }
        let mut ends: BTreeMap<Edge, Vec<usize>> = BTreeMap::new();
        for (s, segment) in segments.iter().enumerate() {
            for edge in segment {
                ends.entry(*edge).or_default().push(s);
            }
        }
        // Open lines from their free ends first, what is left are loops.
        let free = ends.iter().filter(|(_, s)| s.len() == 1).map(|(e, _)| *e);
        let starts: Vec<Edge> = free.chain(ends.keys().copied()).collect();
        let mut used = vec![false; segments.len()];
        let mut lines = Vec::new();
        for start in starts {
            let mut edge = start;
            let mut line = vec![self.cross(edge, level)];
            while let Some(s) = ends[&edge].iter().copied().find(|s| !used[*s]) {
                used[s] = true;
                let [a, b] = segments[s];
                edge = if a == edge { b } else { a };
                line.push(self.cross(edge, level));
            }
            if line.len() > 1 {
                lines.push(line);
            }
        }
        lines
    }

    fn square(&self, i: usize, j: usize, level: f64, segments: &mut Vec<[Edge; 2]>) {
        let corners = [(i, j), (i + 1, j), (i + 1, j + 1), (i, j + 1)];
        let [Some(a), Some(b), Some(c), Some(d)] = corners.map(|(i, j)| self.at(i, j)) else {
            return;
        };
        let above = [a, b, c, d].map(|v| v >= level);
        // Edges in turn between corners 0–1, 1–2, 2–3, 3–0.
        let edges: [Edge; 4] = [(i, j, true), (i + 1, j, false), (i, j + 1, true), (i, j, false)];
        let cut: Vec<usize> = (0..4).filter(|k| above[*k] != above[(k + 1) % 4]).collect();
        match cut.as_slice() {
            [p, q] => segments.push([edges[*p], edges[*q]]),
            [_, _, _, _] => {
                // A saddle: the mean says whether the corners above the level are joined.
                let joined = 0.25 * (a + b + c + d) >= level;
                let pairs = if above[0] == joined { [[0, 1], [2, 3]] } else { [[3, 0], [1, 2]] };
                segments.extend(pairs.map(|[p, q]| [edges[p], edges[q]]));
            }
            _ => {}
        }
    }

    fn cross(&self, (i, j, along): Edge, level: f64) -> [f64; 2] {
        let (k, l) = if along { (i + 1, j) } else { (i, j + 1) };
        let (Some(a), Some(b)) = (self.at(i, j), self.at(k, l)) else {
            return [i as f64, j as f64];
        };
        let s = match (a.is_finite(), b.is_finite()) {
            (true, true) => ((level - a) / (b - a)).clamp(0.0, 1.0),
            (at_a, _) => f64::from(u8::from(!at_a)),
        };
        [i as f64 + s * (k - i) as f64, j as f64 + s * (l - j) as f64]
    }
}

#[cfg(test)]
mod tests {
    use super::Nodes;

    fn nodes(of: impl Fn(f64, f64) -> Option<f64>) -> Nodes {
        let n = 41;
        let at = |k: usize| -2.0 + 0.1 * k as f64;
        Nodes { columns: n, rows: n, values: (0..n * n).map(|k| of(at(k / n), at(k % n))).collect() }
    }

    fn length(line: &[[f64; 2]]) -> f64 {
        line.windows(2).map(|p| 0.1 * libm::hypot(p[1][0] - p[0][0], p[1][1] - p[0][1])).sum()
    }

    #[test]
    fn a_plane_gives_one_straight_line_and_a_cone_a_circle() {
        // x + 2y = 0.37 between x = −2 and 2: length 4 √(1 + 1/4), y within the grid.
        let plane = nodes(|x, y| Some(x + 2.0 * y)).lines(0.37);
        assert_eq!(plane.len(), 1);
        assert!((length(&plane[0]) - 4.0 * 1.25_f64.sqrt()).abs() < 1e-9);
        // A circle of radius 1: chords of a tenth fall short of 2π by less than 1 %.
        let cone = nodes(|x, y| Some(libm::hypot(x, y))).lines(1.0);
        assert_eq!(cone.len(), 1);
        assert!((length(&cone[0]) / std::f64::consts::TAU - 1.0).abs() < 0.01);
        assert_eq!(cone[0].first(), cone[0].last());
    }

    #[test]
    fn behind_a_wall_every_line_closes() {
        // A plane over a square of 4: half of it lies above its middle level.
        let walled = Nodes::walled(41, 41, |i, _| i as f64).lines(20.0);
        assert_eq!(walled.len(), 1);
        assert_eq!(walled[0].first(), walled[0].last());
        let area = walled[0].windows(2).map(|p| 0.5 * (p[0][0] * p[1][1] - p[1][0] * p[0][1])).sum::<f64>().abs();
        // From 20 to 40, over all 40.
        assert!((area - 20.0 * 40.0).abs() < 1e-9, "{area}");
    }

    #[test]
    fn holes_break_a_line_and_saddles_do_not_cross() {
        let torn = nodes(|x, y| (x.abs() > 0.3).then_some(y + 0.01)).lines(0.0);
        assert_eq!(torn.len(), 2);
        assert_eq!(nodes(|x, y| Some(x * y + 1e-3)).lines(0.0).len(), 2);
        assert!(nodes(|_, _| None).lines(0.0).is_empty());
    }
}
