//! A pair of axes on the page, what stands on them, and names at the ends of curves.

use super::canvas::{Canvas, GRID, Stroke};
use super::colour::Colour;
use super::label::spread;
use super::lettering::Type;
use super::mark::cross;
use super::page::{Point, Rect};
use super::scale::Scale;

use super::theme::Theme;
use plotters::coord::CoordTranslate;
use plotters::coord::cartesian::Cartesian2d;

/// Dots of the lead from a curve that ends early, mm.
const LEAD: &[f64] = &[0.3, 0.7];

/// A plot's rectangle with its two scales.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Plot {
    /// The data area, mm.
    pub area: Rect,
    /// Horizontal scale.
    pub x: Scale,
    /// Vertical scale.
    pub y: Scale,
}

impl Plot {
    /// Where a pair of values stands on the page.
    pub fn at(&self, x: f64, y: f64) -> Point {
        let unit = |mm: f64| (mm * GRID).round() as i32;
        let a = self.area;
        let pixels = (unit(a.x)..unit(a.right()), unit(a.bottom())..unit(a.y));
        let (x, y) = Cartesian2d::<Scale, Scale>::new(self.x, self.y, pixels).translate(&(x, y));
        [x, y].map(|v| f64::from(v) / GRID)
    }

    /// Pairs of values on the page.
    pub fn all(&self, pairs: impl IntoIterator<Item = [f64; 2]>) -> Vec<Point> {
        pairs.into_iter().map(|[x, y]| self.at(x, y)).collect()
    }

    /// Room that ticks, numbers and a title of one line take below the data area, mm.
    pub fn below(set: &Type) -> f64 {
        2.6 + 2.0 * set.capital()
    }

    /// Draws both axes with ticks, numbers and titles (empty: none).
    pub fn axes(&self, canvas: &mut Canvas, theme: &Theme, titles: [&str; 2]) {
        self.axes_with(canvas, theme, titles, |tick| self.x.words(tick));
    }

    /// The same with words of one's own under the ticks.
    pub fn axes_with(&self, canvas: &mut Canvas, theme: &Theme, titles: [&str; 2], under: impl Fn(f64) -> String) {
        let (a, axis, set) = (self.area, theme.axis(), theme.words());
        canvas.path(&[[a.x, a.y], [a.x, a.bottom()], [a.right(), a.bottom()]], axis);
        if self.y.lo < 0.0 && self.y.hi > 0.0 {
            canvas.line(self.at(self.x.lo, 0.0), self.at(self.x.hi, 0.0), axis);
        }
        for tick in self.y.ticks() {
            let p = self.at(self.x.lo, tick);
            canvas.line([p[0] - 0.8, p[1]], p, axis);
            canvas.text(&self.y.words(tick), [p[0] - 1.3, p[1] + 0.5 * set.capital()], set.right());
        }
        for tick in self.x.ticks() {
            let p = self.at(tick, self.y.lo);
            canvas.line(p, [p[0], p[1] + 0.8], axis);
            canvas.text(&under(tick), [p[0], p[1] + 1.4 + set.capital()], set.centred());
        }
        let [x, y] = a.middle();
        canvas.text(titles[0], [x, a.bottom() + Self::below(&set) + 0.7], set.centred());
        if !titles[1].is_empty() {
            canvas.text_upward(titles[1], [a.x - self.y.room(&set) + 1.0 + set.capital(), y], set);
        }
    }

    /// An upright line of reference, its value above it.
    pub fn reading(&self, canvas: &mut Canvas, theme: &Theme, at: f64, words: &str) {
        let top = self.at(at, self.y.hi);
        canvas.line(self.at(at, self.y.lo), top, theme.reference());
        canvas.text(words, [top[0], top[1] - 1.0], theme.note().centred());
    }

    /// Names beside the ends of curves, spread so that none covers another, each led to its end.
    pub fn ends(&self, canvas: &mut Canvas, theme: &Theme, ends: &[End<'_>]) {
        let (right, bottom) = (self.area.right(), self.area.bottom());
        let targets: Vec<f64> = ends.iter().map(|e| e.at.map_or(bottom, |p| p[1])).collect();
        let heights: Vec<f64> = ends.iter().map(End::height).collect();
        let column = right + End::lead(ends.len());
        let centres = spread(&targets, &heights, self.area.y - 1.0, bottom + 1.2);
        for ((end, middle), height) in ends.iter().zip(centres).zip(heights) {
            if let Some(p) = end.at {
                let hair = Stroke::solid(end.colour, theme.hair);
                let mut from = [p[0] + 0.5, p[1]];
                if p[0] < right - 0.5 {
                    // A curve that ends early: a dotted lead to its name.
                    if end.crossed {
                        cross(canvas, p, 0.8, Stroke::solid(end.colour, theme.curve));
                    }
                    from = [right + 0.5, p[1]];
                    canvas.line([p[0] + 1.4, p[1]], from, Stroke::dashed(end.colour, theme.hair, LEAD));
                }
                canvas.path(&[from, [right + 1.2, p[1]], [column - 0.9, middle], [column - 0.5, middle]], hair);
            }
            if let Some((_, draw)) = end.sign {
                draw(canvas, [column, middle]);
            }
            let mut top = middle - 0.5 * (height - GAP);
            for (line, set) in &end.lines {
                canvas.text(line, [column + end.indent(), top + 0.5 * (set.leading() + set.capital())], *set);
                top += set.leading();
            }
        }
    }
}

/// A level axis along the foot of a rectangle: its line, ticks and numbers, and with `grid` a line through the
/// rectangle at each tick.
pub(crate) fn level_axis(canvas: &mut Canvas, theme: &Theme, scale: Scale, area: Rect, grid: Option<Stroke>) {
    let (set, axis, foot) = (theme.words().centred(), theme.axis(), area.bottom());
    for tick in scale.ticks() {
        let x = area.x + scale.share(tick) * area.w;
        if let Some(grid) = grid {
            canvas.line([x, area.y], [x, foot], if tick == 0.0 { axis } else { grid });
        }
        canvas.line([x, foot], [x, foot + 0.8], axis);
        canvas.text(&scale.words(tick), [x, foot + 1.4 + set.capital()], set);
    }
    canvas.line([area.x, foot], [area.right(), foot], axis);
}

/// Room between two names, mm.
const GAP: f64 = 0.7;

/// A sign of a width (mm), drawn from the middle of its left side.
pub(crate) type Sign<'a> = (f64, &'a dyn Fn(&mut Canvas, Point));

/// A name beside the end of a curve.
pub(crate) struct End<'a> {
    /// The end on the page; none of a curve without any point.
    pub at: Option<Point>,
    /// Colour of its lead.
    pub colour: Colour,
    /// Lines of words.
    pub lines: Vec<(String, Type)>,
    /// What stands before the words.
    pub sign: Option<Sign<'a>>,
    /// Whether a curve that ends early is crossed off there.
    pub crossed: bool,
}

impl<'a> End<'a> {
    /// A name whose end is not known yet.
    pub fn named(colour: Colour, lines: Vec<(String, Type)>) -> Self {
        Self { at: None, colour, lines, sign: None, crossed: false }
    }

    /// Length of the leads to so many names, mm: many names stand farther from their ends.
    pub fn lead(count: usize) -> f64 {
        if count > 4 { 6.5 } else { 4.2 }
    }

    /// Room right of a plot that names take, mm.
    pub fn room(ends: &[Self]) -> f64 {
        Self::lead(ends.len()) + ends.iter().map(Self::width).fold(0.0, f64::max) + 0.4
    }

    /// Height of all of them, mm.
    pub fn tall(ends: &[Self]) -> f64 {
        ends.iter().map(Self::height).sum()
    }

    fn indent(&self) -> f64 {
        self.sign.map_or(0.0, |(width, _)| width + 0.9)
    }

    fn width(&self) -> f64 {
        self.indent() + self.lines.iter().map(|(line, set)| set.width(line)).fold(0.0, f64::max)
    }

    fn height(&self) -> f64 {
        self.lines.iter().map(|(_, set)| set.leading()).sum::<f64>() + GAP
    }
}
