//! Figure "resistance": load against displacement, one curve a construct.

use super::*;
use crate::show::words::{event as named, event_of};
use std::collections::BTreeSet;

/// Displacements at which the load is read off, mm.
const READINGS: [f64; 2] = [1.0, 2.0];
/// First events drawn on a curve; the CSV has them all.
const EVENTS_A_CURVE: usize = 3;
/// Part of the highest load below which a curve is drawn once more on a scale of its own.
const LOW: f64 = 0.3;
/// Most curves that leave room for numbers and names among them.
const ROOMY: usize = 4;

/// Draws load against displacement in the push direction for every push, on one pair of axes.
///
/// Loads are read off at 1 and 2 mm where the curve reaches them. First events that come after the
/// tied state are marked, at most three a curve; those already present in the tied state are in the
/// caption, all of them in the CSV.
pub fn resistance(pushes: &[&Push], theme: &Theme) -> Figure {
    drawn_over(&[], pushes, theme, LOW)
}

/// The same in one panel over other curves, which are drawn faintly and without names.
#[cfg(feature = "cli")]
pub(crate) fn resistance_over(before: &[&Push], pushes: &[&Push], theme: &Theme) -> Figure {
    drawn_over(before, pushes, theme, 0.0)
}

fn drawn_over(before: &[&Push], pushes: &[&Push], theme: &Theme, low_part: f64) -> Figure {
    let (set, note) = (theme.words(), theme.note());
    let points = || pushes.iter().chain(before).flat_map(|p| &p.curve);
    let [lo, hi] = extremes(points().map(|p| p.load));
    let x = Scale::exact(extremes(points().map(|p| p.displacement))[1], if theme.is_wide() { 8 } else { 5 });
    let loads = |k: &usize| extremes(pushes[*k].curve.iter().map(|p| p.load).chain([0.0]));
    let all: Vec<usize> = (0..pushes.len()).collect();
    // Curves that would lie on the floor under far higher ones are drawn once more by themselves.
    let low: Vec<usize> = all.iter().copied().filter(|k| (1e-9..low_part * hi).contains(&loads(k)[1])).collect();
    let under = extremes(low.iter().flat_map(loads));
    let mut panels = vec![(all, Scale::load(lo, hi, 6))];
    if !low.is_empty() {
        panels.push((low, Scale::load(under[0], under[1], 4)));
    }
    let mut ends: Vec<Vec<End<'_>>> =
        panels.iter().map(|(which, _)| which.iter().map(|k| end(pushes, *k, theme)).collect()).collect();
    let left = panels.iter().map(|(_, y)| y.room(&set)).fold(0.0, f64::max);
    let right = ends.iter().map(|e| End::room(e)).fold(0.0, f64::max);
    let tall = (if theme.is_wide() { 72.0 } else { 50.0_f64 }).max(End::tall(&ends[0]) + 2.0);
    let row = 4.6 + tall + Plot::below(&set) + 2.6;
    let mut key = Key::new(note, theme.width - left - 1.0);
    let kinds: BTreeSet<EventKind> = pushes.iter().flat_map(|p| drawn(p)).map(|e| e.kind).collect();
    for kind in kinds {
        let ink = theme.ink;
        key.add(1.6, named(kind), move |canvas, r| event::symbol(canvas, kind, r.middle(), ink));
    }
    let below = row * panels.len() as f64;
    let mut canvas = Canvas::new(theme.width, below + key.height() + 0.6);
    let direction = pushes.first().map_or("the push", |p| p.direction.as_str());
    for (row_of, ((which, y), ends)) in panels.iter().zip(&mut ends).enumerate() {
        let area = Rect::new(left, row * row_of as f64 + 4.6, theme.width - left - right - 0.6, tall);
        let plot = Plot { area, x, y: *y };
        for at in READINGS.into_iter().filter(|r| *r <= x.hi + 1e-9) {
            plot.reading(&mut canvas, theme, at, &format!("{at} mm"));
        }
        plot.axes(&mut canvas, theme, [&format!("{} displacement (mm)", capital(direction)), "Load (N)"]);
        for push in before.iter().filter(|_| row_of == 0) {
            let curve = plot.all(push.curve.iter().map(|s| [s.displacement, s.load]));
            canvas.path(&curve, Stroke::dashed(theme.muted.tint(0.4), theme.curve, &[0.6, 0.6]));
        }
        let mut clear = Clearance::inside(plot.area);
        for (end, k) in ends.iter_mut().zip(which).rev() {
            let curve = plot.all(pushes[*k].curve.iter().map(|s| [s.displacement, s.load]));
            canvas.path(&curve, theme.line(*k));
            clear.keep_off(&curve);
            end.at = curve.last().copied();
        }
        mark(&mut canvas, theme, &plot, pushes, which, &mut clear);
        plot.ends(&mut canvas, theme, ends);
    }
    key.draw(&mut canvas, [left, below]);
    Figure::new("resistance", canvas, numbers(pushes), caption(pushes, direction), alt(pushes, direction))
}

/// The words at the end of a curve; with many curves the load at 1 mm stands here too.
fn end<'a>(pushes: &[&Push], k: usize, theme: &Theme) -> End<'a> {
    let (push, room) = (pushes[k], (0.3 * theme.width).min(40.0));
    let (colour, _) = theme.series(k);
    let (set, note) = (theme.words().in_colour(colour), theme.note());
    let mut lines: Vec<_> = wrap(&push.construct, set, room).into_iter().map(|l| (l, set)).collect();
    match push.curve.last() {
        None => lines.push(("no load".to_owned(), note)),
        Some(last) => {
            let at_one = push.load_at[1].filter(|_| pushes.len() > ROOMY);
            lines.push((at_one.map_or(String::new(), |l| format!("{l:.0} N, ")) + &newtons(last.load), note));
            if let Some(what) = event::early(&push.outcome) {
                let words = format!("{what} beyond {:.2}\u{a0}mm", last.displacement);
                lines.extend(wrap(&words, note, room).into_iter().map(|l| (l, note)));
            }
        }
    }
    End { at: None, colour, lines, sign: None, crossed: !matches!(push.outcome, Outcome::Held) }
}

fn numbers(pushes: &[&Push]) -> String {
    let rows = pushes.iter().flat_map(|push| {
        let row = move |kind, at: f64, load: f64, what: &str| json!([kind, push.construct, at, load, what]);
        let curve = push.curve.iter().map(move |p| row("curve", p.displacement, p.load, ""));
        let readings = [0.5, 1.0, 2.0].into_iter().zip(push.load_at);
        let readings = readings.filter_map(move |(at, load)| Some(row("reading", at, load?, "")));
        let events = push.events.iter().map(move |e| row("event", e.displacement, e.load, &event_of(e)));
        curve.chain(readings).chain(events)
    });
    csv("kind,construct,displacement_mm,load_N,what".split(','), rows)
}

fn caption(pushes: &[&Push], direction: &str) -> String {
    let free = if pushes.iter().any(|p| p.guided) { ", turning forbidden" } else { ", free to turn" };
    let numbers = if pushes.len() > ROOMY {
        "the numbers at the end of a curve are the load at 1 mm and at its end"
    } else {
        "the number at the end of a curve is the load there"
    };
    let start = super::sharing::start(pushes);
    let mut text = format!(
        "Load needed to move the fragment's control point in the {direction} direction, from the {start} state{free}. Filled dots: load read off at 1 and 2 mm; {numbers}. Open symbols: first events after tying, at most {EVENTS_A_CURVE} a curve. A cross ends a curve where fixation fails or the balance of no state could be checked."
    );
    if pushes.len() > 1 {
        text.push_str(
            " Where some loads are far below others, their curves stand once more below on a scale of their own.",
        );
    }
    for push in pushes {
        let already: Vec<String> = push.events.iter().filter(|e| e.displacement <= 0.0).map(event_of).collect();
        if !already.is_empty() {
            text.push_str(&format!(" Already so when tied, {}: {}.", push.construct, already.join("; ")));
        }
    }
    text
}

fn alt(pushes: &[&Push], direction: &str) -> String {
    let row = |push: &&Push| {
        let read = READINGS.into_iter().zip(&push.load_at[1..]);
        let read: Vec<String> = read.filter_map(|(at, load)| Some(format!("{:.0} N at {at} mm", (*load)?))).collect();
        let read = if read.is_empty() { "no load read off".to_owned() } else { read.join(", ") };
        format!("{}: {read}", push.construct)
    };
    format!(
        "Line plot of load in newtons against {direction} displacement in millimetres. {}.",
        joined(pushes.iter().map(row), "; ")
    )
}

/// The events drawn on a curve: the first ones after the tied state that do not sit on each other.
fn drawn(push: &Push) -> impl Iterator<Item = &Event> {
    let mut last = 0.0;
    let reach = push.curve.last().map_or(0.0, |p| p.displacement);
    let apart = move |e: &&Event| {
        let free = e.displacement - last > 0.025 * reach;
        last = if free { e.displacement } else { last };
        free
    };
    push.events.iter().filter(apart).take(EVENTS_A_CURVE)
}

/// Readings and events on the curves, with their numbers and names where there is room.
fn mark(canvas: &mut Canvas, theme: &Theme, plot: &Plot, pushes: &[&Push], which: &[usize], clear: &mut Clearance) {
    let mut named: Vec<(Point, String, Type, Point, f64)> = Vec::new();
    for (k, push) in which.iter().map(|k| (*k, pushes[*k])) {
        let (colour, _) = theme.series(k);
        let fine = theme.fine().in_colour(colour);
        for (at, load) in READINGS.into_iter().zip(&push.load_at[1..]).filter_map(|(at, l)| Some((at, (*l)?))) {
            let p = plot.at(at, load);
            canvas.disc(p, 0.85, theme.paper);
            canvas.disc(p, 0.65, colour);
            clear.take(p, 0.7);
            // At the right end the load stands beside the curve's name.
            if p[0] < plot.area.right() - 1.0 {
                named.push((p, newtons(load), fine, [-0.5, -0.9], 6.0));
            }
        }
    }
    for (k, push) in which.iter().map(|k| (*k, pushes[*k])) {
        let (colour, _) = theme.series(k);
        for event in drawn(push) {
            let p = plot.at(event.displacement, event.load);
            event::symbol(canvas, event.kind, p, colour);
            clear.take(p, 0.9);
            // Where there is no room the key still says what it is, and the CSV to which limb.
            named.push((p, event.subject.clone(), theme.fine().in_colour(colour).italic(), [0.6, 0.8], 3.0));
        }
    }
    for (p, text, set, toward, reach) in named.into_iter().filter(|_| which.len() <= ROOMY) {
        let size = [set.width(&text), set.capital() + 0.4];
        if let Some(r) = clear.place(size, p, toward, 1.0, reach) {
            canvas.text(&text, [r.x, r.bottom() - 0.4], set);
        }
    }
}
