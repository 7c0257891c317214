//! Figure "sweep-…" as a map: one quantity over two inputs.

mod cell;
mod sheet;

use super::words::{self, value};
use crate::show::chart::*;
use crate::show::figures::input;
use crate::show::figures::scatter::words::short;
use crate::study::result::{Quantity, Sweep, Swept};
use cell::Kind;
use sheet::{Sheet, tone};

/// Least width of a panel, mm.
const LEAST: f64 = 66.0;
/// Height of a map, mm.
const TALL: f64 = 42.0;
/// Height of the scale of colours, mm.
const BAR: f64 = 2.2;

/// Maps of one quantity (its place in [`Sweep::quantities`]) over two inputs, one panel a construct,
/// with labelled contours.
pub fn sweep_map(found: &Sweep, q: usize, theme: &Theme) -> Figure {
    let quantity = &found.quantities[q];
    let axes = [&found.axes[0], &found.axes[1]];
    let (set, small) = (theme.words(), theme.fine());
    let names: Vec<&str> = found.constructs.iter().map(|c| c.construct.as_str()).collect();
    let panels = Panels::new(theme, &names, theme.width, LEAST);
    // One scale of colours over all constructs.
    let [lo, hi] = extremes(found.constructs.iter().flat_map(|c| &c.points).filter_map(|p| p.values[q]));
    let scale = Scale::around(lo, hi, 7);
    let y_words = wrap(&words::axis(axes[1]), set, TALL);
    let y_numbers = set.widest(axes[1].values.iter().map(|v| value(axes[1], *v)));
    let left = 1.0 + y_words.len() as f64 * set.leading() + 1.2 + y_numbers + 1.3;
    let x_words = wrap(&words::axis(axes[0]), set, panels.width - left - 2.0);
    let notes: Vec<Vec<String>> =
        found.constructs.iter().map(|c| wrap(&note(found, c, q), small, panels.width - left - 1.0)).collect();
    let over = notes.iter().map(Vec::len).max().unwrap_or(0) as f64 * small.leading() + 1.0;
    let tall = over + TALL + 2.8 + set.capital() + x_words.len() as f64 * set.leading();
    let key = Kind::key(found, q, theme, theme.width - 1.2);
    let bar = panels.height(tall) + 2.0 + set.leading();
    let low = bar + BAR + 2.0 + set.leading();
    let mut canvas = Canvas::new(theme.width, low + key.height() + 0.6);
    panels.draw(&mut canvas, theme, tall, "", |canvas, k, area| {
        canvas.lines(&notes[k], [area.x + left, area.y + small.capital()], theme.note());
        let map = Rect::new(area.x + left, area.y + over, area.w - left - 1.5, TALL);
        let [x, y] = map.middle();
        Sheet { theme, area: map, axes, scale, quantity: (quantity, q) }.draw(canvas, &found.constructs[k]);
        let base = map.bottom() + 2.0 + set.capital() + set.leading();
        canvas.lines(&x_words, [x, base], set.centred());
        for (line, text) in y_words.iter().enumerate() {
            canvas.text_upward(text, [area.x + 0.6 + (line + 1) as f64 * set.leading(), y], set);
        }
    });
    colour_bar(&mut canvas, theme, quantity, &scale, [0.8 + left, bar]);
    key.draw(&mut canvas, [0.6, low]);
    let csv = words::csv(found, &[q]);
    Figure::new(&words::name(found, &quantity.key), canvas, csv, caption(found, quantity), alt(found, q))
}

fn colour_bar(canvas: &mut Canvas, theme: &Theme, quantity: &Quantity, scale: &Scale, at: Point) {
    const PIECES: i32 = 64;
    let set = theme.words();
    let bar = Rect::new(at[0], at[1], (0.4 * theme.width).max(50.0), BAR);
    canvas.text(&short(quantity), [bar.x, bar.y - 1.0], set);
    for k in 0..PIECES {
        let share = |k: f64| k / f64::from(PIECES);
        let v = scale.lo + (scale.hi - scale.lo) * share(f64::from(k) + 0.5);
        // To the end, each over the last, so that no seam shows.
        let from = bar.x + share(f64::from(k)) * bar.w;
        canvas.fill(Rect::new(from, bar.y, bar.right() - from, bar.h), tone(theme, scale, v));
    }
    canvas.frame(bar, theme.axis());
    level_axis(canvas, theme, *scale, bar, None);
}

/// The range of a construct's values, and how its points end.
fn note(found: &Sweep, swept: &Swept, q: usize) -> String {
    let [lo, hi] = extremes(swept.points.iter().filter_map(|p| p.values[q]));
    let digits = decimals((hi - lo).max(0.02 * hi.abs())).min(2);
    let unit = &found.quantities[q].unit;
    let range = match lo.total_cmp(&hi) {
        std::cmp::Ordering::Greater => "no value".to_owned(),
        std::cmp::Ordering::Equal => format!("{} {unit}", number(lo, digits)),
        std::cmp::Ordering::Less => format!("{} to {} {unit}", number(lo, digits), number(hi, digits)),
    };
    format!("{}; {}", range.trim_end(), words::ends(swept, words::total(found)))
}

fn caption(found: &Sweep, quantity: &Quantity) -> String {
    format!(
        "{}{}{} over {} and {}, one map a construct, on one scale of colours. A cell is one computed point; cells are of one size, whatever the distance of their values. Lines: contours, linear between points, scraps left out, and none on a map that is all but flat{}. Hatched cells have no value, for the reason in the key. {}",
        words::question(found),
        capital(&quantity.label),
        if quantity.unit.is_empty() { String::new() } else { format!(" ({})", signed(&quantity.unit)) },
        input::words(&found.axes[0].path),
        input::words(&found.axes[1].path),
        if quantity.unit == "mm" { ", the heavy ones 1 and 2 mm where they lie in the range" } else { "" },
        words::done(found)
    )
}

fn alt(found: &Sweep, q: usize) -> String {
    let [x, y] = [0, 1].map(|k| words::axis(&found.axes[k]));
    format!(
        "Maps of {} over {x} and {y}. {}.",
        found.quantities[q].label,
        joined(found.constructs.iter().map(|c| format!("{}: {}", c.construct, note(found, c, q))), ". ")
    )
}
