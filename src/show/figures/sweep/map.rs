//! Figure "sweep-…" as a map: one quantity over two inputs.

use super::cell::Kind;
use super::mark::{self, ROW};
use super::sheet::{Sheet, tone};
use super::words::{self, value};
use crate::show::figures::axis::{Scale, signed};
use crate::show::figures::canvas::{Align, Canvas, Stroke, Type, corners};
use crate::show::figures::figure::Figure;
use crate::show::figures::input;
use crate::show::figures::label::wrap;
use crate::show::figures::rect::{Point, Rect};
use crate::show::figures::scatter::words::{decimals, number, short};
use crate::show::figures::subject::Panels;
use crate::show::figures::theme::Theme;
use crate::study::result::{Quantity, Sweep, Swept};

/// Least width of a panel, mm.
const LEAST: f64 = 66.0;
/// Height of a map, mm.
const TALL: f64 = 42.0;
/// Height of the scale of colours with its words, mm.
const BAR: f64 = 2.2;
/// Draws the figure.
pub(super) fn map(found: &Sweep, q: usize, theme: &Theme) -> Figure {
    let quantity = &found.quantities[q];
    let axes = [&found.axes[0], &found.axes[1]];
    let set = Type::new(theme.text, theme.ink);
    let small = Type::new(theme.small, theme.ink);
    let names: Vec<&str> = found.constructs.iter().map(|c| c.construct.as_str()).collect();
    let panels = Panels::titled(theme, &names, theme.width, LEAST);
    let scale = scale(found, q);
    let y_numbers = axes[1].values.iter().map(|v| set.width(&value(axes[1], *v))).fold(0.0, f64::max);
    let y_words = wrap(&words::axis(axes[1]), set, TALL);
    let left = 1.0 + y_words.len() as f64 * set.leading() + 1.2 + y_numbers + 1.3;
    let x_words = wrap(&words::axis(axes[0]), set, panels.width - left - 2.0);
    let notes: Vec<Vec<String>> =
        found.constructs.iter().map(|c| wrap(&note(found, c, q), small, panels.width - left - 1.0)).collect();
    let lines = notes.iter().map(Vec::len).max().unwrap_or(0) as f64;
    let over = lines * small.leading() + 1.0;
    let below = 2.8 + set.capital() + x_words.len() as f64 * set.leading();
    let tall = over + TALL + below;
    let body = panels.height(tall);
    let kinds = Kind::present(found, q);
    let entries: Vec<String> = kinds.iter().map(|k| k.words().to_owned()).collect();
    let (places, key) = mark::places(&entries, small, theme.width - 1.2);
    let bar_top = body + 2.0 + set.leading();
    let height = bar_top + BAR + 2.0 + set.leading() + key + 0.6;
    let mut canvas = Canvas::new(theme.width, height);
    for (k, construct) in found.constructs.iter().enumerate() {
        panels.title(&mut canvas, theme, k, tall);
        let area = panels.area(k, tall);
        for (line, text) in notes[k].iter().enumerate() {
            let base = area.y + small.capital() + line as f64 * small.leading();
            canvas.text(text, [area.x + left, base], Type::new(theme.small, theme.muted));
        }
        let sheet = Sheet {
            area: Rect::new(area.x + left, area.y + over, area.w - left - 1.5, TALL),
            columns: axes[0].values.len(),
            rows: axes[1].values.len(),
        };
        sheet.cells(&mut canvas, theme, construct, q, &scale);
        sheet.contours(&mut canvas, theme, construct, q, (quantity, &scale));
        sheet.axes(&mut canvas, theme, axes);
        for (line, text) in x_words.iter().enumerate() {
            let base = sheet.area.bottom() + 1.6 + set.capital() + (line + 1) as f64 * set.leading() + 0.4;
            let middle = sheet.area.x + 0.5 * sheet.area.w;
            canvas.text(text, [middle, base], set.align(Align::Centre));
        }
        for (line, text) in y_words.iter().enumerate() {
            let x = area.x + 0.6 + (line + 1) as f64 * set.leading();
            canvas.text_upward(text, [x, sheet.area.y + 0.5 * TALL], set);
        }
    }
    colour_bar(&mut canvas, theme, quantity, &scale, [0.8 + left, bar_top]);
    let top = height - key - 0.6;
    for (kind, p) in kinds.iter().zip(places) {
        let r = Rect::new(0.6 + p[0], top + p[1] + 0.4, 3.0, ROW - 1.0);
        kind.draw(&mut canvas, theme, r);
        canvas.outline(&corners(r), Stroke::solid(theme.muted, 0.4));
        let base = r.y + 0.5 * r.h + 0.5 * small.capital();
        canvas.text(kind.words(), [r.right() + 0.9, base], small);
    }
    Figure::new(
        &words::name(found, &quantity.key),
        canvas,
        words::csv(found, &[q]),
        caption(found, quantity),
        alt(found, q),
    )
}

/// The scale of colours, over all constructs.
fn scale(found: &Sweep, q: usize) -> Scale {
    let values = || {
        let points = found.constructs.iter().flat_map(|c| &c.points);
        points.filter_map(|p| p.values[q])
    };
    Scale::around(values().fold(f64::INFINITY, f64::min), values().fold(f64::NEG_INFINITY, f64::max), 7)
}

fn colour_bar(canvas: &mut Canvas, theme: &Theme, quantity: &Quantity, scale: &Scale, at: Point) {
    let set = Type::new(theme.text, theme.ink);
    let bar = Rect::new(at[0], at[1], (0.4 * theme.width).max(50.0), BAR);
    canvas.text(&short(quantity), [bar.x, bar.y - 1.0], set);
    let pieces = 64;
    for k in 0..pieces {
        let share = |k: i32| f64::from(k) / f64::from(pieces);
        let v = scale.lo + (scale.hi - scale.lo) * share(2 * k + 1) / 2.0;
        // To the end, each over the last, so that no seam shows.
        let (from, to) = (bar.x + share(k) * bar.w, bar.right());
        canvas.fill(Rect::new(from, bar.y, to - from, bar.h), tone(theme, scale, v));
    }
    canvas.outline(&corners(bar), Stroke::solid(theme.ink, theme.hair));
    for tick in scale.ticks() {
        let x = bar.x + (tick - scale.lo) / (scale.hi - scale.lo) * bar.w;
        canvas.line([x, bar.bottom()], [x, bar.bottom() + 0.8], Stroke::solid(theme.ink, theme.hair));
        let base = bar.bottom() + 1.4 + set.capital();
        canvas.text(&scale.words(tick), [x, base], set.align(Align::Centre));
    }
}

/// The range of a construct's values, and how its points end.
fn note(found: &Sweep, swept: &Swept, q: usize) -> String {
    let ends = words::ends(swept, words::total(found));
    format!("{}; {ends}", range(found, swept, q))
}

fn range(found: &Sweep, swept: &Swept, q: usize) -> String {
    let values = || swept.points.iter().filter_map(|p| p.values[q]);
    let (lo, hi) = (values().fold(f64::INFINITY, f64::min), values().fold(f64::NEG_INFINITY, f64::max));
    if lo > hi {
        return "no value".to_owned();
    }
    let digits = decimals((hi - lo).max(0.02 * hi.abs())).min(2);
    let unit = &found.quantities[q].unit;
    if lo == hi {
        return format!("{} {unit}", number(lo, digits)).trim_end().to_owned();
    }
    format!("{} to {} {unit}", number(lo, digits), number(hi, digits)).trim_end().to_owned()
}

fn caption(found: &Sweep, quantity: &Quantity) -> String {
    let label = &quantity.label;
    let mut chars = label.chars();
    let label: String = chars.next().map_or_else(String::new, |c| c.to_uppercase().chain(chars).collect());
    format!(
        "{}{label}{} over {} and {}, one map a construct, on one scale of colours. A cell is one computed point; cells are of one size, whatever the distance of their values. Lines: contours, linear between points, scraps left out, and none on a map that is all but flat{}. Hatched cells have no value, for the reason in the key. {}",
        found.question.as_ref().map_or_else(String::new, |q| format!("{q} ")),
        if quantity.unit.is_empty() { String::new() } else { format!(" ({})", signed(&quantity.unit)) },
        input::words(&found.axes[0].path),
        input::words(&found.axes[1].path),
        if quantity.unit == "mm" { ", the heavy ones 1 and 2 mm where they lie in the range" } else { "" },
        words::done(found)
    )
}

fn alt(found: &Sweep, q: usize) -> String {
    let list: Vec<String> =
        found.constructs.iter().map(|c| format!("{}: {}", c.construct, note(found, c, q))).collect();
    format!(
        "Maps of {} over {} and {}. {}.",
        found.quantities[q].label,
        words::axis(&found.axes[0]),
        words::axis(&found.axes[1]),
        list.join(". ")
    )
}
