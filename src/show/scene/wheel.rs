//! A wheel: polar paper over the plane of the bed, seen from the fragment with lateral up.

use super::bed::ends;
use super::*;

/// Polar paper.
pub(crate) struct Wheel<'a> {
    theme: &'a Theme,
    /// Its centre on the page.
    pub centre: Point,
    /// Radius of the outer ring, mm.
    radius: f64,
    /// Values of the rings.
    pub scale: Scale,
    mirror: f64,
    ends: [String; 2],
}

/// Directions (degrees, clockwise on the page from its right) in which the rings may bear their numbers.
const PLACES: [f64; 12] = [-45.0, 45.0, 135.0, -135.0, -22.0, 22.0, -68.0, 68.0, 112.0, -112.0, 158.0, -158.0];

/// The two ends of the fracture line: the wheel's directions are of the bed, not of the shoulder.
fn sides(case: &Case) -> [String; 2] {
    ends(&case.fragment).map(|end| format!("{end} end"))
}

impl<'a> Wheel<'a> {
    /// A wheel on the bed of a case.
    pub fn new(case: &Case, theme: &'a Theme, centre: Point, radius: f64, scale: Scale) -> Self {
        Self { theme, centre, radius, scale, mirror: mirror(case), ends: sides(case) }
    }

    /// The largest radius, mm, that leaves room for the words at both sides of a panel, up to `most`.
    pub fn radius_in(case: &Case, theme: &Theme, width: f64, most: f64) -> f64 {
        (0.5 * width - theme.note().italic().widest(sides(case)) - 2.4).clamp(9.0, most)
    }

    /// Height that a wheel of this radius takes with the words above and below, mm.
    pub fn height(theme: &Theme, radius: f64) -> f64 {
        2.0 * radius + 2.0 * (theme.note().leading() + 1.4)
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
    pub fn paper(&self, canvas: &mut Canvas) {
        self.rings().for_each(|tick| canvas.circle(self.centre, self.length(tick), self.theme.reference()));
        self.axes().iter().for_each(|axis| canvas.path(axis, self.theme.reference()));
    }

    /// Writes the directions round the wheel, and the number of each ring along one direction, where none of `strokes`
    /// runs.
    pub fn words(&self, canvas: &mut Canvas, unit: &str, strokes: &[&[Point]]) {
        let (set, italic) = (self.theme.fine().centred(), self.theme.note().italic());
        let ([x, y], r, middle) = (self.centre, self.radius, 0.5 * set.capital());
        let [plus, minus] = &self.ends;
        for (word, side) in [(plus, self.mirror), (minus, -self.mirror)] {
            canvas.text(word, [x + side * (r + 1.4), y + middle], italic.away(side));
        }
        canvas.text("up the plane", [x, y - r - 1.4], italic.centred());
        canvas.text("down the plane", [x, y + r + 1.2 + italic.capital()], italic.centred());
        let mut clear = Clearance::inside(Rect::about(self.centre, r + 2.0));
        strokes.iter().for_each(|stroke| clear.keep_off(stroke));
        self.axes().iter().for_each(|axis| clear.keep_off(axis));
        // All along one direction: that in which most rings are free.
        let label = |turn: f64, tick: f64| {
            let text = format!("{} {unit}", self.scale.words(tick));
            let [dx, dy] = turned(turn).map(|v| self.length(tick) * v);
            let at = [x + dx, y + dy + middle];
            clear.is_free(&set.extent(&text, at).grown(0.35)).then_some((text, at))
        };
        let free = |turn: &f64| self.rings().filter(|tick| label(*turn, *tick).is_some()).count();
        let turn = PLACES.into_iter().rev().max_by_key(free).unwrap_or(PLACES[0]);
        let mut last: Option<Rect> = None;
        for (text, at) in self.rings().filter_map(|tick| label(turn, tick)) {
            let extent = set.extent(&text, at).grown(0.35);
            if last.is_none_or(|last| !last.overlaps(&extent)) {
                canvas.text_on_patch(&text, at, set, self.theme.paper);
                last = Some(extent);
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
