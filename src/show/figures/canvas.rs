//! The sheet a figure is drawn on: strokes, areas and words in mm, kept as a list and then drawn
//! through the SVG backend on a 0.01 mm grid.

use super::colour::{Colour, WHITE};
use super::font::FAMILY;
use super::lettering::PT;
pub(crate) use super::lettering::{Align, Type};
use super::rect::{Point, Rect};
use super::write::FIRST_LINE;
use plotters::prelude::{DrawingBackend, SVGBackend};
use plotters::style::text_anchor::{HPos, Pos, VPos};
use plotters::style::{FontTransform, IntoFont, RGBColor, ShapeStyle, TextStyle};

/// Grid units per mm.
const GRID: f64 = 100.0;

/// A line.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Stroke {
    /// Colour.
    pub colour: Colour,
    /// Width, pt.
    pub width: f64,
    /// Dash pattern, mm on and off by turns; empty is solid.
    pub dash: &'static [f64],
}

impl Stroke {
    /// A solid line.
    pub fn solid(colour: Colour, width: f64) -> Self {
        Self { colour, width, dash: &[] }
    }

    /// A dashed line.
    pub fn dashed(colour: Colour, width: f64, dash: &'static [f64]) -> Self {
        Self { colour, width, dash }
    }
}

enum Mark {
    Path(Vec<Point>, Stroke),
    Area(Vec<Point>, Colour),
    Circle(Point, f64, Stroke),
    Disc(Point, f64, Colour),
    Words(String, Point, Type, bool),
}

/// A sheet with what was drawn so far.
pub(crate) struct Canvas {
    width: f64,
    height: f64,
    marks: Vec<Mark>,
}

impl Canvas {
    /// An empty sheet, sizes in mm.
    pub fn new(width: f64, height: f64) -> Self {
        Self { width, height, marks: Vec::new() }
    }

    /// Its width, mm.
    pub fn width(&self) -> f64 {
        self.width
    }

    /// Its height, mm.
    pub fn height(&self) -> f64 {
        self.height
    }

    /// Draws with the origin moved down by `by` mm.
    pub fn below(&mut self, by: f64, draw: impl FnOnce(&mut Self)) {
        let first = self.marks.len();
        draw(self);
        let down = |p: &mut Point| p[1] += by;
        for mark in &mut self.marks[first..] {
            match mark {
                Mark::Path(points, _) | Mark::Area(points, _) => points.iter_mut().for_each(down),
                Mark::Circle(p, ..) | Mark::Disc(p, ..) | Mark::Words(_, p, ..) => down(p),
            }
        }
    }

    /// A straight stroke.
    pub fn line(&mut self, from: Point, to: Point, stroke: Stroke) {
        self.path(&[from, to], stroke);
    }

    /// A polyline.
    pub fn path(&mut self, points: &[Point], stroke: Stroke) {
        if points.len() < 2 {
            return;
        }
        if stroke.dash.is_empty() {
            self.marks.push(Mark::Path(points.to_vec(), stroke));
        } else {
            for piece in dashes(points, stroke.dash) {
                self.marks.push(Mark::Path(piece, stroke));
            }
        }
    }

    /// A closed outline.
    pub fn outline(&mut self, points: &[Point], stroke: Stroke) {
        let mut closed = points.to_vec();
        closed.extend(points.first());
        // One step beyond the start, so that the corner there is joined like the others.
        closed.extend(points.get(1).map(|p| {
            let s = points[0];
            let l = libm::hypot(p[0] - s[0], p[1] - s[1]).max(1e-9);
            let step = (0.05_f64).min(l) / l;
            [s[0] + (p[0] - s[0]) * step, s[1] + (p[1] - s[1]) * step]
        }));
        self.path(&closed, stroke);
    }

    /// A filled polygon.
    pub fn area(&mut self, points: &[Point], colour: Colour) {
        if points.len() > 2 {
            self.marks.push(Mark::Area(points.to_vec(), colour));
        }
    }

    /// A filled rectangle.
    pub fn fill(&mut self, r: Rect, colour: Colour) {
        self.area(&corners(r), colour);
    }

    /// A circle line.
    pub fn circle(&mut self, centre: Point, radius: f64, stroke: Stroke) {
        self.marks.push(Mark::Circle(centre, radius, stroke));
    }

    /// A filled circle.
    pub fn disc(&mut self, centre: Point, radius: f64, colour: Colour) {
        self.marks.push(Mark::Disc(centre, radius, colour));
    }

    /// Words with their base line at `at`.
    pub fn text(&mut self, text: &str, at: Point, set: Type) {
        if text.is_empty() {
            return;
        }
        self.marks.push(Mark::Words(text.to_owned(), at, set, false));
    }

    /// Words on a patch of paper, so that strokes below do not run through them.
    pub fn text_on_patch(&mut self, text: &str, at: Point, set: Type, paper: Colour) {
        self.fill(set.extent(text, at).grown(0.25), paper);
        self.text(text, at, set);
    }

    /// Words running upward, centred on `at`, which lies on their base line.
    pub fn text_upward(&mut self, text: &str, at: Point, set: Type) {
        self.marks.push(Mark::Words(text.to_owned(), at, set.align(Align::Centre), true));
    }

    /// The SVG: header in mm, title and description for screen readers, our mark, and the drawing.
    pub fn finish(&self, name: &str, alt: &str) -> String {
        let size = (units(self.width) as u32, units(self.height) as u32);
        let mut drawn = String::new();
        {
            let mut backend = SVGBackend::with_string(&mut drawn, size);
            for mark in &self.marks {
                // Writing into a string cannot fail.
                draw(&mut backend, mark);
            }
            let _ = backend.present();
        }
        let body = drawn.split_once('\n').map_or("", |(_, rest)| rest);
        let mut svg = format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{:.2}mm\" height=\"{:.2}mm\" viewBox=\"0 0 {} {}\" role=\"img\" stroke-linejoin=\"round\">\n<!-- {FIRST_LINE}: {name} -->\n<title>{}</title>\n<desc>{}</desc>\n<rect x=\"0\" y=\"0\" width=\"{}\" height=\"{}\" fill=\"#FFFFFF\"/>\n",
            self.width,
            self.height,
            size.0,
            size.1,
            escape(name),
            escape(alt),
            size.0,
            size.1,
        );
        // The backend sets words on lines of their own; white space inside <text> is not for us.
        let mut lines = body.lines();
        while let Some(line) = lines.next() {
            svg.push_str(line);
            if line.starts_with("<text") {
                svg.push_str(lines.next().unwrap_or_default());
                svg.push_str(lines.next().unwrap_or_default());
            }
            svg.push('\n');
        }
        svg
    }
}

fn escape(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;")
}

/// Corners of a rectangle.
pub(crate) fn corners(r: Rect) -> [Point; 4] {
    [[r.x, r.y], [r.right(), r.y], [r.right(), r.bottom()], [r.x, r.bottom()]]
}

fn units(mm: f64) -> i32 {
    (mm * GRID).round() as i32
}

fn on_grid(p: Point) -> (i32, i32) {
    (units(p[0]), units(p[1]))
}

fn style(colour: Colour, width_pt: f64, filled: bool) -> ShapeStyle {
    ShapeStyle {
        color: RGBColor(colour.0, colour.1, colour.2).into(),
        filled,
        stroke_width: (width_pt * PT * GRID).round().max(1.0) as u32,
    }
}

fn draw(backend: &mut SVGBackend<'_>, mark: &Mark) -> bool {
    let done = match mark {
        Mark::Path(points, stroke) => {
            backend.draw_path(points.iter().copied().map(on_grid), &style(stroke.colour, stroke.width, false))
        }
        Mark::Area(points, colour) => {
            backend.fill_polygon(points.iter().copied().map(on_grid), &style(*colour, 0.0, true))
        }
        Mark::Circle(centre, radius, stroke) => backend.draw_circle(
            on_grid(*centre),
            units(*radius).max(1) as u32,
            &style(stroke.colour, stroke.width, false),
            false,
        ),
        Mark::Disc(centre, radius, colour) => {
            backend.draw_circle(on_grid(*centre), units(*radius).max(1) as u32, &style(*colour, 0.0, true), true)
        }
        Mark::Words(text, at, set, upward) => {
            let size = (set.size * PT * GRID).round();
            let transform = if *upward { FontTransform::Rotate270 } else { FontTransform::None };
            let h = match set.align {
                Align::Left => HPos::Left,
                Align::Centre => HPos::Center,
                Align::Right => HPos::Right,
            };
            // The backend divides sizes by 1.24 and hangs a text "at the top" 0.76 em below its
            // point: the one of its three shifts that every renderer reads alike. Taken back here,
            // the base line runs through the point.
            let font = (FAMILY, given_size(size)).into_font().style(set.face.style()).transform(transform);
            let colour = RGBColor(set.colour.0, set.colour.1, set.colour.2);
            let text_style = TextStyle::from(font).color(&colour).pos(Pos::new(h, VPos::Top));
            let (x, y) = on_grid(*at);
            let shift = (0.76 * size).round() as i32;
            // A turned text is turned about its point, its shift with it.
            let point = if *upward { (x - shift, y) } else { (x, y - shift) };
            backend.draw_text(text, &text_style, point)
        }
    };
    done.is_ok()
}

/// The size that the backend, dividing by 1.24, turns into exactly `size`.
fn given_size(size: f64) -> f64 {
    let near = size * 1.24;
    [near, near.next_up(), near.next_down()].into_iter().find(|s| s / 1.24 == size).unwrap_or(near)
}

/// Cuts a polyline into the "on" pieces of a dash pattern.
fn dashes(points: &[Point], pattern: &[f64]) -> Vec<Vec<Point>> {
    let mut pieces = Vec::new();
    let (mut index, mut left, mut on) = (0, pattern[0], true);
    let mut piece = vec![points[0]];
    for pair in points.windows(2) {
        let [from, to] = [pair[0], pair[1]];
        let length = libm::hypot(to[0] - from[0], to[1] - from[1]);
        let mut done = 0.0;
        while length - done > left {
            done += left;
            let s = done / length;
            let p = [from[0] + (to[0] - from[0]) * s, from[1] + (to[1] - from[1]) * s];
            if on {
                piece.push(p);
                pieces.push(std::mem::take(&mut piece));
            } else {
                piece = vec![p];
            }
            on = !on;
            index = (index + 1) % pattern.len();
            left = pattern[index];
        }
        left -= length - done;
        if on {
            piece.push(to);
        }
    }
    if on && piece.len() > 1 {
        pieces.push(piece);
    }
    pieces
}

/// White casing under a stroke that crosses others.
pub(crate) fn casing(stroke: Stroke) -> Stroke {
    Stroke::solid(WHITE, stroke.width + 1.2)
}
