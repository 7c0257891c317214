//! The sheet a figure is drawn on: strokes, areas and words in mm.

use super::colour::{Colour, WHITE};
use super::lettering::{Align, PT, Type};
use super::page::{Point, Rect};
use super::svg::{Fill, GRID, Svg};
use super::texture::Texture;
use plotters::style::text_anchor::{HPos, Pos, VPos};
use plotters::style::{FontFamily, FontTransform, IntoFont, RGBColor, TextStyle};
use plotters_backend::{BackendColor, BackendCoord, BackendStyle, DrawingBackend};

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

    /// White casing under it, where it crosses others.
    pub fn casing(self) -> Self {
        Self::solid(WHITE, self.width + 1.2)
    }
}

impl BackendStyle for Stroke {
    fn color(&self) -> BackendColor {
        self.colour.into()
    }

    fn stroke_width(&self) -> u32 {
        (self.width * PT * GRID).round().max(1.0) as u32
    }
}

impl From<Colour> for BackendColor {
    fn from(Colour(r, g, b): Colour) -> Self {
        Self { alpha: 1.0, rgb: (r, g, b) }
    }
}

/// A sheet with what was drawn so far.
pub(crate) struct Canvas {
    size: [f64; 2],
    svg: Svg,
}

impl Canvas {
    /// An empty sheet, sizes in mm.
    pub fn new(width: f64, height: f64) -> Self {
        let size = [width, height].map(|v| units(v) as u32);
        // To whole units, as everything in it.
        Self { size: size.map(|v| f64::from(v) / GRID), svg: Svg::new(size.into()) }
    }

    /// Width and height as written, mm.
    pub fn size(&self) -> [f64; 2] {
        self.size
    }

    /// The SVG.
    pub fn finish(self, name: &str, alt: &str) -> String {
        self.svg.finish(name, alt)
    }

    /// Draws what is seen inside a rectangle alone.
    pub fn clipped(&mut self, window: Rect, draw: impl FnOnce(&mut Self)) {
        self.clipped_to(&window.corners(), draw);
    }

    /// Draws what is seen inside a polygon alone.
    pub fn clipped_to(&mut self, shape: &[Point], draw: impl FnOnce(&mut Self)) {
        let shape = all(shape);
        self.svg.clip(shape);
        draw(self);
        self.svg.unclip();
    }

    /// A straight stroke.
    pub fn line(&mut self, from: Point, to: Point, stroke: Stroke) {
        self.path(&[from, to], stroke);
    }

    /// A polyline.
    pub fn path(&mut self, points: &[Point], stroke: Stroke) {
        if points.len() > 1 {
            let points = all(points);
            self.svg.dash = stroke.dash;
            // Writing into a string cannot fail, here and below.
            let _ = self.svg.draw_path(points, &stroke);
        }
    }

    /// A closed outline.
    pub fn outline(&mut self, points: &[Point], stroke: Stroke) {
        if points.len() > 1 {
            let points = all(points);
            self.svg.dash = stroke.dash;
            self.svg.outline(points, &stroke);
        }
    }

    /// A filled polygon.
    pub fn area(&mut self, points: &[Point], colour: Colour) {
        if points.len() > 2 {
            let points = all(points);
            let _ = self.svg.fill_polygon(points, &BackendColor::from(colour));
        }
    }

    /// Several filled polygons; one inside another is a hole.
    pub fn areas(&mut self, rings: &[Vec<Point>], colour: Colour) {
        if !rings.is_empty() {
            let rings: Vec<_> = rings.iter().map(|r| all(r)).collect();
            self.svg.fill(&rings, Fill::Plain(colour.into()));
        }
    }

    /// A polygon with a texture, lines `spacing` mm apart, and nothing between them.
    pub fn textured(&mut self, points: &[Point], texture: Texture, spacing: f64, stroke: Stroke) {
        if let (Some(pattern), true) = (texture.pattern(spacing, stroke), points.len() > 2) {
            let ring = all(points);
            self.svg.fill(&[ring], Fill::Defined(pattern));
        }
    }

    /// A filled rectangle.
    pub fn fill(&mut self, r: Rect, colour: Colour) {
        self.area(&r.corners(), colour);
    }

    /// The outline of a rectangle.
    pub fn frame(&mut self, r: Rect, stroke: Stroke) {
        self.outline(&r.corners(), stroke);
    }

    /// A circle line.
    pub fn circle(&mut self, centre: Point, radius: f64, stroke: Stroke) {
        let (at, r) = (grid(centre), units(radius).max(1) as u32);
        self.svg.dash = stroke.dash;
        let _ = self.svg.draw_circle(at, r, &stroke, false);
    }

    /// A filled circle.
    pub fn disc(&mut self, centre: Point, radius: f64, colour: Colour) {
        let (at, r) = (grid(centre), units(radius).max(1) as u32);
        let _ = self.svg.draw_circle(at, r, &BackendColor::from(colour), true);
    }

    /// Words with their base line at `at`.
    pub fn text(&mut self, text: &str, at: Point, set: Type) {
        self.words(text, at, set, FontTransform::None);
    }

    /// Lines of words under each other; gives the base line after the last.
    pub fn lines(&mut self, lines: &[String], at: Point, set: Type) -> f64 {
        for (k, line) in lines.iter().enumerate() {
            self.text(line, [at[0], at[1] + k as f64 * set.leading()], set);
        }
        at[1] + lines.len() as f64 * set.leading()
    }

    /// Words on a patch of paper, so that strokes below do not run through them.
    pub fn text_on_patch(&mut self, text: &str, at: Point, set: Type, paper: Colour) {
        self.fill(set.extent(text, at).grown(0.25), paper);
        self.text(text, at, set);
    }

    /// Words running upward, centred on `at`, which lies on their base line.
    pub fn text_upward(&mut self, text: &str, at: Point, set: Type) {
        self.words(text, at, set.align(Align::Centre), FontTransform::Rotate270);
    }

    fn words(&mut self, text: &str, at: Point, set: Type, turn: FontTransform) {
        if text.is_empty() {
            return;
        }
        let h = match set.align {
            Align::Left => HPos::Left,
            Align::Centre => HPos::Center,
            Align::Right => HPos::Right,
        };
        let font = (FontFamily::SansSerif, set.size * PT * GRID).into_font().style(set.face.style()).transform(turn);
        let colour = RGBColor(set.colour.0, set.colour.1, set.colour.2);
        let style = TextStyle::from(font).color(&colour).pos(Pos::new(h, VPos::Bottom));
        let at = grid(at);
        let _ = self.svg.draw_text(text, &style, at);
    }
}

fn grid(p: Point) -> BackendCoord {
    (units(p[0]), units(p[1]))
}

fn all(points: &[Point]) -> Vec<BackendCoord> {
    points.iter().map(|p| grid(*p)).collect()
}

fn units(mm: f64) -> i32 {
    (mm * GRID).round() as i32
}
