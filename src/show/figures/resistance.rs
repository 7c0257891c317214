//! Figure "resistance": load against displacement, one curve a construct.

mod symbols;

use super::event;
use crate::show::chart::*;
use crate::study::result::{Outcome, Push};
use symbols::drawn;

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
    let (set, note) = (theme.words(), theme.note());
    let points = || pushes.iter().flat_map(|p| &p.curve);
    let [lo, hi] = extremes(points().map(|p| p.load));
    let y = Scale::load(lo, hi, 6);
    let x = Scale::exact(extremes(points().map(|p| p.displacement))[1], if theme.is_wide() { 8 } else { 5 });
    let mut ends: Vec<End<'_>> = (0..pushes.len()).map(|k| end(pushes, k, theme)).collect();
    let left = y.room(&set);
    let tall = (if theme.is_wide() { 72.0 } else { 50.0_f64 }).max(End::tall(&ends) + 2.0);
    let plot = Plot { area: Rect::new(left, 4.6, theme.width - left - End::room(&ends) - 0.6, tall), x, y };
    let mut key = Key::new(note, theme.width - left - 1.0);
    let drawn_kinds = |kind| pushes.iter().any(|p| drawn(p).any(|e| e.kind == kind));
    for kind in event::KINDS.into_iter().filter(|k| drawn_kinds(*k)) {
        let ink = theme.ink;
        key.add(1.6, event::words(kind), move |canvas, r| event::symbol(canvas, kind, r.middle(), ink));
    }
    let below = plot.area.bottom() + Plot::below(&set) + 2.6;
    let mut canvas = Canvas::new(theme.width, below + key.height() + 0.6);

    for at in READINGS.into_iter().filter(|r| *r <= x.hi + 1e-9) {
        plot.reading(&mut canvas, theme, at, &format!("{at} mm"));
    }
    let direction = pushes.first().map_or("the push", |p| p.direction.as_str());
    plot.axes(&mut canvas, theme, [&format!("{} displacement (mm)", capital(direction)), "Load (N)"]);
    let mut clear = Clearance::inside(plot.area);
    let curve = |push: &Push| plot.all(push.curve.iter().map(|s| [s.displacement, s.load]));
    for (k, push) in pushes.iter().enumerate().rev() {
        let curve = curve(push);
        canvas.path(&curve, theme.line(k));
        clear.keep_off(&curve);
        ends[k].at = curve.last().copied();
    }
    symbols::draw(&mut canvas, theme, &plot, pushes, &mut clear);
    plot.ends(&mut canvas, theme, &ends);
    key.draw(&mut canvas, [left, below]);
    Figure::new("resistance", canvas, csv(pushes), caption(pushes, direction), alt(pushes, direction))
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

fn csv(pushes: &[&Push]) -> String {
    let mut csv = Csv::new("kind,construct,displacement_mm,load_N,what".split(','));
    for push in pushes {
        let mut row = |kind, at: f64, load: f64, what: &str| csv.row(row![kind, &push.construct, at, load, what]);
        push.curve.iter().for_each(|p| row("curve", p.displacement, p.load, ""));
        let readings = [0.5, 1.0, 2.0].into_iter().zip(push.load_at);
        readings.filter_map(|(at, load)| Some((at, load?))).for_each(|(at, load)| row("reading", at, load, ""));
        push.events.iter().for_each(|e| row("event", e.displacement, e.load, &event::sentence(e)));
    }
    csv.finish()
}

fn caption(pushes: &[&Push], direction: &str) -> String {
    let free = if pushes.iter().any(|p| p.guided) { ", turning forbidden" } else { ", free to turn" };
    let numbers = if pushes.len() > ROOMY {
        "the numbers at the end of a curve are the load at 1 mm and at its end"
    } else {
        "the number at the end of a curve is the load there"
    };
    let mut text = format!(
        "Load needed to move the fragment's control point in the {direction} direction, from the tied state{free}. Filled dots: load read off at 1 and 2 mm; {numbers}. Open symbols: first events after tying, at most {EVENTS_A_CURVE} a curve. A cross ends a curve where fixation fails or the balance of no state could be checked."
    );
    for push in pushes {
        let already: Vec<String> = push.events.iter().filter(|e| e.displacement <= 0.0).map(event::sentence).collect();
        if !already.is_empty() {
            text.push_str(&format!(" Already so when tied, {}: {}.", push.construct, already.join(", ")));
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
