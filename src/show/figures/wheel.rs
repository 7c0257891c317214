//! A wheel: polar paper over the plane of the bed, seen from the fragment with lateral up.

use super::axis::Scale;
use super::canvas::{Align, Canvas, Stroke, Type};
use super::construct::pressure::ends;
use super::font::Face;
use super::label::Clearance;
use super::rect::{Point, Rect};
use super::subject::mirror;
use super::theme::Theme;
use crate::model::Case;

/// Polar paper.
#[derive(Debug, Clone, Copy)]
pub(super) struct Wheel {
    /// Its centre on the page.
    pub centre: Point,
    /// Radius of the outer ring, mm.
    pub radius: f64,
    /// Values of the rings.
    pub scale: Scale,
    mirror: f64,
    ends: [&'static str; 2],
}

/// Directions (degrees, clockwise on the page from its right) in which a ring may bear its number.
const PLACES: [f64; 12] = [-45.0, 45.0, 135.0, -135.0, -22.0, 22.0, -68.0, 68.0, 112.0, -112.0, 158.0, -158.0];

impl Wheel {
    /// A wheel on the bed of a case.
    pub fn new(case: &Case, centre: Point, radius: f64, scale: Scale) -> Self {
        Self { centre, radius, scale, mirror: mirror(case), ends: ends(&case.fragment) }
    }

    /// The largest radius, mm, that leaves room for the words at both sides of a panel, up to `most`.
    pub fn radius_in(case: &Case, theme: &Theme, width: f64, most: f64) -> f64 {
        let set = italic(theme);
        let words = ends(&case.fragment).map(|w| set.width(w)).into_iter().fold(0.0, f64::max);
        (0.5 * width - words - 2.4).clamp(9.0, most)
    }

    /// Height that a wheel of this radius takes with the words above and below, mm.
    pub fn height(theme: &Theme, radius: f64) -> f64 {
        2.0 * radius + 2.0 * (italic(theme).leading() + 1.4)
    }

    /// A value along (chord, down the plane) on the page.
    pub fn at(&self, value: [f64; 2]) -> Point {
        let k = self.radius / self.scale.hi;
        [self.centre[0] + self.mirror * k * value[0], self.centre[1] + k * value[1]]
    }

    /// Length of a value on the page, mm.
    pub fn length(&self, value: f64) -> f64 {
        value / self.scale.hi * self.radius
    }

    /// Draws rings and axes.
    pub fn paper(&self, canvas: &mut Canvas, theme: &Theme) {
        let faint = Stroke::solid(theme.faint, theme.hair);
        for tick in self.rings() {
            canvas.circle(self.centre, self.length(tick), faint);
        }
        for axis in self.axes() {
            canvas.path(&axis, faint);
        }
    }

    /// Writes the directions round the wheel, and the number of each ring where none of `strokes`
    /// runs.
    pub fn words(&self, canvas: &mut Canvas, theme: &Theme, unit: &str, strokes: &[&[Point]]) {
        let set = Type::new(theme.small, theme.ink).align(Align::Centre);
        let italic = italic(theme);
        let ([x, y], r) = (self.centre, self.radius);
        let middle = 0.5 * set.capital();
        let [plus, minus] = self.ends;
        for (word, side) in [(plus, self.mirror), (minus, -self.mirror)] {
            let align = if side > 0.0 { Align::Left } else { Align::Right };
            canvas.text(word, [x + side * (r + 1.4), y + middle], italic.align(align));
        }
        let centred = italic.align(Align::Centre);
        canvas.text("lateral", [x, y - r - 1.4], centred);
        canvas.text("medial", [x, y + r + 1.2 + italic.capital()], centred);
        let mut clear =
            Clearance { bounds: Some(Rect::new(x - r, y - r, 2.0 * r, 2.0 * r).grown(2.0)), ..Clearance::default() };
        for stroke in strokes {
            clear.keep_off(stroke);
        }
        for axis in self.axes() {
            clear.keep_off(&axis);
        }
        for tick in self.rings() {
            let text = format!("{} {unit}", self.scale.words(tick));
            // On its ring, or just outside it where the ring is taken all round.
            let places = [0.0, 2.6].into_iter().flat_map(|out| PLACES.map(|turn| (self.length(tick) + out, turn)));
            for (reach, turn) in places {
                let (sin, cos) = libm::sincos(f64::to_radians(turn));
                let at = [x + reach * cos, y + reach * sin + middle];
                let extent = set.extent(&text, at);
                if clear.is_free(&extent.grown(0.35)) {
                    canvas.text_on_patch(&text, at, set, theme.paper);
                    clear.boxes.push(extent.grown(0.4));
                    break;
                }
            }
        }
    }

    fn rings(&self) -> impl Iterator<Item = f64> {
        self.scale.ticks().into_iter().filter(|t| *t > 0.0)
    }

    fn axes(&self) -> [[Point; 2]; 2] {
        let ([x, y], r) = (self.centre, self.radius);
        [[[x - r, y], [x + r, y]], [[x, y - r], [x, y + r]]]
    }
}

fn italic(theme: &Theme) -> Type {
    Type::new(theme.small, theme.muted).face(Face::Italic)
}
