//! Figure "sweep-…" of lines: quantities over one input.

mod draw;
mod panel;

use super::words::{self, value};
use crate::show::chart::*;
use crate::show::figures::input;
use crate::study::result::{Sweep, SweepAxis, with_unit};
use panel::{Panel, panels, x_scale, y_scale, y_word};

/// Least width of a panel, mm.
const LEAST: f64 = 70.0;
/// Height of a plot, mm.
const TALL: f64 = 38.0;

/// Lines of each quantity asked for over the input that has a scale: one line a construct, or, when
/// the hinge as a whole is the other input, one panel a construct and one line a state of the hinge.
pub fn sweep_lines(found: &Sweep, theme: &Theme) -> Figure {
    // The input along the axis: the one with a scale, when there is one.
    let along = found.axes.iter().position(|a| !a.has_states()).unwrap_or(0);
    let x_axis = &found.axes[along];
    let panels = panels(found, along);
    let set = theme.words();
    let titles: Vec<&str> = panels.iter().map(|p| p.title.as_str()).collect();
    let grid = Panels::new(theme, &titles, theme.width, LEAST);
    let x = x_scale(x_axis);
    let scales: Vec<Scale> = panels.iter().map(|p| y_scale(found, &panels, p)).collect();
    let left = scales.iter().map(|s| s.room(&set)).fold(0.0, f64::max);
    let mut ends: Vec<Vec<End<'_>>> = panels.iter().map(|p| ends(theme, p, 0.27 * grid.width)).collect();
    let right = ends.iter().map(|e| End::room(e)).fold(0.0, f64::max);
    let strips = panels.iter().map(|p| draw::strip_height(&p.series)).fold(0.0, f64::max);
    let x_words = wrap(&words::axis(x_axis), set, grid.width - left - 2.0);
    let below = Plot::below(&set) + 1.6 + (x_words.len() - 1) as f64 * set.leading();
    let tall = strips + TALL + below;
    // The key stands in the place of a panel that the last row lacks, otherwise below.
    let vacant = !panels.len().is_multiple_of(grid.columns);
    let body = grid.height(tall);
    let beside = grid.area(panels.len(), tall);
    let (at, room) =
        if vacant { ([beside.x + left, beside.y + strips], 10.0) } else { ([0.6, body + 1.0], theme.width - 1.2) };
    let key = draw::key(found, theme, room);
    let height = match (panels.is_empty(), vacant) {
        (true, _) => 20.0,
        (_, true) => body + 0.5,
        _ => body + key.height() + 1.5,
    };
    let mut canvas = Canvas::new(theme.width, height);
    grid.draw(&mut canvas, theme, tall, "nothing was varied", |canvas, k, area| {
        let (panel, y) = (&panels[k], scales[k]);
        let plot = Plot { area: Rect::new(area.x + left, area.y + strips, area.w - left - right, TALL), x, y };
        let quantity = &found.quantities[panel.quantity];
        draw::panel(canvas, theme, &plot, panel, &quantity.unit, &mut ends[k]);
        let under = |tick: f64| if x_axis.has_states() { value(x_axis, tick) } else { x.words(tick) };
        plot.axes_with(canvas, theme, ["", &with_unit(y_word(quantity), &quantity.unit)], under);
        for (line, text) in x_words.iter().enumerate() {
            let base = plot.area.bottom() + Plot::below(&set) + 0.7 + line as f64 * set.leading();
            let half = 0.5 * set.width(text);
            let middle = plot.area.middle()[0].clamp(area.x + half, (area.right() - half).max(area.x + half));
            canvas.text(text, [middle, base], set.centred());
        }
        plot.ends(canvas, theme, &ends[k]);
    });
    key.draw(&mut canvas, at);
    let quantities: Vec<usize> = (0..found.shown).collect();
    let csv = words::csv(found, &quantities);
    Figure::new(&words::name(found, ""), canvas, csv, caption(found, x_axis), alt(found, x_axis, &panels))
}

/// The names of the lines of a panel.
fn ends<'a>(theme: &Theme, panel: &Panel, room: f64) -> Vec<End<'a>> {
    let end = |s: &panel::Series| {
        let (colour, _) = theme.series(s.k);
        let set = theme.words().in_colour(colour);
        let lines = wrap(&s.name, set, room).into_iter().map(|l| (l, set)).collect();
        End::named(colour, lines)
    };
    panel.series.iter().map(end).collect()
}

fn caption(found: &Sweep, axis: &SweepAxis) -> String {
    let shown = &found.quantities[..found.shown];
    let list: Vec<&str> = shown.iter().map(|q| q.label.as_str()).collect();
    format!(
        "{}{} over {}. Filled markers: stable to the end of the push; open markers: the value counts, but fixation fails later in the push. Above each plot, a row for each line with points that are not stable to the end, with the symbols of the key; where a line breaks off there is no value. Loads are on one scale from zero{}. {}",
        words::question(found),
        capital(&list.join(", ")),
        input::words(&axis.path),
        if shown.iter().any(|q| q.unit == "mm") { "; dashed lines: 1 and 2 mm" } else { "" },
        words::done(found)
    )
}

fn alt(found: &Sweep, axis: &SweepAxis, panels: &[Panel]) -> String {
    let line = |s: &panel::Series| {
        let mut has = s.points.iter().filter_map(|p| Some((p.0, p.1?)));
        let Some(first) = has.next() else {
            return format!("{}: no value", s.name);
        };
        let last = has.next_back().unwrap_or(first);
        let digits = decimals((last.1 - first.1).abs().max(0.05 * last.1.abs()));
        let [from, to] = [first, last].map(|(x, v)| format!("{} at {}", number(v, digits), value(axis, x)));
        format!("{}: {from} to {to}", s.name)
    };
    let list = panels.iter().map(|panel| {
        let lines: Vec<String> = panel.series.iter().map(line).collect();
        format!("{}: {}", panel.title, lines.join("; "))
    });
    format!("Lines over {}. {}. {}", words::axis(axis), joined(list, ". "), words::done(found))
}
