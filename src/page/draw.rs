//! What the page shows as pictures: the construct en face and in section, and the curves, from the scene and the charts of
//! the figures.

use crate::math::Vec3;
use crate::model::{Case, Construct, Handle, HandleKind, Plane};
use crate::show::chart::{Canvas, Colour, Point, Rect};
use crate::show::figures::{Figure, Theme, resistance_over};
use crate::show::scene::{Scene, Seen, View, face, section};
use crate::study::result::{Push, TiedState};
use serde::Serialize;

/// How a plane is drawn.
pub(super) fn seen(plane: Plane) -> Seen {
    match plane {
        Plane::Face => Seen::Face,
        Plane::Section => Seen::Section,
    }
}

/// Widths of the drawings and of the chart, mm.
const FACE: f64 = 116.0;
const SECTION: f64 = 76.0;
const CHART: f64 = 84.0;
/// Diameter of the circle of the inferior glenoid on the page, mm.
const CIRCLE: f64 = 60.0;

/// A picture.
#[derive(Debug, Clone, Serialize)]
pub(super) struct Picture {
    /// The drawing, in mm.
    pub svg: String,
    /// Its size, mm.
    pub width: f64,
    pub height: f64,
    /// What it shows, for whoever cannot see it.
    pub alt: String,
}

impl Picture {
    /// A picture whose definitions are named by `own`: all pictures stand in one document.
    fn of(figure: Figure, own: &str, dark: bool) -> Self {
        let Figure { svg, width_mm: width, height_mm: height, alt, .. } = figure;
        let svg = svg.replace("id=\"d", &format!("id=\"{own}-d")).replace("url(#d", &format!("url(#{own}-d"));
        Self { svg: if dark { at_night(&svg) } else { svg }, width, height, alt }
    }
}

/// A drawing of the shoulder, with what is needed to take hold of something in it.
#[derive(Debug, Clone, Serialize)]
pub(super) struct Drawing {
    #[serde(flatten)]
    picture: Picture,
    /// Page mm per mm of bone.
    scale: f64,
    /// 1 where the first axis of the plane runs to the right, −1 where it runs to the left.
    #[serde(skip)]
    mirror: f64,
    /// The fragment's outline on the page.
    #[serde(skip)]
    pub outline: Vec<Point>,
    /// Handles on the page: which, and where.
    #[serde(skip)]
    pub handles: Vec<(usize, Point)>,
    /// Where (0, 0) of the plane stands on the page.
    #[serde(skip)]
    origin: Point,
}

impl Drawing {
    /// A point of the plane on the page.
    pub fn page(&self, [u, v]: [f64; 2]) -> Point {
        [self.origin[0] + self.mirror * self.scale * u, self.origin[1] - self.scale * v]
    }
}

/// Draws a state in a plane.
pub(super) fn drawing(
    (case, construct): (&Case, &Construct),
    state: &TiedState,
    handles: &[Handle],
    plane: Plane,
    own: &str,
    dark: bool,
) -> Drawing {
    let wide = if plane == Plane::Face { FACE } else { SECTION };
    let theme = Theme { width: wide, ..Theme::double() };
    let scene = Scene::new(case, construct, state, &theme);
    let (canvas, view, alt) = match plane {
        Plane::Face => {
            let scale = CIRCLE / (2.0 * face::reach(&scene));
            let area = Rect::new(0.0, 0.0, wide, face::height(&scene, scale));
            let mut canvas = Canvas::new(wide, area.h);
            face::draw(&mut canvas, &scene, area, scale, ["", ""]);
            (canvas, face::view(&scene, area, scale), "en face")
        }
        Plane::Section => {
            let area = Rect::new(0.0, 0.0, wide, section::height(&scene));
            let mut canvas = Canvas::new(wide, area.h);
            section::draw(&mut canvas, &scene, area, ["", ""]);
            (canvas, section::view(&scene, area), "in section")
        }
    };
    let alt = format!("The construct {} on the fragment, {alt}.", construct.name);
    let outline = view.all(&scene.body.outline(view.seen, &scene.shown.pose));
    let at = |handle: &Handle| place_of(handle, &scene, &view);
    let held = handles.iter().enumerate().filter(|(_, h)| h.place.moves(plane) != [false; 2]);
    let handles = held.map(|(k, handle)| (k, at(handle))).collect();
    let (scale, mirror, origin) = (view.scale, view.mirror, view.origin);
    let picture = Picture::of(Figure::new("drawing", canvas, String::new(), String::new(), alt), own, dark);
    Drawing { picture, scale, mirror, outline, handles, origin }
}

/// Where a handle is drawn.
fn place_of(handle: &Handle, scene: &Scene<'_>, view: &View<'_>) -> Point {
    let state = scene.tied;
    let drawn = match handle.stop {
        None => state.anchors.iter().position(|a| a.name == handle.name).map(|k| scene.shown.anchors[k].place),
        Some((limb, stop)) => state.limbs.get(limb).and_then(|l| l.path.get(stop)).map(|p| Vec3::from(*p)),
    };
    // Not tied yet: on the fragment where that lies.
    let loose = || scene.shown.pose.place(&scene.case.fragment.centroid, &handle.point);
    view.page(drawn.unwrap_or_else(|| if handle.kind == HandleKind::Anchor { handle.point } else { loose() }))
}

/// Draws load against displacement, that of before faintly under it.
pub(super) fn chart(before: &[&Push], now: &[&Push], dark: bool) -> Picture {
    Picture::of(
        resistance_over(before, now, &Theme { width: CHART, text: 9.0, small: 8.0, ..Theme::double() }),
        "chart",
        dark,
    )
}

/// A drawing for a dark page: the lightness of every colour turned round, its hue kept.
fn at_night(svg: &str) -> String {
    let mut dark = String::with_capacity(svg.len());
    let mut parts = svg.split("=\"#");
    dark.push_str(parts.next().unwrap_or(""));
    for part in parts {
        let colour = part.get(..6).and_then(|hex| u32::from_str_radix(hex, 16).ok());
        dark.push_str("=\"#");
        match (colour, part.get(6..)) {
            (Some(c), Some(rest)) => {
                let [_, r, g, b] = c.to_be_bytes();
                let Colour(r, g, b) = turned_round(Colour(r, g, b));
                dark.push_str(&format!("{r:02X}{g:02X}{b:02X}{rest}"));
            }
            _ => dark.push_str(part),
        }
    }
    dark
}

/// White becomes the paper of a dark page, black nearly white.
fn turned_round(Colour(r, g, b): Colour) -> Colour {
    const PAPER: f64 = 24.0;
    let [lo, hi] = [r.min(g).min(b), r.max(g).max(b)].map(f64::from);
    // The mean of the largest and the smallest part moves to its mirror image; their distances from it stay.
    let shift = 255.0 - (lo + hi);
    let part = |v: u8| (PAPER + (f64::from(v) + shift) * (244.0 - PAPER) / 255.0).round().clamp(0.0, 255.0) as u8;
    Colour(part(r), part(g), part(b))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn white_paper_is_dark_at_night_and_ink_is_light() {
        let svg = "<rect fill=\"#FFFFFF\"/><path stroke=\"#000000\" clip-path=\"url(#d0)\"/>";
        let dark = at_night(svg);
        assert_eq!(dark, "<rect fill=\"#181818\"/><path stroke=\"#F4F4F4\" clip-path=\"url(#d0)\"/>");
        // A hue stays: blue is blue.
        let Colour(r, g, b) = turned_round(Colour(0, 114, 178));
        assert!(b > g && g > r, "{r} {g} {b}");
    }

    #[test]
    fn the_curves_before_are_drawn_under_those_of_now() {
        use crate::model::ConstructFile;
        use crate::study::{Trial, TrialPlan};
        let case = Case::open("small").unwrap();
        let construct = ConstructFile::open("single-row").unwrap().fit(&case).unwrap();
        let push = Trial::run(&case, &construct, &TrialPlan::default(), &()).unwrap().found.push.unwrap();
        let lines = |svg: &str| svg.matches("<polyline").count();
        let [alone, over] = [chart(&[], &[&push], false), chart(&[&push], &[&push], false)];
        assert_eq!(lines(&over.svg), lines(&alone.svg) + 1);
    }
}
