//! A map on the page: cells, contours, ticks.

use super::cell::{Kind, all_lost};
use super::isoline::Nodes;
use super::words::value;
use crate::show::figures::axis::Scale;
use crate::show::figures::canvas::{Align, Canvas, Stroke, Type, corners};
use crate::show::figures::colour::Colour;
use crate::show::figures::label::Clearance;
use crate::show::figures::rect::{Point, Rect};
use crate::show::figures::scatter::words::number;
use crate::show::figures::theme::Theme;
use crate::study::result::{Quantity, SweepAxis, Swept};

/// Shortest contour that is drawn, mm.
const SCRAP: f64 = 4.5;
/// Share of the step between contours, and mm of a shift, that a map must span to have contours.
const FLAT: f64 = 0.2;
const FLAT_MM: f64 = 0.2;
/// Limits that are drawn when the quantity is a shift, mm.
const LIMITS: [f64; 4] = [-2.0, -1.0, 1.0, 2.0];

/// A map on the page: cells of one size, whatever the distances of their values.
pub(super) struct Sheet {
    /// The data area, mm.
    pub area: Rect,
    /// Values of the first input.
    pub columns: usize,
    /// Values of the second.
    pub rows: usize,
}

impl Sheet {
    /// The cell of a pair of values, by their numbers; the second axis runs upward.
    fn cell(&self, i: usize, j: usize) -> Rect {
        let (w, h) = (self.area.w / self.columns as f64, self.area.h / self.rows as f64);
        Rect::new(self.area.x + i as f64 * w, self.area.bottom() - (j + 1) as f64 * h, w, h)
    }

    /// The place of a point given in numbers of cells.
    fn at(&self, [i, j]: [f64; 2]) -> Point {
        [
            self.area.x + (i + 0.5) * self.area.w / self.columns as f64,
            self.area.bottom() - (j + 0.5) * self.area.h / self.rows as f64,
        ]
    }

    /// Fills the cells, and hatches those without a value.
    pub fn cells(&self, canvas: &mut Canvas, theme: &Theme, swept: &Swept, q: usize, scale: &Scale) {
        for i in 0..self.columns {
            for j in 0..self.rows {
                let point = swept.points.get(i * self.rows + j);
                let cell = self.cell(i, j);
                if let Some(v) = point.and_then(|p| p.values[q]) {
                    // A little larger, so that no seam shows beside the next cell.
                    let wide = (cell.w + 0.06).min(self.area.right() - cell.x);
                    let y = (cell.y - 0.06).max(self.area.y);
                    let full = Rect::new(cell.x, y, wide, cell.bottom() - y);
                    canvas.fill(full, tone(theme, scale, v));
                }
            }
        }
        for i in 0..self.columns {
            for j in 0..self.rows {
                match Kind::of(swept.points.get(i * self.rows + j), q) {
                    Some(Kind::LostLater) | None => {}
                    Some(kind) => {
                        kind.draw(canvas, theme, self.cell(i, j));
                    }
                }
            }
        }
        canvas.outline(&corners(self.area), Stroke::solid(theme.ink, theme.hair));
    }

    /// Cells whose points are lost later in the push; none where all are, which is said once above.
    fn lost_later(&self, swept: &Swept, q: usize) -> Vec<Rect> {
        if all_lost(swept) {
            return Vec::new();
        }
        (0..self.columns * self.rows)
            .filter(|p| Kind::of(swept.points.get(*p), q) == Some(Kind::LostLater))
            .map(|p| self.cell(p / self.rows, p % self.rows))
            .collect()
    }

    /// Draws the contours with their numbers, and over them the marks of points that are lost later. A
    /// map that is all but flat has no contours: where one ran would be chance.
    pub fn contours(
        &self,
        canvas: &mut Canvas,
        theme: &Theme,
        swept: &Swept,
        q: usize,
        (quantity, scale): (&Quantity, &Scale),
    ) {
        let nodes = Nodes {
            columns: self.columns,
            rows: self.rows,
            values: (0..self.columns * self.rows).map(|p| swept.points.get(p).and_then(|p| p.values[q])).collect(),
        };
        let shift = quantity.unit == "mm";
        let mut levels: Vec<(f64, bool)> = scale.ticks().into_iter().map(|t| (t, false)).collect();
        let range = range(nodes.values.iter().flatten());
        if range < FLAT * scale.step || (shift && range < FLAT_MM) {
            levels.clear();
        } else if shift {
            levels.retain(|(t, _)| LIMITS.iter().all(|l| (l - t).abs() > 0.01 * scale.step));
            levels.extend(LIMITS.map(|l| (l, true)));
        }
        let mut clear = Clearance { bounds: Some(self.area), ..Clearance::default() };
        let mut drawn: Vec<(Vec<Point>, f64, bool)> = Vec::new();
        for (level, limit) in levels {
            for line in nodes.lines(level) {
                drawn.push((line.iter().map(|p| self.at(*p)).collect(), level, limit));
            }
        }
        // Scraps too short to bear their number are left out.
        let set = Type::new(theme.small, theme.ink).align(Align::Centre);
        drawn.retain(|(line, ..)| length(line) >= SCRAP);
        for (line, _, limit) in &drawn {
            let width = if *limit { 1.6 * theme.curve } else { theme.outline };
            canvas.path(line, Stroke::solid(theme.paper, width + 0.9));
        }
        for (line, _, limit) in &drawn {
            let width = if *limit { 1.6 * theme.curve } else { theme.outline };
            canvas.path(line, Stroke::solid(theme.ink, width));
        }
        for cell in self.lost_later(swept, q) {
            clear.boxes.push(Kind::LostLater.draw(canvas, theme, cell));
        }
        for (line, level, limit) in &drawn {
            let words = if *limit { format!("{} mm", number(*level, 0)) } else { scale.words(*level) };
            if let Some(p) = place(&mut clear, line, set, &words) {
                canvas.text_on_patch(&words, [p[0], p[1] + 0.5 * set.capital()], set, theme.paper);
            }
        }
    }

    /// Draws the frame's ticks with the values.
    pub fn axes(&self, canvas: &mut Canvas, theme: &Theme, axes: [&SweepAxis; 2]) {
        let set = Type::new(theme.text, theme.ink);
        let axis = Stroke::solid(theme.ink, theme.hair);
        let across: Vec<String> = axes[0].values.iter().map(|v| value(axes[0], *v)).collect();
        let widest = across.iter().map(|w| set.width(w)).fold(0.0, f64::max) + 1.2;
        let every = (widest / (self.area.w / self.columns as f64)).ceil().max(1.0) as usize;
        for (i, text) in across.iter().enumerate() {
            let p = self.at([i as f64, -0.5]);
            canvas.line(p, [p[0], p[1] + 0.8], axis);
            if i % every == 0 {
                canvas.text(text, [p[0], p[1] + 1.6 + set.capital()], set.align(Align::Centre));
            }
        }
        let every = (set.leading() / (self.area.h / self.rows as f64)).ceil().max(1.0) as usize;
        for (j, v) in axes[1].values.iter().enumerate() {
            let p = self.at([-0.5, j as f64]);
            canvas.line(p, [p[0] - 0.8, p[1]], axis);
            if j % every == 0 {
                let at = [p[0] - 1.3, p[1] + 0.5 * set.capital()];
                canvas.text(&value(axes[1], *v), at, set.align(Align::Right));
            }
        }
    }
}

/// How far apart the least and the largest of values are.
fn range<'a>(values: impl Iterator<Item = &'a f64>) -> f64 {
    let (lo, hi) = values.fold((f64::INFINITY, f64::NEG_INFINITY), |(lo, hi), v| (lo.min(*v), hi.max(*v)));
    hi - lo
}

/// Length of a line, mm.
fn length(line: &[Point]) -> f64 {
    line.windows(2).map(|p| libm::hypot(p[1][0] - p[0][0], p[1][1] - p[0][1])).sum()
}

/// A free place for a contour's label on its line, from the middle outward.
fn place(clear: &mut Clearance, line: &[Point], set: Type, words: &str) -> Option<Point> {
    let lengths: Vec<f64> = line.windows(2).map(|p| libm::hypot(p[1][0] - p[0][0], p[1][1] - p[0][1])).collect();
    let whole: f64 = lengths.iter().sum();
    let size = [set.width(words), set.capital()];
    (0..=18)
        // 0.5, 0.45, 0.55, … 0.05, 0.95.
        .map(|k| 0.5 + 0.05 * f64::from((k + 1) / 2) * if k % 2 == 0 { 1.0 } else { -1.0 })
        .find_map(|share| {
            let mut left = share * whole;
            let k = lengths.iter().position(|l| {
                let here = left <= *l;
                left -= if here { 0.0 } else { *l };
                here
            })?;
            let s = left / lengths[k].max(1e-9);
            let p = [0, 1].map(|c| line[k][c] + s * (line[k + 1][c] - line[k][c]));
            let r = Rect::new(p[0] - 0.5 * size[0], p[1] - 0.5 * size[1], size[0], size[1]).grown(0.7);
            clear.is_free(&r).then(|| {
                clear.boxes.push(r);
                p
            })
        })
}

/// The colour of a value.
pub(super) fn tone(theme: &Theme, scale: &Scale, v: f64) -> Colour {
    theme.depth(0.92 * (v - scale.lo) / (scale.hi - scale.lo))
}
