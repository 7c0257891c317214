//! The pressure on the bed, seen square to it from the fragment.

use super::Scene;
use super::contour::Field;
use super::view::{View, arrow};
use crate::anatomy::Fragment;
use crate::show::figures::axis::{Scale, round_step};
use crate::show::figures::canvas::{Align, Canvas, Stroke, Type, corners};
use crate::show::figures::colour::{Colour, WHITE};
use crate::show::figures::font::Face;
use crate::show::figures::label::Clearance;
use crate::show::figures::rect::{Point, Rect};
use crate::show::figures::theme::Theme;

const HEAD: f64 = 6.5;
const FOOT: f64 = 5.5;
/// Margin of the map beyond the bed's outline, mm of bone.
const BEYOND: f64 = 0.8;
/// Distance of the map's nodes, mm of bone.
const PITCH: f64 = 0.4;

fn scale(scene: &Scene<'_>) -> f64 {
    (46.0 / scene.case.fragment.chord()).min(2.4)
}

/// Least and largest depth of the bed, mm down the plane.
pub(in crate::show::figures) fn depths(f: &Fragment) -> [f64; 2] {
    outline(f).iter().fold([0.0, 0.0], |[lo, hi], p| [f64::min(lo, p[1]), f64::max(hi, p[1])])
}

/// The bed's outline, (along, down), mm.
pub(in crate::show::figures) fn outline(f: &Fragment) -> Vec<[f64; 2]> {
    // Sines, so that the ends, where the outline is steep, are finely cut.
    let at = |k: i32| f.half_chord * libm::sin(f64::from(k) / 40.0 * std::f64::consts::FRAC_PI_2);
    let mut points: Vec<[f64; 2]> = (-40..=40).map(|k| [at(k), f.bed_column(at(k)).0]).collect();
    points.extend((-40..=40).rev().map(|k| [at(k), f.bed_column(at(k)).1]));
    points
}

/// Height of the panel, mm.
pub(super) fn height(scene: &Scene<'_>) -> f64 {
    let [lo, hi] = depths(&scene.case.fragment);
    (HEAD + scale(scene) * (hi - lo) + FOOT).max(36.0)
}

/// Levels of a map: the pressure between contours, MPa, and how many bands there are.
#[derive(Debug, Clone, Copy)]
pub(in crate::show::figures) struct Levels {
    /// Pressure from one contour to the next, MPa.
    pub step: f64,
    /// Number of bands.
    pub bands: usize,
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
}

/// Draws the panel into `area`.
pub(super) fn draw(canvas: &mut Canvas, scene: &Scene<'_>, area: Rect) {
    let (f, bed) = (&scene.case.fragment, &scene.tied.bed);
    scene.title(canvas, area, "c", "Pressure on the bed");
    let scale = scale(scene);
    let [lo, hi] = depths(&scene.case.fragment);
    // Seen from the fragment with lateral up, superior is on the right of a right shoulder's
    // anterior rim, and of a left shoulder's on the left.
    let view = View {
        origin: [area.x + 13.0 + scale * f.half_chord, area.y + HEAD - scale * lo],
        scale,
        mirror: scene.mirror(),
    };
    let levels = Levels::up_to(bed.peak_pressure);
    map(canvas, scene, &view, levels);
    if has_contact(scene) {
        let x = view.origin[0] + view.scale * f.half_chord + 4.0;
        key(canvas, scene.theme, [x, area.y + HEAD + 3.0], levels);
    }
    directions(canvas, scene, &view, lo, hi);
}

fn has_contact(scene: &Scene<'_>) -> bool {
    scene.tied.bed.peak_pressure > 0.0 && !scene.tied.bed.cells.is_empty()
}

/// Draws the map of pressure with its contours, the bed's outline and the centre of pressure.
pub(in crate::show::figures) fn map(canvas: &mut Canvas, scene: &Scene<'_>, view: &View, levels: Levels) {
    let (theme, f, bed) = (scene.theme, &scene.case.fragment, &scene.tied.bed);
    let scale = view.scale;
    let [lo, hi] = depths(&scene.case.fragment);
    let page = |p: &[f64; 2]| view.page(p[0], -p[1]);
    let edge: Vec<Point> = outline(f).iter().map(page).collect();
    let shade = |band: usize| levels.shade(theme, band);
    if has_contact(scene) {
        let field = sample(scene, lo, hi);
        let mut clear = Clearance {
            bounds: Some(Rect::new(
                view.origin[0] - scale * f.half_chord,
                view.origin[1] + scale * lo + 0.4,
                scale * f.chord(),
                scale * (hi - lo) - 0.8,
            )),
            ..Clearance::default()
        };
        clear.keep_off(&edge);
        if let Some([t, m]) = bed.centre {
            let p = page(&[t, m]);
            clear.boxes.push(Rect::new(p[0] - 1.6, p[1] - 1.6, 3.2, 3.2));
        }
        let mut lines = Vec::new();
        for band in 0..levels.bands {
            let level = if band == 0 { 1e-3 * levels.step } else { band as f64 * levels.step };
            for ring in field.loops(level) {
                let mut points: Vec<Point> = ring.points.iter().map(page).collect();
                let inside = if ring.area > 0.0 {
                    shade(band)
                } else if band == 0 {
                    WHITE
                } else {
                    shade(band - 1)
                };
                canvas.area(&points, inside);
                points.extend(points.first().copied());
                lines.push((band, points));
            }
        }
        for (band, points) in &lines {
            let dark = shade((*band).min(levels.bands - 1)).luminance() < 0.3;
            let colour = if dark { theme.paper } else { theme.ink };
            canvas.path(points, Stroke::solid(colour, 0.35));
        }
        mask(canvas, &edge);
        numbers(canvas, scene, view, &lines, levels.step, &mut clear, &shade);
    } else {
        let set = Type::new(theme.small, theme.muted).align(Align::Centre);
        canvas.text("no contact", view.page(0.0, -0.5 * f.bed_column(0.0).1), set);
    }
    canvas.outline(&edge, Stroke::solid(theme.ink, theme.outline));
    if let Some([t, m]) = bed.centre {
        centre(canvas, theme, page(&[t, m]));
    }
}

/// The field on a regular grid that reaches a little beyond the outline: a normalised bell-shaped
/// mean of the cells round each node, as wide as a cell.
fn sample(scene: &Scene<'_>, lo: f64, hi: f64) -> Field {
    let (c, bed) = (scene.case.fragment.half_chord, &scene.tied.bed);
    let mean: f64 = bed.cells.iter().map(|c| c.area).sum::<f64>() / bed.cells.len() as f64;
    let width = 0.6 * mean.sqrt();
    let columns = (2.0 * (c + BEYOND) / PITCH).ceil() as usize + 1;
    let rows = ((hi - lo + 2.0 * BEYOND) / PITCH).ceil() as usize + 1;
    let start = [-c - BEYOND, lo - BEYOND];
    let mut values = Vec::with_capacity(columns * rows);
    for j in 0..rows {
        for i in 0..columns {
            let (t, m) = (start[0] + PITCH * i as f64, start[1] + PITCH * j as f64);
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
            values.push(if weight > 0.0 { sum / weight } else { nearest.1 });
        }
    }
    Field { start, pitch: PITCH, columns, values }
}

/// Covers what reaches beyond the bed: a frame with the bed cut out, joined along one slit.
fn mask(canvas: &mut Canvas, edge: &[Point]) {
    let (lo, hi) = edge.iter().fold(([f64::INFINITY; 2], [f64::NEG_INFINITY; 2]), |(l, h), p| {
        ([l[0].min(p[0]), l[1].min(p[1])], [h[0].max(p[0]), h[1].max(p[1])])
    });
    let frame = corners(Rect::new(lo[0], lo[1], hi[0] - lo[0], hi[1] - lo[1]).grown(2.6));
    // The slit leaves from the outline's first point, an end of the chord.
    let left = edge[0][0] < 0.5 * (lo[0] + hi[0]);
    let side = if left { frame[0][0] } else { frame[1][0] };
    let slit = [side, edge[0][1]];
    let round = if left { [frame[0], frame[1], frame[2], frame[3]] } else { [frame[1], frame[0], frame[3], frame[2]] };
    let mut points = vec![slit];
    points.extend(round);
    points.push(slit);
    // The hole must run against the frame, whose turn depends on the side.
    points.push(edge[0]);
    if turn(edge) == turn(&round) {
        points.extend(edge.iter().rev());
    } else {
        points.extend(edge.iter().skip(1));
        points.push(edge[0]);
    }
    canvas.area(&points, WHITE);
}

/// Whether a polygon runs clockwise on the page.
fn turn(points: &[Point]) -> bool {
    (0..points.len())
        .map(|k| {
            let (a, b) = (points[k], points[(k + 1) % points.len()]);
            a[0] * b[1] - b[0] * a[1]
        })
        .sum::<f64>()
        > 0.0
}

/// A number on each contour that has room for it.
fn numbers(
    canvas: &mut Canvas,
    scene: &Scene<'_>,
    view: &View,
    lines: &[(usize, Vec<Point>)],
    step: f64,
    clear: &mut Clearance,
    shade: &impl Fn(usize) -> Colour,
) {
    let theme = scene.theme;
    let scale = Scale { lo: 0.0, hi: step, step };
    let on_bed = |p: &Point| {
        let t = (p[0] - view.origin[0]) / (view.mirror * view.scale);
        let m = (p[1] - view.origin[1]) / view.scale;
        scene.case.fragment.outline(t, m).0 > 0.0
    };
    for (band, points) in lines.iter().filter(|(band, _)| *band > 0) {
        let words = scale.words(*band as f64 * step);
        let below = shade(band - 1);
        let set =
            Type::new(5.5_f64.max(theme.small - 0.5), if below.luminance() < 0.3 { theme.paper } else { theme.ink })
                .align(Align::Centre);
        let n = points.len();
        for k in 0..n {
            // Start a third of the way round, and look along the line from there.
            let p = points[(n / 3 + k) % n];
            let at = [p[0], p[1] + 0.5 * set.capital()];
            let r = set.extent(&words, at).grown(0.5);
            if clear.is_free(&r) && corners(r).iter().all(on_bed) {
                canvas.text_on_patch(&words, at, set, below);
                clear.boxes.push(r.grown(1.5));
                break;
            }
        }
    }
}

fn centre(canvas: &mut Canvas, theme: &Theme, at: Point) {
    for (colour, width) in [(WHITE, 2.2), (theme.ink, 0.9)] {
        let stroke = Stroke::solid(colour, width);
        canvas.line([at[0] - 1.2, at[1]], [at[0] + 1.2, at[1]], stroke);
        canvas.line([at[0], at[1] - 1.2], [at[0], at[1] + 1.2], stroke);
    }
}

/// Colour bar with its numbers, its upper left corner at `at`, and the cross explained.
pub(in crate::show::figures) fn key(canvas: &mut Canvas, theme: &Theme, at: Point, levels: Levels) {
    let Levels { step, bands } = levels;
    let set = Type::new(theme.small, theme.ink);
    let ([x, top], tall) = (at, 17.0);
    let part = tall / bands as f64;
    canvas.text("MPa", [x, top - 1.4], set);
    let scale = Scale { lo: 0.0, hi: step, step };
    for band in 0..bands {
        let y = top + tall - (band + 1) as f64 * part;
        canvas.fill(Rect::new(x, y, 2.6, part), levels.shade(theme, band));
    }
    canvas.outline(&corners(Rect::new(x, top, 2.6, tall)), Stroke::solid(theme.ink, 0.4));
    for mark in 0..=bands {
        let y = top + tall - mark as f64 * part;
        canvas.line([x, y], [x + 3.2, y], Stroke::solid(theme.ink, 0.4));
        canvas.text(&scale.words(mark as f64 * step), [x + 3.8, y + 0.5 * set.capital()], set);
    }
    let note = top + tall + 4.4;
    centre(canvas, theme, [x + 1.3, note]);
    canvas.text("centre of", [x + 3.8, note], set);
    canvas.text("pressure", [x + 3.8, note + set.leading()], set);
}

fn directions(canvas: &mut Canvas, scene: &Scene<'_>, view: &View, lo: f64, hi: f64) {
    let theme = scene.theme;
    let set = Type::new(theme.small, theme.muted).face(Face::Italic);
    let c = scene.case.fragment.half_chord;
    let low = view.page(0.0, -hi)[1] + 3.4;
    let half = 0.5 * set.capital();
    let [plus, minus] = ends(&scene.case.fragment);
    for (word, t) in [(plus, c), (minus, -c)] {
        let s = view.mirror * t.signum();
        let w = set.width(word);
        let start = view.origin[0] + s * 4.0;
        canvas.text(word, [if s > 0.0 { start } else { start - w }, low + half], set);
        let tip = start + s * (w + 1.0);
        arrow(canvas, theme, [tip, low], [tip + s * 4.0, low]);
    }
    let x = view.origin[0] - view.scale * c - 3.0;
    let y = view.page(0.0, -0.5 * (lo + hi))[1];
    let w = set.width("medial");
    canvas.text_upward("medial", [x, y], set);
    arrow(canvas, theme, [x - half, y + 0.5 * w + 1.0], [x - half, y + 0.5 * w + 4.0]);
    view.scale_bar(canvas, theme, [x - 7.5, low + half]);
}

/// Where the two ends of the chord lie, in words: the one at positive t first.
pub(in crate::show::figures) fn ends(f: &Fragment) -> [&'static str; 2] {
    let along = f.along;
    if along.y.abs() >= 0.5 {
        if along.y > 0.0 { ["superior", "inferior"] } else { ["inferior", "superior"] }
    } else if along.x > 0.0 {
        ["anterior", "posterior"]
    } else {
        ["posterior", "anterior"]
    }
}
