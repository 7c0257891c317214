//! A map on the page: cells, contours, ticks.

use super::super::words::value;
use super::cell::{Kind, all_lost};
use crate::show::chart::*;
use crate::study::result::{Quantity, SweepAxis, Swept};

/// Shortest contour that is drawn, mm.
const SCRAP: f64 = 4.5;
/// Share of the step between contours, and mm of a shift, that a map must span to have contours.
const FLAT: f64 = 0.2;
const FLAT_MM: f64 = 0.2;
/// Limits that are drawn when the quantity is a shift, mm.
const LIMITS: [f64; 4] = [-2.0, -1.0, 1.0, 2.0];

/// The colour of a value.
pub(super) fn tone(theme: &Theme, scale: &Scale, v: f64) -> Colour {
    theme.depth(0.92 * scale.share(v))
}

/// A map on the page: cells of one size, whatever the distances of their values.
pub(super) struct Sheet<'a> {
    pub theme: &'a Theme,
    /// The data area, mm.
    pub area: Rect,
    pub axes: [&'a SweepAxis; 2],
    /// The scale of the colours.
    pub scale: Scale,
    /// What is drawn, and its place among the quantities.
    pub quantity: (&'a Quantity, usize),
}

impl Sheet<'_> {
    fn size(&self) -> [usize; 2] {
        self.axes.map(|a| a.values.len())
    }

    /// Width and height of a cell.
    fn cell_size(&self) -> [f64; 2] {
        let [columns, rows] = self.size();
        [self.area.w / columns as f64, self.area.h / rows as f64]
    }

    /// The cell of a point, by its number; the second axis runs upward.
    fn cell(&self, p: usize) -> Rect {
        let ([w, h], rows) = (self.cell_size(), self.size()[1]);
        let (i, j) = (p / rows, p % rows);
        Rect::new(self.area.x + i as f64 * w, self.area.bottom() - (j + 1) as f64 * h, w, h)
    }

    /// The place of a point given in numbers of cells.
    fn at(&self, [i, j]: [f64; 2]) -> Point {
        let [w, h] = self.cell_size();
        [self.area.x + (i + 0.5) * w, self.area.bottom() - (j + 0.5) * h]
    }

    fn points(&self) -> std::ops::Range<usize> {
        0..self.size()[0] * self.size()[1]
    }

    /// Draws the map of a construct.
    pub fn draw(&self, canvas: &mut Canvas, swept: &Swept) {
        let (theme, q) = (self.theme, self.quantity.1);
        for p in self.points() {
            if let Some(v) = swept.points.get(p).and_then(|p| p.values[q]) {
                // A little larger, so that no seam shows beside the next cell.
                let cell = self.cell(p);
                let wide = (cell.w + 0.06).min(self.area.right() - cell.x);
                let y = (cell.y - 0.06).max(self.area.y);
                canvas.fill(Rect::new(cell.x, y, wide, cell.bottom() - y), tone(theme, &self.scale, v));
            }
        }
        for p in self.points() {
            if let Some(kind) = Kind::of(swept.points.get(p), q).filter(|k| *k != Kind::LostLater) {
                kind.draw(canvas, theme, self.cell(p));
            }
        }
        canvas.frame(self.area, theme.axis());
        self.contours(canvas, swept);
        self.ticks(canvas);
    }

    /// Draws the contours with their numbers, and over them the marks of points that fail later. A
    /// map that is all but flat has no contours: where one ran would be chance.
    fn contours(&self, canvas: &mut Canvas, swept: &Swept) {
        let (theme, scale, q) = (self.theme, self.scale, self.quantity.1);
        let [columns, rows] = self.size();
        let values: Vec<Option<f64>> = self.points().map(|p| swept.points.get(p).and_then(|p| p.values[q])).collect();
        let [lo, hi] = extremes(values.iter().flatten().copied());
        let nodes = Nodes { columns, rows, values };
        let shift = self.quantity.0.unit == "mm";
        let mut levels: Vec<(f64, bool)> = scale.ticks().into_iter().map(|t| (t, false)).collect();
        if hi - lo < FLAT * scale.step || (shift && hi - lo < FLAT_MM) {
            levels.clear();
        } else if shift {
            levels.retain(|(t, _)| LIMITS.iter().all(|l| (l - t).abs() > 0.01 * scale.step));
            levels.extend(LIMITS.map(|l| (l, true)));
        }
        let lines = levels.into_iter().flat_map(|(level, limit)| {
            let lines = nodes.lines(level).into_iter();
            lines.map(move |line| (line.into_iter().map(|p| self.at(p)).collect::<Vec<Point>>(), level, limit))
        });
        // Scraps too short to bear their number are left out.
        let drawn: Vec<(Vec<Point>, f64, bool)> = lines.filter(|(line, ..)| length(line) >= SCRAP).collect();
        let width = |limit: bool| if limit { 1.6 * theme.curve } else { theme.outline };
        for (line, _, limit) in &drawn {
            canvas.path(line, Stroke::solid(theme.paper, width(*limit) + 0.9));
        }
        for (line, _, limit) in &drawn {
            canvas.path(line, Stroke::solid(theme.ink, width(*limit)));
        }
        let mut clear = Clearance::inside(self.area);
        let later = |p: &usize| Kind::of(swept.points.get(*p), q) == Some(Kind::LostLater);
        for p in self.points().filter(|p| !all_lost(swept) && later(p)) {
            clear.boxes.push(Kind::LostLater.draw(canvas, theme, self.cell(p)));
        }
        let set = theme.fine().centred();
        for (line, level, limit) in &drawn {
            let words = if *limit { format!("{} mm", number(*level, 0)) } else { scale.words(*level) };
            if let Some(p) = place(&mut clear, line, set, &words) {
                canvas.text_on_patch(&words, [p[0], p[1] + 0.5 * set.capital()], set, theme.paper);
            }
        }
    }

    /// Draws the frame's ticks with the values.
    fn ticks(&self, canvas: &mut Canvas) {
        let (set, axis, [w, h]) = (self.theme.words(), self.theme.axis(), self.cell_size());
        let [across, up] = self.axes.map(|a| a.values.iter().map(|v| value(a, *v)).collect::<Vec<String>>());
        let every = |room: f64, cell: f64| (room / cell).ceil().max(1.0) as usize;
        let step = every(set.widest(&across) + 1.2, w);
        for (i, text) in across.iter().enumerate() {
            let p = self.at([i as f64, -0.5]);
            canvas.line(p, [p[0], p[1] + 0.8], axis);
            if i % step == 0 {
                canvas.text(text, [p[0], p[1] + 1.6 + set.capital()], set.centred());
            }
        }
        let step = every(set.leading(), h);
        for (j, text) in up.iter().enumerate() {
            let p = self.at([-0.5, j as f64]);
            canvas.line(p, [p[0] - 0.8, p[1]], axis);
            if j % step == 0 {
                canvas.text(text, [p[0] - 1.3, p[1] + 0.5 * set.capital()], set.right());
            }
        }
    }
}

/// A free place for a contour's label on its line, from the middle outward.
fn place(clear: &mut Clearance, line: &[Point], set: Type, words: &str) -> Option<Point> {
    let whole = length(line);
    // 0.5, 0.45, 0.55, … 0.05, 0.95 of the way.
    let shares = (0..=18).map(|k| 0.5 + 0.05 * f64::from((k + 1) / 2) * if k % 2 == 0 { 1.0 } else { -1.0 });
    shares.into_iter().find_map(|share| {
        let mut left = share * whole;
        let k = line.windows(2).position(|p| {
            let l = distance(p[0], p[1]);
            let here = left <= l;
            left -= if here { 0.0 } else { l };
            here
        })?;
        let p = between(line[k], line[k + 1], left / distance(line[k], line[k + 1]).max(1e-9));
        let [w, h] = [set.width(words), set.capital()];
        let r = Rect::new(p[0] - 0.5 * w, p[1] - 0.5 * h, w, h).grown(0.7);
        clear.is_free(&r).then(|| {
            clear.boxes.push(r);
            p
        })
    })
}
