//! Figure "sweep-…" of lines: quantities over one input.

use super::*;
use crate::show::figures::scatter::short;

/// Least width of a panel, mm.
const LEAST: f64 = 54.0;
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
    let strips = panels.iter().map(|p| strip_height(&p.series)).fold(0.0, f64::max);
    let x_words = wrap(&super::axis(x_axis), set, grid.width - left - 2.0);
    let below = Plot::below(&set) + 1.6 + (x_words.len() - 1) as f64 * set.leading();
    let tall = strips + TALL + below;
    // The key stands in the place of a panel that the last row lacks, otherwise below.
    let vacant = !panels.len().is_multiple_of(grid.columns);
    let body = grid.height(tall);
    let beside = grid.area(panels.len(), tall);
    let (at, room) =
        if vacant { ([beside.x + left, beside.y + strips], 10.0) } else { ([0.6, body + 1.0], theme.width - 1.2) };
    let key = failed_key(found, theme, room);
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
        draw_panel(canvas, theme, &plot, panel, &quantity.unit, &mut ends[k]);
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
    let table = super::numbers(found, &quantities);
    Figure::new(&super::name(found, ""), canvas, table, caption(found, x_axis), alt(found, x_axis, &panels))
}

/// The names of the lines of a panel.
fn ends<'a>(theme: &Theme, panel: &Panel, room: f64) -> Vec<End<'a>> {
    let end = |s: &Series| {
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
    let (question, list, done) = (question(found), capital(&list.join(", ")), done(found));
    let over = input::words(&axis.path);
    let limits = if shown.iter().any(|q| q.unit == "mm") { "; dashed lines: 1 and 2 mm" } else { "" };
    format!(
        "{question}{list} over {over}. Filled markers: stable to the end of the push; open markers: the value counts, but fixation fails later in the push. Above each plot, a row for each line with points that are not stable to the end, with the symbols of the key; where a line breaks off there is no value. Loads are on one scale from zero{limits}. {done}"
    )
}

fn alt(found: &Sweep, axis: &SweepAxis, panels: &[Panel]) -> String {
    let line = |s: &Series| {
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
    format!("Lines over {}. {}. {}", super::axis(axis), joined(list, ". "), super::done(found))
}

/// Height of a row of the strip, mm.
const ROW: f64 = 2.7;
/// Shifts that are called large, mm: drawn where a quantity is one.
const LIMITS: [f64; 4] = [-2.0, -1.0, 1.0, 2.0];

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
fn failed_key<'a>(found: &Sweep, theme: &Theme, room: f64) -> Key<'a> {
    let mut key = Key::new(theme.fine(), room);
    let has = |end: &Ended| found.constructs.iter().flat_map(|c| &c.points).any(|p| p.end == *end);
    let stroke = Stroke::solid(theme.ink, 0.8);
    for end in Ended::ALL.into_iter().filter(|end| *end != Ended::Held && has(end)) {
        key.add(2.2, end.words(), move |canvas, r| symbol(canvas, end, r.middle(), stroke));
    }
    key
}

/// Height of the strip above a plot, mm.
fn strip_height(all: &[Series]) -> f64 {
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
fn draw_panel(canvas: &mut Canvas, theme: &Theme, plot: &Plot, panel: &Panel, unit: &str, ends: &mut [End<'_>]) {
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

/// A line: its place among the series, its name, and its points by value of the input.
struct Series {
    pub k: usize,
    pub name: String,
    pub points: Vec<(f64, Option<f64>, Ended)>,
}

impl Series {
    /// Pieces without a gap.
    pub fn runs(&self) -> Vec<Vec<[f64; 2]>> {
        let pieces = self.points.split(|p| p.1.is_none());
        pieces.map(|piece| piece.iter().filter_map(|p| Some([p.0, p.1?])).collect()).collect()
    }

    /// Whether fixation fails at some point, or something else keeps it from an answer.
    pub fn has_failed(&self) -> bool {
        self.points.iter().any(|p| p.2 != Ended::Held)
    }
}

/// A panel: one quantity, and the lines in it.
struct Panel {
    /// Heading.
    pub title: String,
    /// Place of its quantity.
    pub quantity: usize,
    /// Its lines.
    pub series: Vec<Series>,
}

/// What is measured, in a word.
fn y_word(of: &Quantity) -> &'static str {
    match (of.unit.as_str(), of.key.as_str()) {
        ("N", "compression") => "Force",
        ("N", _) => "Load",
        ("MPa", _) => "Pressure",
        ("%", _) => "Share",
        ("°", _) => "Angle",
        (_, "lower-gap") => "Gap",
        (_, key) if key.starts_with("step") => "Step-off",
        _ => "Distance",
    }
}

/// The panels of a sweep along one of its inputs.
fn panels(found: &Sweep, along: usize) -> Vec<Panel> {
    let states = (found.axes.len() == 2).then(|| &found.axes[1 - along]);
    let line = |q: usize, c: usize, state: Option<f64>, k: usize, name: String| {
        let own = found.constructs[c].points.iter().filter(|p| state.is_none_or(|s| p.at[1 - along] == s));
        let mut points: Vec<_> = own.map(|p| (p.at[along], p.values[q], p.end)).collect();
        points.sort_by(|a, b| a.0.total_cmp(&b.0));
        Series { k, name, points }
    };
    let all = found.constructs.iter().enumerate();
    let mut panels = Vec::new();
    for quantity in 0..found.shown {
        let title = short(&found.quantities[quantity]);
        match states {
            None => {
                let series = all.clone().map(|(c, of)| line(quantity, c, None, c, of.construct.clone())).collect();
                panels.push(Panel { title, quantity, series });
            }
            Some(axis) => panels.extend(all.clone().map(|(c, of)| {
                let state =
                    |(k, s): (usize, &f64)| line(quantity, c, Some(*s), k, format!("hinge {}", value(axis, *s)));
                let series = axis.values.iter().enumerate().map(state).collect();
                Panel { title: format!("{}, {title}", of.construct), quantity, series }
            })),
        }
    }
    panels
}

/// The scale of the input.
fn x_scale(axis: &SweepAxis) -> Scale {
    let [lo, hi] = extremes(axis.values.iter().copied());
    if axis.has_states() {
        return Scale { lo: lo - 0.4, hi: hi + 0.4, step: 1.0 };
    }
    // Markers of the first and last points stand clear of the axes.
    let (scale, room) = (Scale::between(lo, hi, 6), 0.04 * (hi - lo));
    Scale { lo: scale.lo - room, hi: scale.hi + room, ..scale }
}

/// The scale of a panel: loads share one, and so does each quantity over the constructs.
fn y_scale(found: &Sweep, panels: &[Panel], panel: &Panel) -> Scale {
    let key = |p: &Panel| found.quantities[p.quantity].key.as_str();
    let load = |p: &Panel| key(p).contains("load");
    let alike = panels.iter().filter(|p| key(p) == key(panel) || (load(p) && load(panel)));
    let [lo, hi] = extremes(alike.flat_map(|p| &p.series).flat_map(|s| &s.points).filter_map(|p| p.1));
    Scale::load(lo, hi, 5)
}
