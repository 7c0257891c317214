//! Figure "resistance": load against displacement, one curve a construct.

mod words;

use super::axis::{Plot, Scale};
use super::canvas::{Align, Canvas, Stroke, Type};
use super::event;
use super::figure::Figure;
use super::font::Face;
use super::label::{Clearance, spread, wrap};
use super::rect::{Point, Rect};
use super::theme::Theme;
use crate::study::result::{Event, Outcome, Push};

/// Displacements at which the load is read off, mm.
const READINGS: [f64; 2] = [1.0, 2.0];
/// First events drawn on a curve; the CSV has them all.
const EVENTS_A_CURVE: usize = 3;
/// Most curves that leave room for numbers and names among them.
const ROOMY: usize = 4;

/// Draws load against displacement in the push direction for every push, on one pair of axes.
///
/// Loads are read off at 1 and 2 mm where the curve reaches them. First events that come after the
/// tied state are marked, at most three a curve; those already present in the tied state are in the
/// caption, all of them in the CSV.
pub fn resistance(pushes: &[&Push], theme: &Theme) -> Figure {
    let set = Type::new(theme.text, theme.ink);
    let small = Type::new(theme.small, theme.muted);
    let room = (0.3 * theme.width).min(40.0);
    let ends: Vec<End> = pushes.iter().map(|p| End::new(p, set, small, room, pushes.len() > ROOMY)).collect();
    let wide = ends.iter().map(|e| e.width).fold(0.0, f64::max);

    let (lo, hi) = extent(pushes, |p| p.load);
    let (_, reach) = extent(pushes, |p| p.displacement);
    let y = Scale::load(lo, hi, 6);
    let x = Scale::exact(reach, if theme.is_wide() { 8 } else { 5 });
    let left = y.room(&set);
    let stack: f64 = ends.iter().map(|e| e.height).sum();
    let tall = (if theme.is_wide() { 72.0 } else { 50.0_f64 }).max(stack + 2.0);
    let plot = Plot { area: Rect::new(left, 4.6, theme.width - left - wide - 3.0 - lead(pushes.len()), tall), x, y };
    let below = 2.6 + 2.0 * set.capital() + 3.4;
    let kinds: Vec<_> =
        event::KINDS.into_iter().filter(|k| pushes.iter().any(|p| drawn(p).any(|e| e.kind == *k))).collect();
    let (key, key_height) = key_places(&kinds, small, theme.width - left - 1.0);
    let height = plot.area.bottom() + below + key_height;
    let mut canvas = Canvas::new(theme.width, height);

    let direction = pushes.first().map_or("the push", |p| p.direction.as_str());
    for at in READINGS.into_iter().filter(|r| *r <= x.hi + 1e-9) {
        let top = plot.at(at, y.hi);
        canvas.line(plot.at(at, y.lo), top, Stroke::solid(theme.faint, theme.hair));
        canvas.text(&format!("{at} mm"), [top[0], top[1] - 1.0], small.align(Align::Centre));
    }
    plot.axes(
        &mut canvas,
        theme,
        [&format!("{} displacement (mm)", capital(direction)), "Load (N)"],
        1.0 + set.capital(),
        true,
    );

    let mut clear = Clearance { bounds: Some(plot.area), ..Clearance::default() };
    let curves: Vec<Vec<Point>> =
        pushes.iter().map(|p| p.curve.iter().map(|s| plot.at(s.displacement, s.load)).collect()).collect();
    for (k, curve) in curves.iter().enumerate().rev() {
        let (colour, dash) = theme.series(k);
        let stroke = Stroke::dashed(colour, theme.curve, dash);
        canvas.path(curve, stroke);
        clear.keep_off(curve);
    }
    symbols(&mut canvas, theme, &plot, pushes, &mut clear);
    label_ends(&mut canvas, theme, &plot, &curves, &ends);
    for (kind, p) in kinds.iter().zip(key) {
        let at = [left + p[0], plot.area.bottom() + below + p[1]];
        event::symbol(&mut canvas, *kind, at, theme.ink);
        canvas.text(event::words(*kind), [at[0] + 1.8, at[1] + 0.5 * small.capital()], small);
    }
    Figure::new(
        "resistance",
        canvas,
        words::csv(pushes),
        words::caption(pushes, direction),
        words::alt(pushes, direction),
    )
}

/// Length of the lines that lead from the curves to their names, mm: with many curves the names
/// stand farther from their ends.
fn lead(curves: usize) -> f64 {
    if curves > ROOMY { 5.5 } else { 3.2 }
}

/// The words at the end of a curve.
struct End {
    lines: Vec<String>,
    readings: Vec<String>,
    width: f64,
    height: f64,
}

impl End {
    /// With `crowded` curves the load at 1 mm stands here too.
    fn new(push: &Push, set: Type, small: Type, room: f64, crowded: bool) -> Self {
        let lines = wrap(&push.construct, set, room);
        let at_one = match push.load_at[1] {
            Some(load) if crowded => format!("{load:.0} N, "),
            _ => String::new(),
        };
        let mut readings = Vec::new();
        match (&push.outcome, push.curve.last()) {
            (_, None) => readings.push("no load".to_owned()),
            (Outcome::Held, Some(end)) => readings.push(format!("{at_one}{:.0} N", end.load)),
            (lost, Some(end)) => {
                readings.push(format!("{at_one}{:.0} N", end.load));
                let what = if matches!(lost, Outcome::NotHeld { .. }) { "not held" } else { "not certified" };
                let words = format!("{what} beyond {:.2}\u{a0}mm", end.displacement);
                readings.extend(wrap(&words, small, room));
            }
        }
        let width =
            lines.iter().map(|l| set.width(l)).chain(readings.iter().map(|l| small.width(l))).fold(0.0, f64::max);
        Self {
            width,
            height: lines.len() as f64 * set.leading() + readings.len() as f64 * small.leading() + 0.9,
            lines,
            readings,
        }
    }
}

fn extent(pushes: &[&Push], of: impl Fn(&crate::study::result::PushPoint) -> f64) -> (f64, f64) {
    pushes
        .iter()
        .flat_map(|p| p.curve.iter().map(&of))
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), v| (l.min(v), h.max(v)))
}

/// The events drawn on a curve: the first ones after the tied state that do not sit on each other.
fn drawn(push: &Push) -> impl Iterator<Item = &Event> {
    let mut last = 0.0;
    let reach = push.curve.last().map_or(0.0, |p| p.displacement);
    push.events
        .iter()
        .filter(move |e| {
            let free = e.displacement - last > 0.025 * reach;
            if free {
                last = e.displacement;
            }
            free
        })
        .take(EVENTS_A_CURVE)
}

fn symbols(canvas: &mut Canvas, theme: &Theme, plot: &Plot, pushes: &[&Push], clear: &mut Clearance) {
    let number = Type::new(theme.small, theme.ink);
    let mut readings = Vec::new();
    for (k, push) in pushes.iter().enumerate() {
        let (colour, _) = theme.series(k);
        for (at, load) in READINGS.into_iter().zip(&push.load_at[1..]) {
            let Some(load) = load else { continue };
            let p = plot.at(at, *load);
            canvas.disc(p, 0.85, theme.paper);
            canvas.disc(p, 0.65, colour);
            clear.boxes.push(Rect::new(p[0], p[1], 0.0, 0.0).grown(0.7));
            // At the right end the load stands beside the curve's name.
            if p[0] < plot.area.right() - 1.0 {
                readings.push((p, format!("{load:.0} N"), colour));
            }
        }
    }
    for (k, push) in pushes.iter().enumerate() {
        let (colour, _) = theme.series(k);
        for event in drawn(push) {
            let p = plot.at(event.displacement, event.load);
            event::symbol(canvas, event.kind, p, colour);
            clear.boxes.push(Rect::new(p[0], p[1], 0.0, 0.0).grown(0.9));
        }
    }
    if pushes.len() > ROOMY {
        return;
    }
    for (p, text, colour) in readings {
        let size = [number.width(&text), number.capital()];
        if let Some(r) = clear.place(size, p, [-0.5, -0.9], 0.9, 6.0) {
            canvas.text(&text, [r.x, r.bottom()], Type::new(theme.small, colour.shade(0.3)));
        }
    }
    for (k, push) in pushes.iter().enumerate() {
        let (colour, _) = theme.series(k);
        let set = Type::new(theme.small, colour.shade(0.3)).face(Face::Italic);
        for event in drawn(push).filter(|e| !e.subject.is_empty()) {
            let p = plot.at(event.displacement, event.load);
            let size = [set.width(&event.subject), set.capital() + 0.4];
            // Where there is no room the key still says what it is, and the CSV to which limb.
            if let Some(r) = clear.place(size, p, [0.6, 0.8], 1.1, 3.0) {
                canvas.text(&event.subject, [r.x, r.bottom() - 0.4], set);
            }
        }
    }
}

fn label_ends(canvas: &mut Canvas, theme: &Theme, plot: &Plot, curves: &[Vec<Point>], ends: &[End]) {
    let start = plot.area.right() + 1.4;
    let column = start + lead(ends.len());
    let targets: Vec<f64> = curves.iter().map(|c| c.last().map_or(plot.area.bottom(), |p| p[1])).collect();
    let heights: Vec<f64> = ends.iter().map(|e| e.height).collect();
    let centres = spread(&targets, &heights, plot.area.y - 1.0, plot.area.bottom() + 1.0);
    for (k, (curve, end)) in curves.iter().zip(ends).enumerate() {
        let (colour, _) = theme.series(k);
        let set = Type::new(theme.text, colour.shade(0.3));
        let small = Type::new(theme.small, theme.muted);
        let mut y = centres[k] - 0.5 * (end.height - 0.9);
        if let Some(p) = curve.last() {
            let from = [p[0].max(plot.area.right()) + 0.5, p[1]];
            let hair = Stroke::solid(colour, theme.hair);
            if p[0] < plot.area.right() - 0.5 {
                // A curve that ends early: a cross where it was lost, a dotted lead to its name.
                let d = 0.8;
                let cross = Stroke::solid(colour, theme.curve);
                canvas.line([p[0] - d, p[1] - d], [p[0] + d, p[1] + d], cross);
                canvas.line([p[0] - d, p[1] + d], [p[0] + d, p[1] - d], cross);
                canvas.line([p[0] + 1.4, p[1]], from, Stroke::dashed(colour, theme.hair, &[0.3, 0.7]));
            }
            canvas.path(&[from, [start, p[1]], [column - 0.9, centres[k]], [column - 0.5, centres[k]]], hair);
        }
        for line in &end.lines {
            canvas.text(line, [column, y + set.capital() + 0.2], set);
            y += set.leading();
        }
        for line in &end.readings {
            canvas.text(line, [column, y + small.capital() + 0.2], small);
            y += small.leading();
        }
    }
}

/// Places of the key's symbols from its upper left corner, and its height.
fn key_places(kinds: &[crate::study::result::EventKind], set: Type, room: f64) -> (Vec<Point>, f64) {
    let (mut x, mut y) = (0.0, 0.0);
    let mut places = Vec::new();
    for kind in kinds {
        let w = 1.8 + set.width(event::words(*kind)) + 3.2;
        if x > 0.0 && x + w - 3.2 > room {
            x = 0.0;
            y += 3.1;
        }
        places.push([x + 0.8, y + 0.8]);
        x += w;
    }
    (places, if kinds.is_empty() { 0.0 } else { y + 2.6 })
}

fn capital(word: &str) -> String {
    let mut chars = word.chars();
    chars.next().map_or_else(String::new, |c| c.to_uppercase().chain(chars).collect())
}
