//! The drawing backend: SVG in millimetres, with dashes, textures and clips of its own.
//!
//! Plotters hands a backend whole numbers: here hundredths of a millimetre, written as millimetres with
//! decimals. What its styles cannot say (dashes, textures, clips) the backend is told beside them.

use super::write::FIRST_LINE;
use plotters::style::text_anchor::HPos;
use plotters::style::{FontStyle, FontTransform};
use plotters_backend::{BackendColor, BackendCoord, BackendStyle, BackendTextStyle, DrawingBackend, DrawingErrorKind};
use std::convert::Infallible;
use std::fmt::Write as _;

/// Grid units per mm.
pub(crate) const GRID: f64 = 100.0;

/// Families by name: the vendored font, then two of the same metrics.
pub(crate) const FAMILY: &str = "Liberation Sans, Arial, Helvetica, sans-serif";

type Drawn = Result<(), DrawingErrorKind<Infallible>>;

/// An SVG that grows.
pub(crate) struct Svg {
    size: (u32, u32),
    body: String,
    defs: Vec<String>,
    /// Dash pattern of the next strokes, mm on and off by turns; empty is solid.
    pub dash: &'static [f64],
    clips: usize,
}

impl Svg {
    /// Empty, of a size in grid units.
    pub fn new(size: (u32, u32)) -> Self {
        Self { size, body: String::new(), defs: Vec::new(), dash: &[], clips: 0 }
    }

    /// The number of a definition, which is made when it is not there yet.
    fn define(&mut self, definition: String) -> usize {
        self.defs.iter().position(|d| *d == definition).unwrap_or_else(|| {
            self.defs.push(definition);
            self.defs.len() - 1
        })
    }

    /// Fills polygons (even-odd, so that one inside another is a hole) with a definition, e.g. a pattern,
    /// or with a colour.
    pub fn fill(&mut self, rings: &[Vec<BackendCoord>], fill: Fill) {
        let fill = match fill {
            Fill::Plain(colour) => hex(&colour),
            Fill::Defined(definition) => format!("url(#d{})", self.define(definition)),
        };
        let path: Vec<String> = rings.iter().map(|r| format!("M{}Z", points(r.iter().copied()))).collect();
        let _ = writeln!(self.body, "<path d=\"{}\" fill-rule=\"evenodd\" fill=\"{fill}\"/>", path.concat());
    }

    /// The outline of a polygon, closed.
    pub fn outline(&mut self, ring: impl IntoIterator<Item = BackendCoord>, style: &impl BackendStyle) {
        let stroke = self.stroke(style);
        let _ = writeln!(self.body, "<polygon points=\"{}\" fill=\"none\"{stroke}/>", points(ring));
    }

    /// What is drawn from here on is seen inside a polygon alone, until [`Svg::unclip`].
    pub fn clip(&mut self, ring: impl IntoIterator<Item = BackendCoord>) {
        let definition = format!("<clipPath id=\"d{{}}\"><polygon points=\"{}\"/></clipPath>", points(ring));
        let id = self.define(definition);
        self.clips += 1;
        let _ = writeln!(self.body, "<g clip-path=\"url(#d{id})\">");
    }

    /// Ends the last clip.
    pub fn unclip(&mut self) {
        if self.clips > 0 {
            self.clips -= 1;
            self.body.push_str("</g>\n");
        }
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

    /// The whole: header in mm, title and description for screen readers, our mark, and the drawing.
    pub fn finish(self, name: &str, alt: &str) -> String {
        let size = [self.size.0, self.size.1].map(|v| f64::from(v) / GRID);
        let view = [0.0, 0.0, size[0], size[1]];
        let mut svg = format!(
            "{}\n<!-- {FIRST_LINE}: {name} -->\n<title>{}</title>\n<desc>{}</desc>\n{}\n",
            header(size, view),
            escape(name),
            escape(alt),
            paper(view)
        );
        if !self.defs.is_empty() {
            svg.push_str("<defs>\n");
            for (k, definition) in self.defs.iter().enumerate() {
                let _ = writeln!(svg, "{}", definition.replace("{}", &k.to_string()));
            }
            svg.push_str("</defs>\n");
        }
        svg.push_str(&self.body);
        svg.push_str("</svg>\n");
        svg
    }
}

/// The first line of an SVG of a size (mm) that shows a part of its drawing (left, top, width, height).
pub(crate) fn header([w, h]: [f64; 2], view: [f64; 4]) -> String {
    let view = view.map(|v| format!("{v:.2}")).join(" ");
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{w:.2}mm\" height=\"{h:.2}mm\" viewBox=\"{view}\" role=\"img\" stroke-linejoin=\"round\" font-family=\"{FAMILY}\">"
    )
}

/// White paper under all of it.
pub(crate) fn paper([x, y, w, h]: [f64; 4]) -> String {
    format!("<rect x=\"{x:.2}\" y=\"{y:.2}\" width=\"{w:.2}\" height=\"{h:.2}\" fill=\"#FFFFFF\"/>")
}

/// What an area is filled with.
pub(crate) enum Fill {
    /// A colour.
    Plain(BackendColor),
    /// A definition, `{}` standing for its number.
    Defined(String),
}

/// Grid units as millimetres.
pub(crate) fn decimal(units: i32) -> String {
    let text = format!("{:.2}", f64::from(units) / GRID);
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// A colour as SVG takes it.
pub(crate) fn hex(colour: &BackendColor) -> String {
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

impl DrawingBackend for Svg {
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
            HPos::Left => "",
            HPos::Center => " text-anchor=\"middle\"",
            HPos::Right => " text-anchor=\"end\"",
        };
        let face = match style.style() {
            FontStyle::Bold => " font-weight=\"bold\"",
            FontStyle::Italic | FontStyle::Oblique => " font-style=\"italic\"",
            FontStyle::Normal => "",
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
