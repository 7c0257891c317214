//! Figure "sweep-…" of lines: quantities over one input.

use super::mark;
use super::panel::{Panel, panels, x_scale, y_scale, y_word};
use super::strip::{self, Series};
use super::words::{self, value};
use crate::show::figures::axis::{Plot, Scale};
use crate::show::figures::canvas::{Align, Canvas, Stroke, Type};
use crate::show::figures::figure::Figure;
use crate::show::figures::label::{Clearance, spread, wrap};
use crate::show::figures::marker::marker;
use crate::show::figures::rect::{Point, Rect};
use crate::show::figures::scatter::words::{decimals, number, with_unit};
use crate::show::figures::subject::Panels;
use crate::show::figures::theme::Theme;
use crate::study::result::{End, Sweep, SweepAxis};

/// Least width of a panel, mm.
const LEAST: f64 = 70.0;
/// Height of a plot, mm.
const TALL: f64 = 38.0;
/// Shifts that are called large, mm: drawn where a quantity is one.
const LIMITS: [f64; 4] = [-2.0, -1.0, 1.0, 2.0];

/// Draws the figure.
pub(super) fn lines(found: &Sweep, theme: &Theme) -> Figure {
    // The input along the axis: the one with a scale, when there is one.
    let along = found.axes.iter().position(|a| !a.has_states()).unwrap_or(0);
    let x_axis = &found.axes[along];
    let panels = panels(found, along);
    let set = Type::new(theme.text, theme.ink);
    let small = Type::new(theme.small, theme.ink);
    let titles: Vec<&str> = panels.iter().map(|p| p.title.as_str()).collect();
    let grid = Panels::titled(theme, &titles, theme.width, LEAST);
    let room = 0.27 * grid.width;
    let x = x_scale(x_axis);
    let scales: Vec<Scale> = panels.iter().map(|p| y_scale(found, &panels, p)).collect();
    let numbers = scales.iter().flat_map(|s| s.ticks().into_iter().map(|t| set.width(&s.words(t)))).fold(0.0, f64::max);
    let left = 1.0 + set.capital() + 2.2 + numbers + 1.3;
    let labels = panels.iter().flat_map(|p| &p.series);
    let right = 4.8 + labels.flat_map(|s| wrap(&s.name, set, room)).map(|l| set.width(&l)).fold(0.0, f64::max);
    let strips = panels.iter().map(|p| strip::height(&p.series)).fold(0.0, f64::max);
    let x_words = wrap(&words::axis(x_axis), set, grid.width - left - 2.0);
    let below = 2.6 + 2.0 * set.capital() + 1.6 + (x_words.len() - 1) as f64 * set.leading();
    let tall = strips + TALL + below;
    let ends = mark::present(found);
    // The key stands in the place of a panel that the last row lacks, otherwise below.
    let vacant = !panels.len().is_multiple_of(grid.columns);
    let body = grid.height(tall);
    let (at, room_of_key) = if vacant {
        let area = grid.area(panels.len(), tall);
        ([area.x + left, area.y + strips], 10.0)
    } else {
        ([0.6, body + 1.2], theme.width - 1.2)
    };
    let (_, key) = mark::places(&mark::entries(&ends), small, room_of_key);
    let height = match (panels.is_empty(), vacant) {
        (true, _) => 20.0,
        (_, true) => body + 0.5,
        _ => body + key + 1.5,
    };
    let mut canvas = Canvas::new(theme.width, height);
    for (k, panel) in panels.iter().enumerate() {
        grid.title(&mut canvas, theme, k, tall);
        let area = grid.area(k, tall);
        let plot =
            Plot { area: Rect::new(area.x + left, area.y + strips, area.w - left - right, TALL), x, y: scales[k] };
        strip::draw(&mut canvas, theme, &plot, &panel.series);
        let quantity = &found.quantities[panel.quantity];
        one(&mut canvas, theme, &plot, panel, &quantity.unit);
        let y_title = with_unit(y_word(quantity), &quantity.unit);
        plot.axes(&mut canvas, theme, ["", &y_title], area.x + 1.0 + set.capital(), false);
        x_ticks(&mut canvas, theme, &plot, x_axis);
        for (line, text) in x_words.iter().enumerate() {
            let base = plot.area.bottom() + 2.6 + 2.0 * set.capital() + 0.7 + line as f64 * set.leading();
            let middle = plot.area.x + 0.5 * plot.area.w;
            let half = 0.5 * set.width(text);
            let at = middle.clamp(area.x + half, (area.right() - half).max(area.x + half));
            canvas.text(text, [at, base], set.align(Align::Centre));
        }
        end_labels(&mut canvas, theme, &plot, &panel.series, room);
    }
    mark::key(&mut canvas, theme, &ends, at, room_of_key);
    if panels.is_empty() {
        canvas.text("nothing was varied", [2.0, 10.0], set);
    }
    let quantities: Vec<usize> = (0..found.shown).collect();
    Figure::new(
        &words::name(found, ""),
        canvas,
        words::csv(found, &quantities),
        caption(found, x_axis),
        alt(found, x_axis, &panels),
    )
}

fn one(canvas: &mut Canvas, theme: &Theme, plot: &Plot, panel: &Panel, unit: &str) {
    let mut clear = Clearance { bounds: Some(plot.area), ..Clearance::default() };
    // Where a millimetre is too small to be seen, its line would only be in the way.
    let millimetre = plot.area.h / (plot.y.hi - plot.y.lo);
    let shift = unit == "mm" && millimetre > 2.0;
    let limits: Vec<f64> = LIMITS.into_iter().filter(|l| shift && *l > plot.y.lo && *l < plot.y.hi).collect();
    for limit in &limits {
        let ends = [plot.at(plot.x.lo, *limit), plot.at(plot.x.hi, *limit)];
        let width = if limit.abs() > 1.5 { theme.outline } else { theme.hair };
        canvas.line(ends[0], ends[1], Stroke::dashed(theme.muted, width, &[0.9, 0.6]));
    }
    for series in &panel.series {
        let (colour, dash) = theme.series(series.k);
        for run in series.runs() {
            let run: Vec<Point> = run.iter().map(|p| plot.at(p[0], p[1])).collect();
            canvas.path(&run, Stroke::dashed(colour, theme.curve, dash));
            clear.keep_off(&run);
        }
    }
    for series in &panel.series {
        let (colour, _) = theme.series(series.k);
        for (x, v, end) in &series.points {
            let Some(v) = v else { continue };
            let fill = if *end == End::Held { colour } else { theme.paper };
            let at = plot.at(*x, *v);
            marker(canvas, series.k, at, 0.75, fill, Stroke::solid(colour, 0.7));
            clear.boxes.push(Rect::new(at[0], at[1], 0.0, 0.0).grown(0.9));
        }
    }
    let set = Type::new(theme.small, theme.muted);
    for limit in limits {
        let words = format!("{} mm", number(limit, 0));
        let size = [set.width(&words), set.capital()];
        let y = plot.at(0.0, limit)[1] - 0.7;
        let steps = 40;
        let free = (0..=steps).find_map(|s| {
            let x = plot.area.x + 0.5 + (plot.area.w - size[0] - 1.0) * f64::from(s) / f64::from(steps);
            let r = Rect::new(x, y - size[1], size[0], size[1]);
            clear.is_free(&r.grown(0.3)).then_some(r)
        });
        if let Some(r) = free {
            canvas.text(&words, [r.x, r.bottom()], set);
        }
    }
}

fn x_ticks(canvas: &mut Canvas, theme: &Theme, plot: &Plot, axis: &SweepAxis) {
    let set = Type::new(theme.text, theme.ink).align(Align::Centre);
    for tick in plot.x.ticks() {
        let words = if axis.has_states() { value(axis, tick) } else { plot.x.words(tick) };
        let p = plot.at(tick, plot.y.lo);
        canvas.text(&words, [p[0], p[1] + 1.4 + set.capital()], set);
    }
}

fn end_labels(canvas: &mut Canvas, theme: &Theme, plot: &Plot, all: &[Series], room: f64) {
    let set = Type::new(theme.text, theme.ink);
    let names: Vec<Vec<String>> = all.iter().map(|s| wrap(&s.name, set, room)).collect();
    let lasts: Vec<Option<Point>> =
        all.iter().map(|s| s.points.iter().rev().find_map(|p| Some(plot.at(p.0, p.1?)))).collect();
    let targets: Vec<f64> = lasts.iter().map(|p| p.map_or(plot.area.bottom(), |p| p[1])).collect();
    let heights: Vec<f64> = names.iter().map(|n| n.len() as f64 * set.leading() + 0.8).collect();
    let centres = spread(&targets, &heights, plot.area.y - 1.0, plot.area.bottom() + 1.0);
    let column = plot.area.right() + 4.0;
    for (k, series) in all.iter().enumerate() {
        let (colour, _) = theme.series(series.k);
        if let Some(p) = lasts[k] {
            let hair = if p[0] < plot.area.right() - 0.5 {
                Stroke::dashed(colour, theme.hair, &[0.3, 0.7])
            } else {
                Stroke::solid(colour, theme.hair)
            };
            let turn = [plot.area.right() + 1.6, p[1]];
            canvas.path(&[[p[0] + 1.2, p[1]], turn, [column - 0.5, centres[k]]], hair);
        }
        let words = Type::new(theme.text, colour.shade(0.3));
        let mut y = centres[k] - 0.5 * (heights[k] - 0.8);
        for line in &names[k] {
            canvas.text(line, [column, y + set.capital() + 0.2], words);
            y += set.leading();
        }
    }
}

fn caption(found: &Sweep, axis: &SweepAxis) -> String {
    format!(
        "{}{} over {}. Filled markers: held to the end of the push; open markers: the value counts, but the fragment is lost later in the push. Above each plot, a row for each line with points that are not held to the end, with the symbols of the key; where a line breaks off there is no value. Loads are on one scale from zero{}. {}",
        question(found),
        join(found),
        crate::show::figures::input::words(&axis.path),
        if found.quantities[..found.shown].iter().any(|q| q.unit == "mm") { "; dashed lines: 1 and 2 mm" } else { "" },
        words::done(found)
    )
}

/// The question of a ready-made sweep, as a beginning.
fn question(found: &Sweep) -> String {
    found.question.as_ref().map_or_else(String::new, |q| format!("{q} "))
}

/// The quantities shown, joined and beginning with a capital.
fn join(found: &Sweep) -> String {
    let list: Vec<&str> = found.quantities[..found.shown].iter().map(|q| q.label.as_str()).collect();
    let text = list.join(", ");
    let mut chars = text.chars();
    chars.next().map_or_else(String::new, |c| c.to_uppercase().chain(chars).collect())
}

fn alt(found: &Sweep, axis: &SweepAxis, panels: &[Panel]) -> String {
    let list: Vec<String> = panels
        .iter()
        .map(|panel| {
            let lines: Vec<String> = panel
                .series
                .iter()
                .map(|s| {
                    let mut has = s.points.iter().filter_map(|p| Some((p.0, p.1?)));
                    let Some(first) = has.next() else {
                        return format!("{}: no value", s.name);
                    };
                    let last = has.next_back().unwrap_or(first);
                    let digits = decimals((last.1 - first.1).abs().max(0.05 * last.1.abs()));
                    format!(
                        "{}: {} at {} to {} at {}",
                        s.name,
                        number(first.1, digits),
                        value(axis, first.0),
                        number(last.1, digits),
                        value(axis, last.0)
                    )
                })
                .collect();
            format!("{}: {}", panel.title, lines.join("; "))
        })
        .collect();
    format!("Lines over {}. {}. {}", words::axis(axis), list.join(". "), words::done(found))
}
