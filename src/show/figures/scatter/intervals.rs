//! Figure "scatter-intervals": medians with their intervals, construct under construct.

use super::glyph::interval;
use super::words::{self, decimals, number, scattering, short};
use crate::show::figures::axis::Scale;
use crate::show::figures::canvas::{Align, Canvas, Stroke, Type};
use crate::show::figures::csv::{Csv, field};
use crate::show::figures::figure::Figure;
use crate::show::figures::font::Face;
use crate::show::figures::label::wrap;
use crate::show::figures::rect::Rect;
use crate::show::figures::subject::letter;
use crate::show::figures::theme::Theme;
use crate::study::result::{Quantiles, Scatter, Scattered};

/// What is drawn.
const KEYS: [&str; 4] = ["load-1mm", "load-2mm", "compression", "step"];
/// An articular step beyond these is called one, mm.
const LIMITS: [f64; 2] = [-2.0, 2.0];

/// Draws the figure.
pub(super) fn intervals(found: &Scatter, theme: &Theme) -> Figure {
    let set = Type::new(theme.text, theme.ink);
    let small = Type::new(theme.small, theme.muted);
    let wide = theme.is_wide();
    let columns = if wide { 2 } else { 1 };
    let names: Vec<Vec<String>> =
        found.constructs.iter().map(|c| wrap(&c.construct, set, if wide { 24.0 } else { 22.0 })).collect();
    let left = names.iter().flatten().map(|l| set.width(l)).fold(0.0, f64::max) + 3.0;
    let column = (theme.width - 5.0 * (columns - 1) as f64) / columns as f64;
    let most = names.iter().map(Vec::len).max().unwrap_or(1) as f64;
    let row = (2.0 * small.leading() + 4.4).max(most * set.leading() + 1.5);
    let (head, foot) = (set.capital() + small.leading() + 3.4, 1.4 + set.capital() + 1.6);
    let tall = head + row * names.len().max(1) as f64 + foot;
    let rows = KEYS.len().div_ceil(columns);
    let height = rows as f64 * (tall + 2.5) - 2.5;
    let mut canvas = Canvas::new(theme.width, height);
    for (p, key) in KEYS.iter().enumerate() {
        let at = [(p % columns) as f64 * (column + 5.0), (p / columns) as f64 * (tall + 2.5)];
        let title = Type::new(theme.title, theme.ink).face(Face::Bold);
        let base = at[1] + set.capital() + 0.8;
        canvas.text(&letter(p), [at[0] + 0.6, base], title);
        if let Some(q) = found.constructs.first().and_then(|c| scattering(c, key)) {
            canvas.text(&short(&q.quantity), [at[0] + 4.6, base], set);
        }
        let area = Rect::new(at[0] + left, at[1] + head, column - left - 3.0, tall - head - foot);
        panel(&mut canvas, theme, found, key, area);
        for (k, name) in names.iter().enumerate() {
            let (colour, _) = theme.series(k);
            let words = Type::new(theme.text, colour.shade(0.3)).align(Align::Right);
            let middle = area.y + (k as f64 + 0.5) * row;
            let mut y = middle - 0.5 * (name.len() as f64 - 1.0) * set.leading() + 0.5 * set.capital();
            for line in name {
                canvas.text(line, [area.x - 2.0, y], words);
                y += set.leading();
            }
        }
    }
    Figure::new("scatter-intervals", canvas, csv(found), caption(found), alt(found))
}

fn quantiles<'a>(construct: &'a Scattered, key: &str) -> Option<&'a Quantiles> {
    scattering(construct, key)?.quantiles.as_ref()
}

/// The scale of a quantity: loads at 1 and 2 mm share one, from zero; a step shows its limits.
fn scale(found: &Scatter, key: &str) -> Scale {
    let keys: &[&str] = if key.starts_with("load") { &KEYS[..2] } else { &[key] };
    let all = || {
        let pairs = found.constructs.iter().flat_map(|c| keys.iter().map(move |k| (c, *k)));
        pairs.filter_map(|(c, k)| quantiles(c, k))
    };
    let mut lo = all().map(|q| q.low.value).fold(f64::INFINITY, f64::min);
    let mut hi = all().map(|q| q.high.value).fold(f64::NEG_INFINITY, f64::max);
    if key == "step" {
        (lo, hi) = (lo.min(LIMITS[0]), hi.max(LIMITS[1]));
    }
    Scale::load(lo, hi, 5)
}

fn panel(canvas: &mut Canvas, theme: &Theme, found: &Scatter, key: &str, area: Rect) {
    let scale = scale(found, key);
    let across = |v: f64| area.x + (v - scale.lo) / (scale.hi - scale.lo) * area.w;
    let set = Type::new(theme.text, theme.ink).align(Align::Centre);
    let small = Type::new(theme.small, theme.ink).align(Align::Centre);
    let axis = Stroke::solid(theme.ink, theme.hair);
    let (top, bottom) = (area.y - 0.5, area.bottom());
    canvas.line([area.x, bottom], [area.right(), bottom], axis);
    for tick in scale.ticks() {
        let x = across(tick);
        if tick != 0.0 {
            canvas.line([x, top], [x, bottom], Stroke::solid(theme.faint.tint(0.4), theme.hair));
        }
        canvas.line([x, bottom], [x, bottom + 0.8], axis);
        canvas.text(&scale.words(tick), [x, bottom + 1.4 + set.capital()], set);
    }
    canvas.line([across(0.0), top], [across(0.0), bottom], axis);
    if key == "step" {
        for limit in LIMITS {
            let x = across(limit);
            canvas.line([x, top], [x, bottom], Stroke::dashed(theme.ink, theme.outline, &[0.9, 0.6]));
            let words = format!("{} mm", number(limit, 0));
            canvas.text(&words, [x, top - 0.7], small);
        }
    }
    let row = area.h / found.constructs.len().max(1) as f64;
    for (k, construct) in found.constructs.iter().enumerate() {
        let y = area.y + (k as f64 + 0.5) * row;
        let set = Type::new(theme.small, theme.ink);
        let note = Type::new(theme.small, theme.muted);
        let Some(q) = quantiles(construct, key) else {
            let words = format!("no value in {} samples", found.done);
            let x = area.x + 0.5 * area.w;
            canvas.text_on_patch(&words, [x, y + 0.5 * set.capital()], small, theme.paper);
            continue;
        };
        interval(canvas, theme, k, across, y, q);
        // Words above and below the mark, kept inside the panel.
        let values = words::median(q);
        let of = format!("{} of {} samples", q.of, found.done);
        for (text, words, base) in [(values, set, y - 1.7), (of, note, y + 1.7 + set.capital())] {
            let half = 0.5 * words.width(&text);
            let x = across(q.median.value).clamp(area.x + half + 0.6, area.right() - half);
            let centred = words.align(Align::Centre);
            canvas.text_on_patch(&text, [x, base], centred, theme.paper);
        }
    }
}

fn csv(found: &Scatter) -> String {
    let mut csv = Csv::new(&[
        "construct",
        "quantity",
        "unit",
        "samples",
        "of",
        "p5",
        "p5_error",
        "p25",
        "median",
        "median_error",
        "p75",
        "p95",
        "p95_error",
    ]);
    for construct in &found.constructs {
        for q in KEYS.iter().filter_map(|key| scattering(construct, key)) {
            let mut row = vec![field(&construct.construct), q.quantity.key.clone(), field(&q.quantity.unit)];
            let of = q.quantiles.as_ref().map_or(0, |v| v.of);
            row.extend([of.to_string(), found.done.to_string()]);
            match &q.quantiles {
                None => row.extend(vec![String::new(); 8]),
                Some(v) => {
                    let error = |e: Option<f64>| e.map_or(String::new(), |e| e.to_string());
                    row.extend([
                        v.low.value.to_string(),
                        error(v.low.error),
                        v.lower.to_string(),
                        v.median.value.to_string(),
                        error(v.median.error),
                        v.upper.to_string(),
                        v.high.value.to_string(),
                        error(v.high.error),
                    ]);
                }
            }
            csv.row(row);
        }
    }
    csv.finish()
}

fn caption(found: &Scatter) -> String {
    format!(
        "What each construct does over all samples. Marker: median; bar: 25–75 %; line: 5–95 % of the samples that have the quantity, whose number stands below; above, the median and in brackets 5 to 95 %. Loads at 1 and 2 mm ({} push) are on one scale; a load is absent where the push does not get so far, so that loads at 2 mm are those of the stronger samples. Dashed lines: an articular step of 2 mm, proud (positive) or sunk. {}",
        found.direction,
        words::drawn_and_ended(found)
    )
}

fn alt(found: &Scatter) -> String {
    let list: Vec<String> = found
        .constructs
        .iter()
        .map(|c| {
            let parts: Vec<String> = KEYS
                .iter()
                .filter_map(|key| scattering(c, key))
                .map(|q| match &q.quantiles {
                    None => format!("{}: no value", q.quantity.label),
                    Some(v) => {
                        let digits = decimals(v.high.value - v.low.value);
                        format!(
                            "{}: median {} {}, 5–95 % {} to {}",
                            q.quantity.label,
                            number(v.median.value, digits),
                            q.quantity.unit,
                            number(v.low.value, digits),
                            number(v.high.value, digits)
                        )
                    }
                })
                .collect();
            format!("{}: {}", c.construct, parts.join("; "))
        })
        .collect();
    format!("Medians with intervals, a row a construct. {}.", list.join(". "))
}
