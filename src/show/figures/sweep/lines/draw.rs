//! One panel of lines, and the strip above it that shows which points are not stable to the end.

use super::panel::{Panel, Series};
use crate::show::chart::*;
use crate::study::result::{End as Ended, Sweep};

/// Height of a row of the strip, mm.
const ROW: f64 = 2.7;
/// Shifts that are called large, mm: drawn where a quantity is one.
const LIMITS: [f64; 4] = [-2.0, -1.0, 1.0, 2.0];

/// All but stable, in the order of a key.
const FAILED: [Ended; 4] = [Ended::LostInPush, Ended::NotHeld, Ended::Uncertified, Ended::Impossible];

/// Draws the symbol of an end.
fn symbol(canvas: &mut Canvas, end: Ended, at: Point, stroke: Stroke) {
    let [x, y] = at;
    match end {
        Ended::Held => {}
        Ended::LostInPush => canvas.circle(at, 0.65, stroke),
        Ended::NotHeld => cross(canvas, at, 0.62, stroke),
        Ended::Uncertified => canvas.outline(&[[x, y - 0.8], [x + 0.8, y + 0.6], [x - 0.8, y + 0.6]], stroke),
        Ended::Impossible => canvas.line([x - 0.85, y], [x + 0.85, y], stroke),
    }
}

/// The key of the symbols that a sweep has.
pub(super) fn key<'a>(found: &Sweep, theme: &Theme, room: f64) -> Key<'a> {
    let mut key = Key::new(theme.fine(), room);
    let has = |end: &Ended| found.constructs.iter().flat_map(|c| &c.points).any(|p| p.end == *end);
    let stroke = Stroke::solid(theme.ink, 0.8);
    for end in FAILED.into_iter().filter(has) {
        key.add(2.2, end.words(), move |canvas, r| symbol(canvas, end, r.middle(), stroke));
    }
    key
}

/// Height of the strip above a plot, mm.
pub(super) fn strip_height(all: &[Series]) -> f64 {
    ROW * all.iter().filter(|s| s.has_failed()).count() as f64 + 1.6
}

/// Draws the strip so that it ends above the plot: a row for each line with failed points, its marker
/// before it.
fn strip(canvas: &mut Canvas, theme: &Theme, plot: &Plot, all: &[Series]) {
    let failed: Vec<&Series> = all.iter().filter(|s| s.has_failed()).collect();
    for (row, series) in failed.iter().enumerate() {
        let y = plot.area.y - 1.4 - ROW * (failed.len() as f64 - row as f64 - 0.5);
        let (colour, _) = theme.series(series.k);
        marker(canvas, series.k, [plot.area.x - 2.6, y], 0.75, colour, Stroke::solid(colour, 0.7));
        let pale = Stroke::solid(theme.faint.tint(0.5), theme.hair);
        canvas.line([plot.area.x, y], [plot.area.right(), y], pale);
        for (x, _, end) in series.points.iter().filter(|p| p.2 != Ended::Held) {
            let at = [plot.at(*x, 0.0)[0], y];
            canvas.disc(at, 0.85, theme.paper);
            symbol(canvas, *end, at, Stroke::solid(colour, 0.8));
        }
    }
}

/// Draws the lines of a panel with their names, the strip above, and lines at 1 and 2 mm.
pub(super) fn panel(canvas: &mut Canvas, theme: &Theme, plot: &Plot, panel: &Panel, unit: &str, ends: &mut [End<'_>]) {
    strip(canvas, theme, plot, &panel.series);
    let mut clear = Clearance::inside(plot.area);
    // Where a millimetre is too small to be seen, its line would only be in the way.
    let shift = unit == "mm" && plot.area.h / (plot.y.hi - plot.y.lo) > 2.0;
    let limits: Vec<f64> = LIMITS.into_iter().filter(|l| shift && *l > plot.y.lo && *l < plot.y.hi).collect();
    for limit in &limits {
        let width = if limit.abs() > 1.5 { theme.outline } else { theme.hair };
        let stroke = Stroke::dashed(theme.muted, width, &[0.9, 0.6]);
        canvas.line(plot.at(plot.x.lo, *limit), plot.at(plot.x.hi, *limit), stroke);
    }
    for run in panel.series.iter().flat_map(|s| s.runs().into_iter().map(|run| (s.k, run))) {
        let line = plot.all(run.1);
        canvas.path(&line, theme.line(run.0));
        clear.keep_off(&line);
    }
    for (series, label) in panel.series.iter().zip(ends) {
        let (colour, _) = theme.series(series.k);
        for (x, v, end) in series.points.iter().filter_map(|(x, v, end)| Some((*x, (*v)?, *end))) {
            let at = plot.at(x, v);
            let fill = if end == Ended::Held { colour } else { theme.paper };
            marker(canvas, series.k, at, 0.75, fill, Stroke::solid(colour, 0.7));
            clear.take(at, 0.9);
            label.at = Some(at);
        }
    }
    let set = theme.note();
    for limit in limits {
        let words = format!("{} mm", number(limit, 0));
        let (w, h, y) = (set.width(&words), set.capital(), plot.at(plot.x.lo, limit)[1] - 0.7);
        let place = |s: u32| Rect::new(plot.area.x + 0.5 + (plot.area.w - w - 1.0) * f64::from(s) / 40.0, y - h, w, h);
        if let Some(r) = (0..=40).map(place).find(|r| clear.is_free(&r.grown(0.3))) {
            canvas.text(&words, [r.x, r.bottom()], set);
        }
    }
}
