//! Figure "sweep-…" as a map: one quantity over two inputs.

use super::isoline::Nodes;
use super::mark::{self, ROW};
use super::words::{self, value};
use crate::figures::axis::{Scale, signed};
use crate::figures::canvas::{Align, Canvas, Stroke, Type, corners};
use crate::figures::colour::Colour;
use crate::figures::figure::Figure;
use crate::figures::hatch::Hatch;
use crate::figures::input;
use crate::figures::label::{Clearance, wrap};
use crate::figures::rect::{Point, Rect};
use crate::figures::scatter::words::{decimals, number, short};
use crate::figures::subject::Panels;
use crate::figures::theme::Theme;
use crate::study::result::{End, GridPoint, Quantity, Sweep, SweepAxis, Swept};

/// Least width of a panel, mm.
const LEAST: f64 = 66.0;
/// Height of a map, mm.
const TALL: f64 = 42.0;
/// Height of the scale of colours with its words, mm.
const BAR: f64 = 2.2;
/// Shortest contour that is drawn, mm.
const SCRAP: f64 = 4.5;
/// Limits that are drawn when the quantity is a shift, mm.
const LIMITS: [f64; 4] = [-2.0, -1.0, 1.0, 2.0];

/// Draws the figure.
pub(super) fn map(found: &Sweep, q: usize, theme: &Theme) -> Figure {
    let quantity = &found.quantities[q];
    let axes = [&found.axes[0], &found.axes[1]];
    let set = Type::new(theme.text, theme.ink);
    let small = Type::new(theme.small, theme.ink);
    let names: Vec<&str> = found
        .constructs
        .iter()
        .map(|c| c.construct.as_str())
        .collect();
    let panels = Panels::titled(theme, &names, theme.width, LEAST);
    let scale = scale(found, q);
    let y_numbers = axes[1]
        .values
        .iter()
        .map(|v| set.width(&value(axes[1], *v)))
        .fold(0.0, f64::max);
    let y_words = wrap(&words::axis(axes[1]), set, TALL);
    let left = 1.0 + y_words.len() as f64 * set.leading() + 1.2 + y_numbers + 1.3;
    let x_words = wrap(&words::axis(axes[0]), set, panels.width - left - 2.0);
    let notes: Vec<Vec<String>> = found
        .constructs
        .iter()
        .map(|c| wrap(&note(found, c, q), small, panels.width - left - 1.0))
        .collect();
    let lines = notes.iter().map(Vec::len).max().unwrap_or(0) as f64;
    let over = lines * small.leading() + 1.0;
    let below = 2.8 + set.capital() + x_words.len() as f64 * set.leading();
    let tall = over + TALL + below;
    let body = panels.height(tall);
    let kinds = Kind::present(found, q);
    let entries: Vec<String> = kinds.iter().map(|k| k.words().to_owned()).collect();
    let (places, key) = mark::places(&entries, small, theme.width - 1.2);
    let bar_top = body + 2.0 + set.leading();
    let height = bar_top + BAR + 2.0 + set.leading() + key + 0.6;
    let mut canvas = Canvas::new(theme.width, height);
    for (k, construct) in found.constructs.iter().enumerate() {
        panels.title(&mut canvas, theme, k, tall);
        let area = panels.area(k, tall);
        for (line, text) in notes[k].iter().enumerate() {
            let base = area.y + small.capital() + line as f64 * small.leading();
            canvas.text(
                text,
                [area.x + left, base],
                Type::new(theme.small, theme.muted),
            );
        }
        let sheet = Sheet {
            area: Rect::new(area.x + left, area.y + over, area.w - left - 1.5, TALL),
            columns: axes[0].values.len(),
            rows: axes[1].values.len(),
        };
        sheet.cells(&mut canvas, theme, construct, q, &scale);
        sheet.contours(&mut canvas, theme, construct, q, (quantity, &scale));
        sheet.axes(&mut canvas, theme, axes);
        for (line, text) in x_words.iter().enumerate() {
            let base =
                sheet.area.bottom() + 1.6 + set.capital() + (line + 1) as f64 * set.leading() + 0.4;
            let middle = sheet.area.x + 0.5 * sheet.area.w;
            canvas.text(text, [middle, base], set.align(Align::Centre));
        }
        for (line, text) in y_words.iter().enumerate() {
            let x = area.x + 0.6 + (line + 1) as f64 * set.leading();
            canvas.text_upward(text, [x, sheet.area.y + 0.5 * TALL], set);
        }
    }
    colour_bar(&mut canvas, theme, quantity, &scale, [0.8 + left, bar_top]);
    let top = height - key - 0.6;
    for (kind, p) in kinds.iter().zip(places) {
        let r = Rect::new(0.6 + p[0], top + p[1] + 0.4, 3.0, ROW - 1.0);
        kind.draw(&mut canvas, theme, r);
        canvas.outline(&corners(r), Stroke::solid(theme.muted, 0.4));
        let base = r.y + 0.5 * r.h + 0.5 * small.capital();
        canvas.text(kind.words(), [r.right() + 0.9, base], small);
    }
    Figure::new(
        &words::name(found, &quantity.key),
        canvas,
        words::csv(found, &[q]),
        caption(found, quantity),
        alt(found, q),
    )
}

/// The scale of colours, over all constructs.
fn scale(found: &Sweep, q: usize) -> Scale {
    let values = || {
        let points = found.constructs.iter().flat_map(|c| &c.points);
        points.filter_map(|p| p.values[q])
    };
    Scale::around(
        values().fold(f64::INFINITY, f64::min),
        values().fold(f64::NEG_INFINITY, f64::max),
        7,
    )
}

/// What a cell without a colour, or with a mark in it, means.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Kind {
    /// Not held when tied.
    NotHeld,
    /// Lost before the quantity can be read off.
    LostBefore,
    /// Not certified.
    Uncertified,
    /// No such fragment or construct.
    Impossible,
    /// Not computed, after an interruption.
    NotDone,
    /// Has a value, and is lost later in the push.
    LostLater,
}

impl Kind {
    const ALL: [Self; 6] = [
        Self::NotHeld,
        Self::LostBefore,
        Self::Uncertified,
        Self::Impossible,
        Self::NotDone,
        Self::LostLater,
    ];

    /// What a point is; `None` when it is held and has the value.
    fn of(point: Option<&GridPoint>, q: usize) -> Option<Self> {
        let Some(point) = point else {
            return Some(Self::NotDone);
        };
        match (point.end, point.values[q]) {
            (End::Held, Some(_)) => None,
            (End::LostInPush, Some(_)) => Some(Self::LostLater),
            (End::Held | End::LostInPush, None) => Some(Self::LostBefore),
            (End::NotHeld, _) => Some(Self::NotHeld),
            (End::Uncertified, _) => Some(Self::Uncertified),
            (End::Impossible, _) => Some(Self::Impossible),
        }
    }

    fn present(found: &Sweep, q: usize) -> Vec<Self> {
        let total = words::total(found);
        let has = |kind: &Self| {
            found.constructs.iter().any(|c| {
                let shown = *kind != Self::LostLater || !all_lost(c);
                shown && (0..total).any(|p| Self::of(c.points.get(p), q) == Some(*kind))
            })
        };
        Self::ALL.into_iter().filter(has).collect()
    }

    fn words(self) -> &'static str {
        match self {
            Self::NotHeld => "not held when tied",
            Self::LostBefore => "lost in the push before this",
            Self::Uncertified => "not certified",
            Self::Impossible => "impossible",
            Self::NotDone => "not computed",
            Self::LostLater => "lost later in the push",
        }
    }

    /// Draws it in a cell.
    fn draw(self, canvas: &mut Canvas, theme: &Theme, cell: Rect) {
        let hatch = match self {
            Self::NotHeld => Hatch::Rising,
            Self::LostBefore => Hatch::Level,
            Self::Uncertified => Hatch::Dots,
            Self::Impossible => Hatch::Crossed,
            Self::NotDone => Hatch::Plain,
            Self::LostLater => {
                let middle = [cell.x + 0.5 * cell.w, cell.y + 0.5 * cell.h];
                canvas.disc(middle, 0.55, theme.paper);
                canvas.circle(middle, 0.55, Stroke::solid(theme.ink, 0.5));
                return;
            }
        };
        canvas.fill(cell, theme.paper);
        hatch.draw(canvas, &corners(cell), 1.1, Stroke::solid(theme.muted, 0.5));
    }
}

/// Whether every point is lost in the push: said once above the map, not in each cell.
fn all_lost(swept: &Swept) -> bool {
    swept.points.iter().all(|p| p.end == End::LostInPush)
}

/// A map on the page: cells of one size, whatever the distances of their values.
struct Sheet {
    area: Rect,
    columns: usize,
    rows: usize,
}

impl Sheet {
    /// The cell of a pair of values, by their numbers; the second axis runs upward.
    fn cell(&self, i: usize, j: usize) -> Rect {
        let (w, h) = (
            self.area.w / self.columns as f64,
            self.area.h / self.rows as f64,
        );
        Rect::new(
            self.area.x + i as f64 * w,
            self.area.bottom() - (j + 1) as f64 * h,
            w,
            h,
        )
    }

    /// The place of a point given in numbers of cells.
    fn at(&self, [i, j]: [f64; 2]) -> Point {
        [
            self.area.x + (i + 0.5) * self.area.w / self.columns as f64,
            self.area.bottom() - (j + 0.5) * self.area.h / self.rows as f64,
        ]
    }

    fn cells(&self, canvas: &mut Canvas, theme: &Theme, swept: &Swept, q: usize, scale: &Scale) {
        let all_lost = all_lost(swept);
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
                    Some(Kind::LostLater) if all_lost => {}
                    Some(kind) => kind.draw(canvas, theme, self.cell(i, j)),
                    None => {}
                }
            }
        }
        canvas.outline(&corners(self.area), Stroke::solid(theme.ink, theme.hair));
    }

    fn contours(
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
            values: (0..self.columns * self.rows)
                .map(|p| swept.points.get(p).and_then(|p| p.values[q]))
                .collect(),
        };
        let shift = quantity.unit == "mm";
        let mut levels: Vec<(f64, bool)> = scale.ticks().into_iter().map(|t| (t, false)).collect();
        if shift {
            levels.retain(|(t, _)| LIMITS.iter().all(|l| (l - t).abs() > 0.01 * scale.step));
            levels.extend(LIMITS.map(|l| (l, true)));
        }
        let mut clear = Clearance {
            bounds: Some(self.area),
            ..Clearance::default()
        };
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
            let width = if *limit {
                1.6 * theme.curve
            } else {
                theme.outline
            };
            canvas.path(line, Stroke::solid(theme.paper, width + 0.9));
        }
        for (line, _, limit) in &drawn {
            let width = if *limit {
                1.6 * theme.curve
            } else {
                theme.outline
            };
            canvas.path(line, Stroke::solid(theme.ink, width));
        }
        for (line, level, limit) in &drawn {
            let words = if *limit {
                format!("{} mm", number(*level, 0))
            } else {
                scale.words(*level)
            };
            if let Some(p) = place(&mut clear, line, set, &words) {
                canvas.text_on_patch(&words, [p[0], p[1] + 0.5 * set.capital()], set, theme.paper);
            }
        }
    }

    fn axes(&self, canvas: &mut Canvas, theme: &Theme, axes: [&SweepAxis; 2]) {
        let set = Type::new(theme.text, theme.ink);
        let axis = Stroke::solid(theme.ink, theme.hair);
        let across: Vec<String> = axes[0].values.iter().map(|v| value(axes[0], *v)).collect();
        let widest = across.iter().map(|w| set.width(w)).fold(0.0, f64::max) + 1.2;
        let every = (widest / (self.area.w / self.columns as f64))
            .ceil()
            .max(1.0) as usize;
        for (i, text) in across.iter().enumerate() {
            let p = self.at([i as f64, -0.5]);
            canvas.line(p, [p[0], p[1] + 0.8], axis);
            if i % every == 0 {
                canvas.text(
                    text,
                    [p[0], p[1] + 1.6 + set.capital()],
                    set.align(Align::Centre),
                );
            }
        }
        let every = (set.leading() / (self.area.h / self.rows as f64))
            .ceil()
            .max(1.0) as usize;
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

/// Length of a line, mm.
fn length(line: &[Point]) -> f64 {
    line.windows(2)
        .map(|p| (p[1][0] - p[0][0]).hypot(p[1][1] - p[0][1]))
        .sum()
}

/// A free place for a contour's label on its line, from the middle outward.
fn place(clear: &mut Clearance, line: &[Point], set: Type, words: &str) -> Option<Point> {
    let lengths: Vec<f64> = line
        .windows(2)
        .map(|p| (p[1][0] - p[0][0]).hypot(p[1][1] - p[0][1]))
        .collect();
    let whole: f64 = lengths.iter().sum();
    let size = [set.width(words), set.capital()];
    [0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8, 0.1, 0.9]
        .into_iter()
        .find_map(|share| {
            let mut left = share * whole;
            let k = lengths.iter().position(|l| {
                let here = left <= *l;
                left -= if here { 0.0 } else { *l };
                here
            })?;
            let s = left / lengths[k].max(1e-9);
            let p = [0, 1].map(|c| line[k][c] + s * (line[k + 1][c] - line[k][c]));
            let r =
                Rect::new(p[0] - 0.5 * size[0], p[1] - 0.5 * size[1], size[0], size[1]).grown(0.7);
            clear.is_free(&r).then(|| {
                clear.boxes.push(r);
                p
            })
        })
}

/// The colour of a value.
fn tone(theme: &Theme, scale: &Scale, v: f64) -> Colour {
    theme.depth(0.92 * (v - scale.lo) / (scale.hi - scale.lo))
}

fn colour_bar(canvas: &mut Canvas, theme: &Theme, quantity: &Quantity, scale: &Scale, at: Point) {
    let set = Type::new(theme.text, theme.ink);
    let bar = Rect::new(at[0], at[1], (0.4 * theme.width).max(50.0), BAR);
    canvas.text(&short(quantity), [bar.x, bar.y - 1.0], set);
    let pieces = 64;
    for k in 0..pieces {
        let share = |k: i32| f64::from(k) / f64::from(pieces);
        let v = scale.lo + (scale.hi - scale.lo) * share(2 * k + 1) / 2.0;
        // To the end, each over the last, so that no seam shows.
        let (from, to) = (bar.x + share(k) * bar.w, bar.right());
        canvas.fill(
            Rect::new(from, bar.y, to - from, bar.h),
            tone(theme, scale, v),
        );
    }
    canvas.outline(&corners(bar), Stroke::solid(theme.ink, theme.hair));
    for tick in scale.ticks() {
        let x = bar.x + (tick - scale.lo) / (scale.hi - scale.lo) * bar.w;
        canvas.line(
            [x, bar.bottom()],
            [x, bar.bottom() + 0.8],
            Stroke::solid(theme.ink, theme.hair),
        );
        let base = bar.bottom() + 1.4 + set.capital();
        canvas.text(&scale.words(tick), [x, base], set.align(Align::Centre));
    }
}

/// The range of a construct's values, and how its points end.
fn note(found: &Sweep, swept: &Swept, q: usize) -> String {
    let ends = words::ends(swept, words::total(found));
    format!("{}; {ends}", range(found, swept, q))
}

fn range(found: &Sweep, swept: &Swept, q: usize) -> String {
    let values = || swept.points.iter().filter_map(|p| p.values[q]);
    let (lo, hi) = (
        values().fold(f64::INFINITY, f64::min),
        values().fold(f64::NEG_INFINITY, f64::max),
    );
    if lo > hi {
        return "no value".to_owned();
    }
    let digits = decimals((hi - lo).max(0.02 * hi.abs())).min(2);
    let unit = &found.quantities[q].unit;
    if lo == hi {
        return format!("{} {unit}", number(lo, digits))
            .trim_end()
            .to_owned();
    }
    format!("{} to {} {unit}", number(lo, digits), number(hi, digits))
        .trim_end()
        .to_owned()
}

fn caption(found: &Sweep, quantity: &Quantity) -> String {
    let label = &quantity.label;
    let mut chars = label.chars();
    let label: String = chars
        .next()
        .map_or_else(String::new, |c| c.to_uppercase().chain(chars).collect());
    format!(
        "{}{label}{} over {} and {}, one map a construct, on one scale of colours. A cell is one computed point; cells are of one size, whatever the distance of their values. Lines: contours, linear between points, scraps left out{}. Hatched cells have no value, for the reason in the key. {}",
        found
            .question
            .as_ref()
            .map_or_else(String::new, |q| format!("{q} ")),
        if quantity.unit.is_empty() {
            String::new()
        } else {
            format!(" ({})", signed(&quantity.unit))
        },
        input::words(&found.axes[0].path),
        input::words(&found.axes[1].path),
        if quantity.unit == "mm" {
            ", the heavy ones 1 and 2 mm where they lie in the range"
        } else {
            ""
        },
        words::done(found)
    )
}

fn alt(found: &Sweep, q: usize) -> String {
    let list: Vec<String> = found
        .constructs
        .iter()
        .map(|c| format!("{}: {}", c.construct, note(found, c, q)))
        .collect();
    format!(
        "Maps of {} over {} and {}. {}.",
        found.quantities[q].label,
        words::axis(&found.axes[0]),
        words::axis(&found.axes[1]),
        list.join(". ")
    )
}
