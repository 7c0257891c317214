//! The grid of a wander map on the page: squares about its points, what they are, and their borders.

use super::super::ground::Ground;
use super::HATCH;
use crate::show::figures::canvas::{Canvas, Stroke};
use crate::show::figures::colour::Colour;
use crate::show::figures::hatch::Hatch;
use crate::show::figures::rect::{Point, Rect};
use crate::show::figures::theme::Theme;
use crate::study::result::{FreeVariable, Place, WanderMap, Wandered};
use std::collections::BTreeMap;

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
    pub fn of(point: &Wandered) -> Self {
        match point.loss {
            None => Self::Excluded,
            Some(loss) if loss <= 0.10 => Self::Tenth,
            Some(loss) if loss <= 0.25 => Self::Quarter,
            Some(_) => Self::Beyond,
        }
    }

    /// The colour of a region.
    pub fn tone(self, theme: &Theme) -> Colour {
        theme.depth(if self == Self::Tenth { 0.62 } else { 0.24 })
    }

    /// The line about it.
    pub fn edge(self, theme: &Theme) -> Stroke {
        if self == Self::Tenth { Stroke::solid(theme.ink, 0.9) } else { Stroke::solid(theme.ink, 0.4) }
    }
}

/// A square of the grid.
struct Square {
    kind: Kind,
    corners: [Point; 4],
    /// The part of them in the window.
    shown: Vec<Point>,
}

/// The grid on the page.
pub(super) struct Region {
    squares: BTreeMap<[i64; 2], Square>,
    /// Page mm per mm of each coordinate.
    axes: [Point; 2],
}

impl Region {
    /// Lays the squares out. A point stands where it was computed; how the page moves with each
    /// coordinate is taken from it and its neighbours. No square goes beyond a range.
    pub fn new(ground: &Ground<'_>, found: &Place, map: &WanderMap) -> Self {
        let number = |g: &Wandered| g.offset.map(|o| (o / map.step).round() as i64);
        let at: BTreeMap<[i64; 2], Point> =
            map.grid.iter().filter_map(|g| Some((number(g), ground.page(g.point?)))).collect();
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
        let along = {
            let a = ground.case.fragment.along;
            let o = ground.page([0.0; 3]);
            let p = ground.page(a.into());
            [p[0] - o[0], p[1] - o[1]]
        };
        // Where a range leaves no second point, or there is no second coordinate.
        let square_to = |d: Point| [-d[1], d[0]];
        let nearest = |axis: usize| {
            let all = map.grid.iter().filter_map(|g| slope(number(g), axis));
            all.take(1).next()
        };
        let first = slope([0, 0], 0).or_else(|| nearest(0)).unwrap_or(along);
        let second = slope([0, 0], 1).or_else(|| nearest(1)).unwrap_or(square_to(first));
        let reach = [0, 1].map(|k| range(&found.variables, map, k));
        let squares = map
            .grid
            .iter()
            .filter_map(|g| {
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
                let square = Square { kind: Kind::of(g), shown: ground.cut(&corners), corners };
                Some((cell, square))
            })
            .collect();
        Self { squares, axes: [first, second] }
    }

    /// An offset from the answer, which stands at `centre`, on the page.
    pub fn page(&self, offset: [f64; 2], centre: Point) -> Point {
        [0, 1].map(|k| centre[k] + offset[0] * self.axes[0][k] + offset[1] * self.axes[1][k])
    }

    /// Fills the regions and hatches what is excluded.
    pub fn fill(&self, canvas: &mut Canvas, theme: &Theme) {
        for square in self.squares.values() {
            match square.kind {
                Kind::Tenth | Kind::Quarter => {
                    // A little larger, so that no seam shows beside the next one.
                    let tone = square.kind.tone(theme);
                    canvas.area(&square.shown, tone);
                    canvas.outline(&square.shown, Stroke::solid(tone, 0.4));
                }
                Kind::Excluded => {
                    let stroke = Stroke::solid(theme.muted, 0.45);
                    Hatch::Rising.draw(canvas, &square.shown, HATCH, stroke);
                }
                Kind::Beyond => {}
            }
        }
    }

    /// Draws the borders of both regions.
    pub fn edges(&self, canvas: &mut Canvas, theme: &Theme) {
        for kind in [Kind::Quarter, Kind::Tenth] {
            let inside = |cell: &[i64; 2]| {
                self.squares
                    .get(cell)
                    .is_some_and(|s| s.kind == Kind::Tenth || (kind == Kind::Quarter && s.kind == Kind::Quarter))
            };
            for (cell, square) in &self.squares {
                if !inside(cell) {
                    continue;
                }
                let c = square.corners;
                // Corners 0–1, 1–2, 2–3 and 3–0, and the square beyond each side.
                let beyond = [[0, -1], [1, 0], [0, 1], [-1, 0]];
                for (k, by) in beyond.into_iter().enumerate() {
                    let next = [cell[0] + by[0], cell[1] + by[1]];
                    if !inside(&next) {
                        canvas.path(&[c[k], c[(k + 1) % 4]], kind.edge(theme));
                    }
                }
            }
        }
    }

    /// Boxes that the squares take, for labels to keep clear of.
    pub fn boxes(&self) -> Vec<Rect> {
        self.squares
            .values()
            .filter(|s| s.kind != Kind::Beyond)
            .map(|s| {
                let of = |k: usize| s.corners.map(|p| p[k]);
                let lo = [0, 1].map(|k| of(k).into_iter().fold(f64::INFINITY, f64::min));
                let hi = [0, 1].map(|k| of(k).into_iter().fold(f64::NEG_INFINITY, f64::max));
                Rect::new(lo[0], lo[1], hi[0] - lo[0], hi[1] - lo[1])
            })
            .collect()
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
    use crate::optimise::Plan;
    use crate::study::place::{Ask, Effort, Objective, place};
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
        let ask = Ask {
            objective: Objective::Evenness,
            against: None,
            robust: None,
            from: Start::Reduced,
            effort: Effort { cells: Some(100), steps: 1 },
            plan: Plan { starts: 1, particles: 0, evaluations: 20, ..Plan::default() },
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
