//! The sheet a figure is drawn on: strokes, areas and words in mm, through plotters to a backend of our own that
//! writes SVG in millimetres, with dashes, textures and clips.
//!
//! Plotters hands a backend whole numbers: here hundredths of a millimetre, written as millimetres with
//! decimals. What its styles cannot say (dashes, textures, clips) the backend is told beside them.

use super::colour::{Colour, WHITE};
use super::lettering::{Align, Face, PT, Type};
use super::page::{Point, Rect};
use super::texture::Texture;
use super::write::FIRST_LINE;
use plotters::style::text_anchor::{Pos, VPos};
use plotters::style::{FontFamily, FontTransform, IntoFont, RGBColor, TextStyle};
use plotters_backend::{BackendColor, BackendCoord, BackendStyle, BackendTextStyle, DrawingBackend, DrawingErrorKind};
use std::convert::Infallible;
use std::fmt::Write as _;

/// Grid units per mm.
pub(super) const GRID: f64 = 100.0;

/// Families by name: the vendored font, then two of the same metrics.
const FAMILY: &str = "Liberation Sans, Arial, Helvetica, sans-serif";

type Drawn = Result<(), DrawingErrorKind<Infallible>>;

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
    /// In grid units.
    size: (u32, u32),
    body: String,
    defs: Vec<String>,
    /// Dash pattern of the next stroke, mm on and off by turns; empty is solid.
    dash: &'static [f64],
}

impl Canvas {
    /// An empty sheet, sizes in mm.
    pub fn new(width: f64, height: f64) -> Self {
        let [width, height] = [width, height].map(|v| units(v) as u32);
        Self { size: (width, height), body: String::new(), defs: Vec::new(), dash: &[] }
    }

    /// Width and height as written, mm.
    pub fn size(&self) -> [f64; 2] {
        [self.size.0, self.size.1].map(|v| f64::from(v) / GRID)
    }

    /// The SVG: header in mm, title and description for screen readers, our mark, and the drawing.
    pub fn finish(self, name: &str, alt: &str) -> String {
        let size = self.size();
        let view = [0.0, 0.0, size[0], size[1]];
        let mut svg = format!(
            "{}\n<!-- {FIRST_LINE}: {name} -->\n<title>{}</title>\n<desc>{}</desc>\n{}\n",
            header(size, view),
            escape(name),
            escape(alt),
            paper(view)
        );
        if !self.defs.is_empty() {
            let defs = self.defs.iter().enumerate().map(|(k, d)| d.replace("{}", &k.to_string()) + "\n");
            svg += &format!("<defs>\n{}</defs>\n", defs.collect::<String>());
        }
        svg + &self.body + "</svg>\n"
    }

    /// The number of a definition, which is made when it is not there yet.
    fn define(&mut self, definition: String) -> usize {
        self.defs.iter().position(|d| *d == definition).unwrap_or_else(|| {
            self.defs.push(definition);
            self.defs.len() - 1
        })
    }

    /// A line of the drawing.
    fn write(&mut self, element: &str) {
        self.body += element;
        self.body.push('\n');
    }

    /// Draws what is seen inside a rectangle alone.
    pub fn clipped(&mut self, window: Rect, draw: impl FnOnce(&mut Self)) {
        self.clipped_to(&window.corners(), draw);
    }

    /// Draws what is seen inside a polygon alone.
    pub fn clipped_to(&mut self, shape: &[Point], draw: impl FnOnce(&mut Self)) {
        let id = self.define(format!("<clipPath id=\"d{{}}\"><polygon points=\"{}\"/></clipPath>", points(all(shape))));
        self.write(&format!("<g clip-path=\"url(#d{id})\">"));
        draw(self);
        self.write("</g>");
    }

    /// A straight stroke.
    pub fn line(&mut self, from: Point, to: Point, stroke: Stroke) {
        self.path(&[from, to], stroke);
    }

    /// A polyline.
    pub fn path(&mut self, points: &[Point], stroke: Stroke) {
        if points.len() > 1 {
            self.dash = stroke.dash;
            // Writing into a string cannot fail, here and below.
            let _ = self.draw_path(all(points), &stroke);
        }
    }

    /// A closed outline.
    pub fn outline(&mut self, ring: &[Point], stroke: Stroke) {
        if ring.len() > 1 {
            self.dash = stroke.dash;
            let element = format!("<polygon points=\"{}\" fill=\"none\"{}/>", points(all(ring)), self.stroke(&stroke));
            self.write(&element);
        }
    }

    /// A filled polygon.
    pub fn area(&mut self, points: &[Point], colour: Colour) {
        if points.len() > 2 {
            let _ = self.fill_polygon(all(points), &BackendColor::from(colour));
        }
    }

    /// Several filled polygons; one inside another is a hole.
    pub fn areas(&mut self, rings: &[Vec<Point>], colour: Colour) {
        if !rings.is_empty() {
            self.even_odd(rings, &hex(&colour.into()));
        }
    }

    /// A polygon with a texture, lines `spacing` mm apart, and nothing between them.
    pub fn textured(&mut self, points: &[Point], texture: Texture, spacing: f64, stroke: Stroke) {
        if let (Some(pattern), true) = (texture.pattern(spacing, stroke), points.len() > 2) {
            let id = self.define(pattern);
            self.even_odd(&[points.to_vec()], &format!("url(#d{id})"));
        }
    }

    fn even_odd(&mut self, rings: &[Vec<Point>], fill: &str) {
        let path: String = rings.iter().map(|ring| format!("M{}Z", points(all(ring)))).collect();
        self.write(&format!("<path d=\"{path}\" fill-rule=\"evenodd\" fill=\"{fill}\"/>"));
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
        self.dash = stroke.dash;
        let _ = self.draw_circle(grid(centre), units(radius).max(1) as u32, &stroke, false);
    }

    /// A filled circle.
    pub fn disc(&mut self, centre: Point, radius: f64, colour: Colour) {
        let _ = self.draw_circle(grid(centre), units(radius).max(1) as u32, &BackendColor::from(colour), true);
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
        self.words(text, at, set.centred(), FontTransform::Rotate270);
    }

    fn words(&mut self, text: &str, at: Point, set: Type, turn: FontTransform) {
        if text.is_empty() {
            return;
        }

        let font = (FontFamily::SansSerif, set.size * PT * GRID).into_font().style(set.face).transform(turn);
        let colour = RGBColor(set.colour.0, set.colour.1, set.colour.2);
        let style = TextStyle::from(font).color(&colour).pos(Pos::new(set.align, VPos::Bottom));
        let _ = self.draw_text(text, &style, grid(at));
    }

    fn stroke(&self, style: &impl BackendStyle) -> String {
        let width = decimal(style.stroke_width() as i32);
        let mut text = format!(" stroke=\"{}\" stroke-width=\"{width}\"", hex(&style.color()));
        if !self.dash.is_empty() {
            let dash: Vec<String> = self.dash.iter().map(f64::to_string).collect();
            let _ = write!(text, " stroke-dasharray=\"{}\"", dash.join(" "));
        }
        text
    }
}

impl DrawingBackend for Canvas {
    type ErrorType = Infallible;

    fn get_size(&self) -> (u32, u32) {
        self.size
    }

    fn ensure_prepared(&mut self) -> Drawn {
        Ok(())
    }

    fn present(&mut self) -> Drawn {
        Ok(())
    }

    fn draw_pixel(&mut self, (x, y): BackendCoord, colour: BackendColor) -> Drawn {
        self.fill_polygon([(x, y), (x + 1, y), (x + 1, y + 1), (x, y + 1)], &colour)
    }

    fn draw_path<S: BackendStyle, I: IntoIterator<Item = BackendCoord>>(&mut self, path: I, style: &S) -> Drawn {
        let stroke = self.stroke(style);
        let _ = writeln!(self.body, "<polyline points=\"{}\" fill=\"none\"{stroke}/>", points(path));
        Ok(())
    }

    fn fill_polygon<S: BackendStyle, I: IntoIterator<Item = BackendCoord>>(&mut self, ring: I, style: &S) -> Drawn {
        let _ = writeln!(self.body, "<polygon points=\"{}\" fill=\"{}\"/>", points(ring), hex(&style.color()));
        Ok(())
    }

    fn draw_circle<S: BackendStyle>(&mut self, at: BackendCoord, radius: u32, style: &S, fill: bool) -> Drawn {
        let look = if fill {
            format!(" fill=\"{}\"", hex(&style.color()))
        } else {
            format!(" fill=\"none\"{}", self.stroke(style))
        };
        let [x, y, r] = [at.0, at.1, radius as i32].map(decimal);
        let _ = writeln!(self.body, "<circle cx=\"{x}\" cy=\"{y}\" r=\"{r}\"{look}/>");
        Ok(())
    }

    /// Words with their base line through the point, at whatever height their anchor would have them.
    fn draw_text<T: BackendTextStyle>(&mut self, text: &str, style: &T, at: BackendCoord) -> Drawn {
        let [x, y] = [at.0, at.1].map(decimal);
        let anchor = match style.anchor().h_pos {
            Align::Left => "",
            Align::Center => " text-anchor=\"middle\"",
            Align::Right => " text-anchor=\"end\"",
        };
        let face = match style.style() {
            Face::Bold => " font-weight=\"bold\"",
            Face::Italic | Face::Oblique => " font-style=\"italic\"",
            Face::Normal => "",
        };
        let turn = match style.transform() {
            FontTransform::Rotate270 => format!(" transform=\"rotate(270 {x} {y})\""),
            _ => String::new(),
        };
        let size = decimal(style.size().round() as i32);
        let fill = hex(&style.color());
        let _ = writeln!(
            self.body,
            "<text x=\"{x}\" y=\"{y}\"{anchor} font-size=\"{size}\"{face} fill=\"{fill}\"{turn}>{}</text>",
            escape(text)
        );
        Ok(())
    }
}

/// The first line of an SVG of a size (mm) that shows a part of its drawing (left, top, width, height).
pub(super) fn header([w, h]: [f64; 2], view: [f64; 4]) -> String {
    let view = view.map(|v| format!("{v:.2}")).join(" ");
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{w:.2}mm\" height=\"{h:.2}mm\" viewBox=\"{view}\" role=\"img\" stroke-linejoin=\"round\" font-family=\"{FAMILY}\">"
    )
}

/// White paper under all of it.
pub(super) fn paper([x, y, w, h]: [f64; 4]) -> String {
    format!("<rect x=\"{x:.2}\" y=\"{y:.2}\" width=\"{w:.2}\" height=\"{h:.2}\" fill=\"#FFFFFF\"/>")
}

/// Grid units as millimetres.
fn decimal(units: i32) -> String {
    let text = format!("{:.2}", f64::from(units) / GRID);
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// A colour as SVG takes it.
pub(super) fn hex(colour: &BackendColor) -> String {
    let (r, g, b) = colour.rgb;
    format!("#{r:02X}{g:02X}{b:02X}")
}

fn points(all: impl IntoIterator<Item = BackendCoord>) -> String {
    let list: Vec<String> = all.into_iter().map(|(x, y)| format!("{},{}", decimal(x), decimal(y))).collect();
    list.join(" ")
}

fn escape(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;")
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
