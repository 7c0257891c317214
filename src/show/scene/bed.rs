//! The pressure on the bed, seen square to it from the fragment.

use super::*;
use crate::anatomy::Fragment;

const HEAD: f64 = 6.5;
const FOOT: f64 = 5.5;
/// Margin of the map beyond the bed's outline, mm of bone.
const BEYOND: f64 = 0.8;
/// Distance of the map's nodes, mm of bone.
const PITCH: f64 = 0.4;

fn scale(scene: &Scene<'_>) -> f64 {
    (46.0 / scene.case.fragment.chord()).min(2.4)
}

/// The bed's outline in its own view, mm.
pub(crate) fn outline(f: &Fragment) -> Vec<[f64; 2]> {
    // Sines, so that the ends, where the outline is steep, are finely cut.
    let at = |k: i32| f.half_chord * turned(90.0 * f64::from(k) / 40.0)[1];
    let upper = (-40..=40).map(|k| [at(k), -f.bed_column(at(k)).0]);
    upper.chain((-40..=40).rev().map(|k| [at(k), -f.bed_column(at(k)).1])).collect()
}

/// Least and greatest height of the bed in its own view, mm: the fracture line has none.
pub(crate) fn heights(f: &Fragment) -> [f64; 2] {
    let [lo, hi] = extremes(outline(f).iter().map(|p| p[1]));
    [lo.min(0.0), hi.max(0.0)]
}

/// Height of the panel, mm.
pub(crate) fn height(scene: &Scene<'_>) -> f64 {
    let [lo, hi] = heights(&scene.case.fragment);
    (HEAD + scale(scene) * (hi - lo) + FOOT).max(36.0)
}

/// Levels of a map: the pressure between contours, MPa, and how many bands there are.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Levels {
    /// Pressure from one contour to the next, MPa.
    step: f64,
    /// Number of bands.
    bands: usize,
}

impl Levels {
    /// Levels up to a peak pressure, MPa.
    pub fn up_to(peak: f64) -> Self {
        let step = round_step(peak.max(1e-3), 7);
        Self { step, bands: (peak / step).ceil().max(1.0) as usize }
    }

    fn shade(self, theme: &Theme, band: usize) -> Colour {
        theme.depth((band as f64 + 0.3) / self.bands as f64)
    }

    /// A level in words.
    fn words(self, band: usize) -> String {
        Scale { lo: 0.0, hi: self.step, step: self.step }.words(band as f64 * self.step)
    }
}

/// Draws the panel into `area`.
pub(crate) fn draw(canvas: &mut Canvas, scene: &Scene<'_>, area: Rect) {
    let (f, bed, theme) = (&scene.case.fragment, &scene.tied.bed, scene.theme);
    scene.title(canvas, area, "c", "Pressure on the bed");
    let (scale, [lo, hi]) = (scale(scene), heights(f));
    let origin = [area.x + 13.0 + scale * f.half_chord, area.y + HEAD + scale * hi];
    let view = View::new(scene.case, theme, Seen::Bed, origin, scale);
    let levels = Levels::up_to(bed.peak_pressure);
    map(canvas, &view, bed, levels);
    if has_contact(bed) {
        key(canvas, theme, [view.origin[0] + scale * f.half_chord + 4.0, area.y + HEAD + 3.0], levels);
    }
    let set = theme.note().italic();
    let low = view.at([0.0, lo])[1] + 3.4;
    let [plus, minus] = ends(f);
    for (word, s) in [(plus, view.mirror), (minus, -view.mirror)] {
        direction(canvas, theme, word, [view.origin[0] + s * 4.0, low], s);
    }
    let (x, y) = (view.origin[0] - scale * f.half_chord - 3.0, view.at([0.0, 0.5 * (lo + hi)])[1]);
    canvas.text_upward("medial", [x, y], set);
    let (half, from) = (0.5 * set.capital(), y + 0.5 * set.width("medial") + 1.0);
    pointer(canvas, theme, [x - half, from], [x - half, from + 3.0]);
    view.scale_bar(canvas, [x - 7.5, low + half]);
}

fn has_contact(bed: &BedState) -> bool {
    bed.peak_pressure > 0.0 && !bed.cells.is_empty()
}

/// Draws the map of pressure with its contours, the bed's outline and the centre of pressure.
pub(crate) fn map(canvas: &mut Canvas, view: &View<'_>, bed: &BedState, levels: Levels) {
    let (theme, f) = (view.theme, &view.case.fragment);
    let edge = view.all(&outline(f));
    let centre = bed.centre.map(|[t, m]| view.at([t, -m]));
    if has_contact(bed) {
        let [lo, hi] = heights(f);
        let (start, field) = sample(view.case, bed, [lo, hi]);
        let lines = |band: usize| -> Vec<Vec<Point>> {
            let level = if band == 0 { 1e-3 * levels.step } else { band as f64 * levels.step };
            let on_bed = |[i, j]: [f64; 2]| view.at([start[0] + (i - 1.0) * PITCH, start[1] + (j - 1.0) * PITCH]);
            field.lines(level).into_iter().map(|line| line.into_iter().map(on_bed).collect()).collect()
        };
        let lines: Vec<Vec<Vec<Point>>> = (0..levels.bands).map(lines).collect();
        canvas.clipped_to(&edge, |canvas| {
            for (band, rings) in lines.iter().enumerate() {
                canvas.areas(rings, levels.shade(theme, band));
            }
            for (band, rings) in lines.iter().enumerate() {
                let dark = levels.shade(theme, band).luminance() < 0.3;
                let stroke = Stroke::solid(if dark { theme.paper } else { theme.ink }, 0.35);
                rings.iter().for_each(|ring| canvas.path(ring, stroke));
            }
        });
        let [top, bottom] = [hi, lo].map(|v| view.at([0.0, v])[1]);
        let left = view.origin[0] - view.scale * f.half_chord;
        let mut clear = Clearance::inside(Rect::new(left, top + 0.4, view.scale * f.chord(), bottom - top - 0.8));
        clear.keep_off(&edge);
        centre.iter().for_each(|p| clear.take(*p, 1.6));
        for (band, rings) in lines.iter().enumerate().skip(1) {
            rings.iter().for_each(|ring| number_on(canvas, view, ring, levels, band, &mut clear));
        }
    } else {
        canvas.text("no contact", view.at([0.0, -0.5 * f.bed_column(0.0).1]), theme.note().centred());
    }
    canvas.outline(&edge, Stroke::solid(theme.ink, theme.outline));
    if let Some(at) = centre {
        sign::centre(canvas, theme, at);
    }
}

/// The field on a regular grid that reaches a little beyond the outline, with its first node: a normalised
/// bell-shaped mean of the cells round each node, as wide as a cell.
fn sample(case: &Case, bed: &BedState, [lo, hi]: [f64; 2]) -> ([f64; 2], Nodes) {
    let c = case.fragment.half_chord;
    let mean: f64 = bed.cells.iter().map(|c| c.area).sum::<f64>() / bed.cells.len() as f64;
    let width = 0.6 * mean.sqrt();
    let count = |span: f64| ((span + 2.0 * BEYOND) / PITCH).ceil() as usize + 1;
    let start = [-c - BEYOND, lo - BEYOND];
    let value = |i: usize, j: usize| {
        let (t, m) = (start[0] + PITCH * i as f64, -(start[1] + PITCH * j as f64));
        let (mut sum, mut weight) = (0.0, 0.0);
        let mut nearest = (f64::INFINITY, 0.0);
        for cell in &bed.cells {
            let d = (cell.t - t).powi(2) + (cell.m - m).powi(2);
            if d < nearest.0 {
                nearest = (d, cell.pressure);
            }
            if d < 9.0 * width * width {
                let w = libm::exp(-0.5 * d / (width * width)) * cell.area;
                sum += w * cell.pressure;
                weight += w;
            }
        }
        if weight > 0.0 { sum / weight } else { nearest.1 }
    };
    (start, Nodes::walled(count(2.0 * c), count(hi - lo), value))
}

/// The number of a contour, where it has room for it.
fn number_on(canvas: &mut Canvas, view: &View<'_>, ring: &[Point], levels: Levels, band: usize, clear: &mut Clearance) {
    let theme = view.theme;
    let on_bed = |p: &Point| {
        let t = (p[0] - view.origin[0]) / (view.mirror * view.scale);
        let m = (p[1] - view.origin[1]) / view.scale;
        view.case.fragment.outline(t, m).0 > 0.0
    };
    let (words, below) = (levels.words(band), levels.shade(theme, band - 1));
    let colour = if below.luminance() < 0.3 { theme.paper } else { theme.ink };
    let set = Type::new(theme.small, colour).centred();
    let n = ring.len();
    // Start a third of the way round, and look along the line from there.
    for p in (0..n).map(|k| ring[(n / 3 + k) % n]) {
        let at = [p[0], p[1] + 0.5 * set.capital()];
        let r = set.extent(&words, at).grown(0.5);
        if clear.is_free(&r) && r.corners().iter().all(on_bed) {
            canvas.text_on_patch(&words, at, set, below);
            return clear.boxes.push(r.grown(1.5));
        }
    }
}

/// Room that the key takes, mm.
pub(crate) fn key_room(theme: &Theme) -> f64 {
    7.0 + theme.note().width("centre of")
}

/// Colour bar with its numbers, its upper left corner at `at`, and the cross explained.
pub(crate) fn key(canvas: &mut Canvas, theme: &Theme, [x, top]: Point, levels: Levels) {
    let (set, tall) = (theme.fine(), 17.0);
    let part = tall / levels.bands as f64;
    canvas.text("MPa", [x, top - 1.4], set);
    for band in 0..levels.bands {
        let y = top + tall - (band + 1) as f64 * part;
        canvas.fill(Rect::new(x, y, 2.6, part), levels.shade(theme, band));
    }
    let hair = Stroke::solid(theme.ink, 0.4);
    canvas.frame(Rect::new(x, top, 2.6, tall), hair);
    for mark in 0..=levels.bands {
        let y = top + tall - mark as f64 * part;
        canvas.line([x, y], [x + 3.2, y], hair);
        canvas.text(&levels.words(mark), [x + 3.8, y + 0.5 * set.capital()], set);
    }
    let note = top + tall + 4.4;
    sign::centre(canvas, theme, [x + 1.3, note]);
    canvas.lines(&["centre of".to_owned(), "pressure".to_owned()], [x + 3.8, note], set);
}

/// Where the two ends of the chord lie, in words: the one at positive t first.
pub(crate) fn ends(f: &Fragment) -> [&'static str; 2] {
    let along = f.along;
    if along.y.abs() >= 0.5 {
        if along.y > 0.0 { ["superior", "inferior"] } else { ["inferior", "superior"] }
    } else if along.x > 0.0 {
        ["anterior", "posterior"]
    } else {
        ["posterior", "anterior"]
    }
}
