//! Figures "scatter-difference-…": how often one construct has how much more than another.

use super::glyph::interval;
use super::words::{self, decimals, number, short};
use crate::show::figures::axis::Scale;
use crate::show::figures::canvas::{Align, Canvas, Stroke, Type};
use crate::show::figures::csv::{Csv, field};
use crate::show::figures::figure::Figure;
use crate::show::figures::font::Face;
use crate::show::figures::label::wrap;
use crate::show::figures::rect::{Point, Rect};
use crate::show::figures::subject::Panels;
use crate::show::figures::theme::Theme;
use crate::study::result::{Histogram, Paired, Quantiles, Scatter};

/// Least width of a panel, mm.
const LEAST: f64 = 40.0;
/// Height of the histogram, and of the mark below it with its words, mm.
const TALL: f64 = 15.0;
const MARK: f64 = 3.0;
/// The percentiles between which the axis runs.
const SHOWN: [usize; 2] = [1, 99];

/// Most figures of pairs; where there are more pairs, those with the first construct are drawn.
const MOST: usize = 6;

/// Draws one figure for each pair of constructs, first those with the first construct.
pub(super) fn differences(found: &Scatter, theme: &Theme) -> Vec<Figure> {
    let mut names: Vec<[&str; 2]> = Vec::new();
    for pair in &found.pairs {
        let both = [pair.first.as_str(), pair.second.as_str()];
        if !names.contains(&both) {
            names.push(both);
        }
    }
    if let (true, Some([first, _])) = (names.len() > MOST, names.first().copied()) {
        names.retain(|both| both[0] == first);
    }
    names
        .iter()
        .map(|[first, second]| {
            let own = |p: &&Paired| p.first == *first && p.second == *second;
            let pairs: Vec<&Paired> = found.pairs.iter().filter(own).collect();
            // The colour of the second construct is that which it has in the other figures.
            let places = found.constructs.iter();
            let series = places.take_while(|c| c.construct != *second).count();
            one(found, &pairs, series, theme)
        })
        .collect()
}

fn one(found: &Scatter, pairs: &[&Paired], series: usize, theme: &Theme) -> Figure {
    let (first, second) = (&pairs[0].first, &pairs[0].second);
    let set = Type::new(theme.text, theme.ink);
    let small = Type::new(theme.small, theme.ink);
    let titles: Vec<String> = pairs.iter().map(|p| short(&p.quantity)).collect();
    let titles: Vec<&str> = titles.iter().map(String::as_str).collect();
    let panels = Panels::titled(theme, &titles, theme.width, LEAST);
    let heading = wrap(&format!("{second} minus {first}, on the same draws"), set.face(Face::Bold), theme.width - 2.0);
    let words: Vec<Vec<String>> = pairs.iter().map(|p| wrap(&superiority(p), small, panels.width - 2.0)).collect();
    let lines = words.iter().map(Vec::len).max().unwrap_or(1) as f64;
    let top = heading.len() as f64 * set.leading() + 1.5;
    // What lies beyond the axis is told in a row of its own, clear of the bars.
    let out = pairs.iter().any(|p| outside(p) != [0, 0]);
    let over = (lines + f64::from(out)) * small.leading() + 1.8;
    let under = MARK + 2.4 + small.leading() + 1.4 + 1.4 + set.capital() + 1.2;
    let tall = over + TALL + under;
    let mut canvas = Canvas::new(theme.width, top + panels.height(tall));
    for (line, text) in heading.iter().enumerate() {
        let base = 0.8 + set.capital() + line as f64 * set.leading();
        canvas.text(text, [0.6, base], set.face(Face::Bold));
    }
    canvas.below(top, |canvas| {
        for (k, pair) in pairs.iter().enumerate() {
            panels.title(canvas, theme, k, tall);
            let area = panels.area(k, tall);
            for (line, text) in words[k].iter().enumerate() {
                let base = area.y + (line + 1) as f64 * small.leading() - 0.4;
                canvas.text(text, [area.x + 0.6, base], small);
            }
            let plot = Rect::new(area.x + 4.0, area.y + over, area.w - 8.0, TALL);
            match (&pair.difference, &pair.histogram) {
                (Some(q), Some(h)) => panel(canvas, theme, series, pair, plot, (q, h)),
                _ => {
                    let at = [plot.x + 0.5 * plot.w, plot.y + 0.6 * plot.h];
                    let none = "no draw on which both have it";
                    canvas.text(none, at, small.align(Align::Centre));
                }
            }
        }
    });
    let name = match found.constructs.first() {
        Some(c) if c.construct != *first => format!("scatter-difference-{second}-from-{first}"),
        _ => format!("scatter-difference-{second}"),
    };
    Figure::new(&name, canvas, csv(pairs), caption(found, first, second), alt(pairs))
}

/// The probability of superiority in words.
fn superiority(pair: &Paired) -> String {
    pair.superiority.map_or_else(
        || "more: cannot be said".to_owned(),
        |s| {
            let error = match (s.error, s.bound) {
                (Some(e), _) => format!("s.e. {:.1}", 100.0 * e),
                (None, Some(b)) if s.value > 0.5 => format!("above {:.1}", 100.0 * b),
                (None, Some(b)) => format!("below {:.1}", 100.0 * b),
                (None, None) => "error not known".to_owned(),
            };
            format!("more on {:.1} % ({error}) of {} draws", 100.0 * s.value, pair.superiority_of)
        },
    )
}

/// The scale of a panel: the middle 98 % of the differences and zero.
fn scale(pair: &Paired) -> Scale {
    let at = |k: usize| pair.percentiles.get(k).copied().unwrap_or(0.0);
    Scale::around(at(SHOWN[0]).min(0.0), at(SHOWN[1]).max(0.0), 5)
}

fn panel(
    canvas: &mut Canvas,
    theme: &Theme,
    series: usize,
    pair: &Paired,
    area: Rect,
    (q, h): (&Quantiles, &Histogram),
) {
    let scale = scale(pair);
    let across = |v: f64| area.x + (v - scale.lo) / (scale.hi - scale.lo) * area.w;
    let (colour, _) = theme.series(series);
    let set = Type::new(theme.text, theme.ink).align(Align::Centre);
    let small = Type::new(theme.small, theme.ink).align(Align::Centre);
    let most = h.counts.iter().copied().max().unwrap_or(1).max(1) as f64;
    // The upper edge of the bars between two values.
    let edge = |lo: f64, hi: f64| -> Vec<Point> {
        let mut points = Vec::new();
        for (bin, count) in h.counts.iter().enumerate() {
            let from = (h.from + bin as f64 * h.width).max(lo);
            let to = (h.from + (bin + 1) as f64 * h.width).min(hi);
            if from < to {
                let y = area.bottom() - *count as f64 / most * area.h;
                points.extend([[across(from), y], [across(to), y]]);
            }
        }
        points
    };
    for (lo, hi, tint) in [(scale.lo, scale.hi, 0.9), (q.low.value, q.high.value, 0.72), (q.lower, q.upper, 0.4)] {
        let mut body = edge(lo.max(scale.lo), hi.min(scale.hi));
        if let (Some(first), Some(last)) = (body.first().copied(), body.last().copied()) {
            body.extend([[last[0], area.bottom()], [first[0], area.bottom()]]);
            canvas.area(&body, colour.tint(tint));
        }
    }
    canvas.path(&edge(scale.lo, scale.hi), Stroke::solid(colour, theme.hair));
    let axis = Stroke::solid(theme.ink, theme.hair);
    let line = area.bottom() + MARK + 2.4 + small.leading() + 1.4;
    let zero = across(0.0);
    canvas.line([zero, area.y - 0.6], [zero, area.bottom() + MARK + 1.6], Stroke::solid(theme.ink, theme.outline));
    canvas.line([area.x, area.bottom()], [area.right(), area.bottom()], Stroke::solid(theme.faint, theme.hair));
    beyond(canvas, theme, area, outside(pair));
    canvas.line([area.x, line], [area.right(), line], axis);
    for tick in scale.ticks() {
        let x = across(tick);
        canvas.line([x, line], [x, line + 0.8], axis);
        canvas.text(&scale.words(tick), [x, line + 1.4 + set.capital()], set);
    }
    let y = area.bottom() + MARK;
    interval(canvas, theme, series, across, y, q);
    let words = words::median(q);
    let half = 0.5 * small.width(&words);
    let x = across(q.median.value).clamp(area.x + half, area.right() - half);
    canvas.text(&words, [x, y + 2.0 + small.capital()], small);
}

/// How many samples lie beyond the axis, at its lower and its upper end.
fn outside(pair: &Paired) -> [u64; 2] {
    let Some(h) = &pair.histogram else {
        return [0, 0];
    };
    let scale = scale(pair);
    let middle = |bin: usize| h.from + (bin as f64 + 0.5) * h.width;
    let count = |out: &dyn Fn(f64) -> bool| -> u64 {
        let bins = h.counts.iter().enumerate();
        bins.filter(|(bin, _)| out(middle(*bin))).map(|(_, c)| c).sum()
    };
    [count(&|v| v < scale.lo), count(&|v| v > scale.hi)]
}

/// Says so, above the ends of the axis.
fn beyond(canvas: &mut Canvas, theme: &Theme, area: Rect, [low, high]: [u64; 2]) {
    let small = Type::new(theme.small, theme.muted);
    let base = area.y - 1.2;
    if low > 0 {
        let words = format!("‹ {low} beyond");
        canvas.text(&words, [area.x - 3.4, base], small);
    }
    if high > 0 {
        let words = format!("{high} beyond ›");
        let at = [area.right() + 3.4, base];
        canvas.text(&words, at, small.align(Align::Right));
    }
}

fn csv(pairs: &[&Paired]) -> String {
    let mut csv = Csv::new(&["quantity", "unit", "kind", "from", "to", "value", "error"]);
    for pair in pairs {
        let mut row = |kind: &str, from: String, to: String, value: f64, error: Option<f64>| {
            csv.row([
                pair.quantity.key.clone(),
                field(&pair.quantity.unit),
                kind.to_owned(),
                from,
                to,
                value.to_string(),
                error.map_or(String::new(), |e| e.to_string()),
            ]);
        };
        let none = String::new;
        if let Some(q) = &pair.difference {
            row("samples", none(), none(), q.of as f64, None);
            row("5 %", none(), none(), q.low.value, q.low.error);
            row("25 %", none(), none(), q.lower, None);
            row("median", none(), none(), q.median.value, q.median.error);
            row("75 %", none(), none(), q.upper, None);
            row("95 %", none(), none(), q.high.value, q.high.error);
        }
        if let Some(s) = pair.superiority {
            row("probability of superiority", none(), none(), s.value, s.error);
            row("draws that it rests on", none(), none(), pair.superiority_of as f64, None);
        }
        if let Some(h) = &pair.histogram {
            for (bin, count) in h.counts.iter().enumerate() {
                let edge = |k: usize| (h.from + k as f64 * h.width).to_string();
                row("count", edge(bin), edge(bin + 1), *count as f64, None);
            }
        }
    }
    csv.finish()
}

fn caption(found: &Scatter, first: &str, second: &str) -> String {
    format!(
        "{second} minus {first} on the same draws: a histogram of the differences over the draws where both have the quantity, each panel on a scale of its own that leaves out one in a hundred at either end (what lies beyond the axis is counted there). Dark: 25–75 % of the draws; medium: 5–95 %. Below it marker, bar and line for median, 25–75 % and 5–95 %, with the numbers. Upright line: no difference. \"More on\": probability of superiority, with its Monte Carlo standard error in percent, or, where all draws agree, its exact bound at 95 %: the share of draws on which {second} has more than {first}; of what one wants more of, a construct that is held has more than one that is not, and draws where neither is held are left out. {}{}",
        if found.constructs.len() * (found.constructs.len() - 1) / 2 > MOST {
            "Pairs without the first construct stand in the tables. "
        } else {
            ""
        },
        words::drawn(found)
    )
}

fn alt(pairs: &[&Paired]) -> String {
    let list: Vec<String> = pairs
        .iter()
        .map(|p| {
            let what = &p.quantity;
            match &p.difference {
                None => format!("{}: no draw on which both have it", what.label),
                Some(q) => {
                    let digits = decimals(q.high.value - q.low.value);
                    format!(
                        "{}: median difference {} {}, 5–95 % {} to {}, {}",
                        what.label,
                        number(q.median.value, digits),
                        what.unit,
                        number(q.low.value, digits),
                        number(q.high.value, digits),
                        superiority(p)
                    )
                }
            }
        })
        .collect();
    format!("Histograms of paired differences, {} minus {}. {}.", pairs[0].second, pairs[0].first, list.join(". "))
}
