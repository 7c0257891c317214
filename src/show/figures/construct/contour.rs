//! Closed contour lines of a sampled field (marching squares).

use std::collections::BTreeMap;

/// Values on a regular grid.
#[derive(Debug, Clone)]
pub(super) struct Field {
    /// First node, mm.
    pub start: [f64; 2],
    /// Distance of nodes, mm.
    pub pitch: f64,
    /// Nodes in a row.
    pub columns: usize,
    /// Values, row after row.
    pub values: Vec<f64>,
}

/// A closed line on which the field has one value.
#[derive(Debug, Clone)]
pub(super) struct Loop {
    /// Its points, mm.
    pub points: Vec<[f64; 2]>,
    /// Its area, mm², positive when the field is higher inside.
    pub area: f64,
}

/// An edge of the grid: node and whether it runs along the row (0) or to the next row (1).
type Edge = (usize, usize, u8);

impl Field {
    /// The loops on which the field has the value `level`, the largest first. Outside the grid the
    /// field counts as below every level, so that every line closes.
    pub fn loops(&self, level: f64) -> Vec<Loop> {
        let rows = self.values.len() / self.columns;
        let value = |i: usize, j: usize| {
            if i == 0 || j == 0 || i > self.columns || j > rows {
                f64::NEG_INFINITY
            } else {
                self.values[(j - 1) * self.columns + i - 1]
            }
        };
        let mut next: BTreeMap<Edge, Edge> = BTreeMap::new();
        for j in 0..=rows {
            for i in 0..=self.columns {
                let v = [value(i, j), value(i + 1, j), value(i + 1, j + 1), value(i, j + 1)];
                // Edges in turn: between corners 0–1, 1–2, 2–3, 3–0.
                let edges = [(i, j, 0), (i + 1, j, 1), (i, j + 1, 0), (i, j, 1)];
                let above = v.map(|v| v >= level);
                // Going round, the line leaves through an edge where the field falls below the
                // level and enters where it rises; at a saddle the mean decides who is joined.
                let falls: Vec<usize> = (0..4).filter(|k| above[*k] && !above[(k + 1) % 4]).collect();
                let rises: Vec<usize> = (0..4).filter(|k| !above[*k] && above[(k + 1) % 4]).collect();
                let joined = falls.len() == 2 && v.iter().sum::<f64>() >= 4.0 * level;
                for (k, fall) in falls.iter().enumerate() {
                    // Across a saddle that is high in its middle the line turns the other corner.
                    let wanted = if joined {
                        (1..4).map(|s| (fall + s) % 4).find(|e| rises.contains(e))
                    } else {
                        (1..4).map(|s| (fall + 4 - s) % 4).find(|e| rises.contains(e))
                    };
                    let rise = wanted.unwrap_or(rises[k]);
                    next.insert(edges[*fall], edges[rise]);
                }
            }
        }
        let mut loops = Vec::new();
        while let Some((start, _)) = next.first_key_value() {
            let start = *start;
            let mut points = Vec::new();
            let mut edge = start;
            while let Some(following) = next.remove(&edge) {
                points.push(self.cross(edge, &value, level));
                edge = following;
            }
            let area = 0.5
                * (0..points.len())
                    .map(|k| {
                        let (a, b): ([f64; 2], [f64; 2]) = (points[k], points[(k + 1) % points.len()]);
                        a[0] * b[1] - b[0] * a[1]
                    })
                    .sum::<f64>();
            loops.push(Loop { points, area });
        }
        loops.sort_by(|a, b| b.area.abs().total_cmp(&a.area.abs()));
        loops
    }

    fn cross(&self, edge: Edge, value: &impl Fn(usize, usize) -> f64, level: f64) -> [f64; 2] {
        let (i, j, way) = edge;
        let (k, l) = if way == 0 { (i + 1, j) } else { (i, j + 1) };
        let (a, b) = (value(i, j), value(k, l));
        let s = if a.is_infinite() {
            1.0
        } else if b.is_infinite() {
            0.0
        } else {
            ((level - a) / (b - a)).clamp(0.0, 1.0)
        };
        let node = |n: usize, m: usize| {
            [self.start[0] + (n as f64 - 1.0) * self.pitch, self.start[1] + (m as f64 - 1.0) * self.pitch]
        };
        let (p, q) = (node(i, j), node(k, l));
        [p[0] + s * (q[0] - p[0]), p[1] + s * (q[1] - p[1])]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn field(of: impl Fn(f64, f64) -> f64) -> Field {
        let (pitch, n) = (0.05, 81);
        let at = |k: usize| -2.0 + pitch * k as f64;
        Field { start: [-2.0, -2.0], pitch, columns: n, values: (0..n * n).map(|k| of(at(k % n), at(k / n))).collect() }
    }

    #[test]
    fn a_cone_gives_circles_and_a_crater_a_hole() {
        // Area of a circle of radius 1 is π; a polygon of chords under 0.05 mm falls short by less
        // than (pitch/2)²/2 of it.
        let cone = field(|x, y| -libm::hypot(x, y)).loops(-1.0);
        assert_eq!(cone.len(), 1);
        assert!((cone[0].area - std::f64::consts::PI).abs() < 2e-3);
        let ring = field(|x, y| -(libm::hypot(x, y) - 1.0).abs()).loops(-0.5);
        assert_eq!(ring.len(), 2);
        assert!((ring[0].area - 2.25 * std::f64::consts::PI).abs() < 6e-3);
        assert!((ring[1].area + 0.25 * std::f64::consts::PI).abs() < 3e-3);
    }

    #[test]
    fn a_saddle_closes_into_loops() {
        let loops = field(|x, y| x * y).loops(0.01);
        assert_eq!(loops.len(), 2);
    }
}
