//! The grid of a map of tolerance on the page: squares about its points, what they are, and their borders.

use crate::show::chart::*;
use crate::show::scene::View;
use crate::study::result::{FreeVariable, Place, WanderMap, Wandered};
use std::collections::BTreeMap;

/// Distance of the lines of a hatch, mm.
const HATCH: f64 = 0.75;

/// What a point of a map is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Kind {
    /// No more than a tenth is lost.
    Tenth,
    /// No more than a quarter is lost.
    Quarter,
    /// More is lost.
    Beyond,
    /// Excluded by a constraint.
    Excluded,
}

impl Kind {
    fn of(point: &Wandered) -> Self {
        match point.loss {
            None => Self::Excluded,
            Some(loss) if loss <= 0.10 => Self::Tenth,
            Some(loss) if loss <= 0.25 => Self::Quarter,
            Some(_) => Self::Beyond,
        }
    }

    /// Fills a square of the kind.
    fn fill(self, canvas: &mut Canvas, theme: &Theme, square: &[Point]) {
        match self {
            Self::Tenth | Self::Quarter => {
                // A little larger, so that no seam shows beside the next one.
                let tone = theme.depth(if self == Self::Tenth { 0.62 } else { 0.24 });
                canvas.area(square, tone);
                canvas.outline(square, Stroke::solid(tone, 0.4));
            }
            Self::Excluded => canvas.textured(square, Texture::Rising, HATCH, Stroke::solid(theme.muted, 0.45)),
            Self::Beyond => {}
        }
    }

    /// The line about it.
    fn edge(self, theme: &Theme) -> Stroke {
        let width = match self {
            Self::Tenth => 0.9,
            Self::Quarter => 0.4,
            _ => 0.3,
        };
        Stroke::solid(if self == Self::Excluded { theme.muted } else { theme.ink }, width)
    }
}

/// A kind in the key.
pub(super) fn sample(canvas: &mut Canvas, theme: &Theme, r: Rect, kind: Kind) {
    kind.fill(canvas, theme, &r.corners());
    canvas.frame(r, kind.edge(theme));
}

/// The grid on the page.
pub(super) struct Region {
    squares: BTreeMap<[i64; 2], (Kind, [Point; 4])>,
    /// Page mm per mm of each coordinate.
    axes: [Point; 2],
}

impl Region {
    /// Lays the squares out. A point stands where it was computed; how the page moves with each
    /// coordinate is taken from it and its neighbours. No square goes beyond a range.
    pub fn new(view: &View<'_>, found: &Place, map: &WanderMap) -> Self {
        let number = |g: &Wandered| g.offset.map(|o| (o / map.step).round() as i64);
        let at: BTreeMap<[i64; 2], Point> =
            map.grid.iter().filter_map(|g| Some((number(g), view.page(g.point?)))).collect();
        let slope = |cell: [i64; 2], axis: usize| -> Option<Point> {
            let mut ends = [cell; 2];
            ends[0][axis] -= 1;
            ends[1][axis] += 1;
            let known = ends.map(|c| at.get(&c).map(|p| (c, *p)));
            let own = at.get(&cell).map(|p| (cell, *p));
            let (a, b) = (known[0].or(own)?, known[1].or(own)?);
            let steps = (b.0[axis] - a.0[axis]) as f64 * map.step;
            (steps > 0.0).then(|| [0, 1].map(|k| (b.1[k] - a.1[k]) / steps))
        };
        let (o, p) = (view.page([0.0; 3]), view.page(view.case.fragment.along));
        // Where a range leaves no second point, or there is no second coordinate.
        let nearest = |axis: usize| map.grid.iter().find_map(|g| slope(number(g), axis));
        let first = slope([0, 0], 0).or_else(|| nearest(0)).unwrap_or([p[0] - o[0], p[1] - o[1]]);
        let second = slope([0, 0], 1).or_else(|| nearest(1)).unwrap_or([-first[1], first[0]]);
        let reach = [0, 1].map(|k| range(&found.variables, map, k));
        let square = |g: &Wandered| {
            let cell = number(g);
            let p = *at.get(&cell)?;
            let axes = [slope(cell, 0).unwrap_or(first), slope(cell, 1).unwrap_or(second)];
            let side = |k: usize, s: f64| {
                let [lo, hi] = reach[k];
                (g.offset[k] + 0.5 * s * map.step).clamp(lo, hi) - g.offset[k]
            };
            let corners = [[-1.0, -1.0], [1.0, -1.0], [1.0, 1.0], [-1.0, 1.0]].map(|s| {
                let by = [side(0, s[0]), side(1, s[1])];
                [0, 1].map(|k| p[k] + by[0] * axes[0][k] + by[1] * axes[1][k])
            });
            Some((cell, (Kind::of(g), corners)))
        };
        Self { squares: map.grid.iter().filter_map(square).collect(), axes: [first, second] }
    }

    /// An offset from the answer, which stands at `centre`, on the page.
    pub fn page(&self, offset: [f64; 2], centre: Point) -> Point {
        [0, 1].map(|k| centre[k] + offset[0] * self.axes[0][k] + offset[1] * self.axes[1][k])
    }

    /// Fills the regions and hatches what is excluded.
    pub fn fill(&self, canvas: &mut Canvas, theme: &Theme) {
        for (kind, corners) in self.squares.values() {
            kind.fill(canvas, theme, corners);
        }
    }

    /// Draws the borders of both regions.
    pub fn edges(&self, canvas: &mut Canvas, theme: &Theme) {
        for kind in [Kind::Quarter, Kind::Tenth] {
            let of = |square: &(Kind, _)| square.0 == Kind::Tenth || square.0 == kind;
            let inside = |cell: &[i64; 2]| self.squares.get(cell).is_some_and(of);
            for (cell, (_, c)) in self.squares.iter().filter(|(cell, _)| inside(cell)) {
                // Corners 0–1, 1–2, 2–3 and 3–0, and the square beyond each side.
                for (k, [i, j]) in [[0, -1], [1, 0], [0, 1], [-1, 0]].into_iter().enumerate() {
                    if !inside(&[cell[0] + i, cell[1] + j]) {
                        canvas.path(&[c[k], c[(k + 1) % 4]], kind.edge(theme));
                    }
                }
            }
        }
    }

    /// Boxes that the squares take, for labels to keep clear of.
    pub fn boxes(&self) -> Vec<Rect> {
        let taken = self.squares.values().filter(|(kind, _)| *kind != Kind::Beyond);
        taken.filter_map(|(_, corners)| Rect::round(corners)).collect()
    }
}

/// How far a coordinate may go from the answer, mm; a place on a line gets some width.
fn range(variables: &[FreeVariable], map: &WanderMap, k: usize) -> [f64; 2] {
    let key = &map.coordinates[k];
    if key.is_empty() {
        return [-0.25, 0.25];
    }
    let path = format!("anchor.{}.{key}", map.anchor);
    let Some(v) = variables.iter().find(|v| v.path == path) else {
        return [f64::NEG_INFINITY, f64::INFINITY];
    };
    let ends = [v.low, v.high].map(|end| (end - map.centre[k]) / map.units_per_mm[k]);
    [ends[0].min(ends[1]), ends[0].max(ends[1])]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::place::variables;
    use crate::model::spread::Subject;
    use crate::optimise::Plan as Search;
    use crate::study::place::{Effort, Objective, Plan, run as place};
    use crate::study::result::{Start, WayEnd};

    /// An anchor at a clock position, well inside the face: its hours are millimetres on its own arc,
    /// not on the rim. Where the study finds that a range ends a way, the drawing ends it too.
    #[test]
    fn a_range_of_hours_ends_where_the_study_ends_it() {
        let room = tempfile::tempdir().unwrap();
        let path = room.path().join("clock.toml");
        let text = crate::model::builtin("one-by-one").unwrap();
        let place_of = |name: &str| {
            let at = text.find(&format!("[anchor.{name}]")).unwrap();
            let line = text[at..].lines().find(|l| l.starts_with("at = ")).unwrap();
            line.to_owned()
        };
        let lateral = place_of("lateral");
        let text = text.replace(&lateral, "at = { clock = { hours = \"4:00\", inset = 9.0 } }");
        let free = "\n[place]\nlimits = { spacing = 0.0 }\nfree = [{ path = \"anchor.lateral.hours\", low = 3.95, high = 4.04 }]\n";
        std::fs::write(&path, text + free).unwrap();
        let subject = Subject::open("quarter", &[path.to_str().unwrap().to_owned()]).unwrap();
        assert_eq!(variables(&subject).unwrap().len(), 1);
        let ask = Plan {
            objective: Objective::Evenness,
            against: None,
            robust: None,
            from: Start::Reduced,
            effort: Effort { cells: Some(100), steps: 1 },
            search: Search { starts: 1, particles: 0, evaluations: 20, ..Search::default() },
            wander: true,
        };
        let found = place(&subject, &ask, &()).unwrap();
        let map = &found.wander[0];
        let [low, high] = range(&found.variables, map, 0);
        for way in &map.ways {
            assert_eq!(way.end, WayEnd::Range, "{way:?}");
            let end = if way.direction[0] > 0.0 { high } else { -low };
            // Roundings of a division.
            assert!((way.distance - end).abs() < 1e-9, "{way:?} {low} {high}");
        }
        // Arc of 0.09 h on a circle 9 mm inside the rim's of 13 mm: (13 - 9) 0.09 π/6.
        let arc = 4.0 * 0.09 * std::f64::consts::FRAC_PI_6;
        assert!((high - low - arc).abs() < 1e-9, "{low} {high} {arc}");
    }
}
