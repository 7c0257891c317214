//! Readings and events on the curves.

use super::super::event;
use super::{EVENTS_A_CURVE, READINGS, ROOMY};
use crate::show::chart::*;
use crate::study::result::{Event, Push};

/// The events drawn on a curve: the first ones after the tied state that do not sit on each other.
pub(super) fn drawn(push: &Push) -> impl Iterator<Item = &Event> {
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
pub(super) fn draw(canvas: &mut Canvas, theme: &Theme, plot: &Plot, pushes: &[&Push], clear: &mut Clearance) {
    let mut named: Vec<(Point, String, Type, Point, f64)> = Vec::new();
    for (k, push) in pushes.iter().enumerate() {
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
    for (k, push) in pushes.iter().enumerate() {
        let (colour, _) = theme.series(k);
        for event in drawn(push) {
            let p = plot.at(event.displacement, event.load);
            event::symbol(canvas, event.kind, p, colour);
            clear.take(p, 0.9);
            // Where there is no room the key still says what it is, and the CSV to which limb.
            named.push((p, event.subject.clone(), theme.fine().in_colour(colour).italic(), [0.6, 0.8], 3.0));
        }
    }
    for (p, text, set, toward, reach) in named.into_iter().filter(|_| pushes.len() <= ROOMY) {
        let size = [set.width(&text), set.capital() + 0.4];
        if let Some(r) = clear.place(size, p, toward, 1.0, reach) {
            canvas.text(&text, [r.x, r.bottom() - 0.4], set);
        }
    }
}
