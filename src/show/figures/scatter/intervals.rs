//! Figure "scatter-intervals": medians with their intervals, construct under construct.

use super::*;

/// A step-off beyond these is called one, mm.
const LIMITS: [f64; 2] = [-2.0, 2.0];

/// Medians with their intervals of 25–75 and 5–95 %, construct under construct: load at 1 and 2 mm,
/// compression, step-off.
pub fn scatter_intervals(found: &Scatter, theme: &Theme) -> Figure {
    let (set, small) = (theme.words(), theme.fine());
    let columns = if theme.is_wide() { 2 } else { 1 };
    let names: Vec<Vec<String>> =
        found.constructs.iter().map(|c| wrap(&c.construct, set, 20.0 + 2.0 * columns as f64)).collect();
    let left = set.widest(names.iter().flatten()) + 3.0;
    let column = (theme.width - 5.0 * (columns - 1) as f64) / columns as f64;
    let most = names.iter().map(Vec::len).max().unwrap_or(1) as f64;
    let row = (2.0 * small.leading() + 4.4).max(most * set.leading() + 1.5);
    let (head, foot) = (set.capital() + small.leading() + 3.4, 3.0 + set.capital());
    let tall = head + row * names.len().max(1) as f64 + foot;
    let mut canvas = Canvas::new(theme.width, KEYS.len().div_ceil(columns) as f64 * (tall + 2.5) - 2.5);
    for (p, key) in KEYS.iter().enumerate() {
        let at = [(p % columns) as f64 * (column + 5.0), (p / columns) as f64 * (tall + 2.5)];
        let base = at[1] + set.capital() + 0.8;
        canvas.text(&letter(p), [at[0] + 0.6, base], theme.heading());
        if let Some(q) = found.constructs.first().and_then(|c| scattering(c, key)) {
            canvas.text(&short(&q.quantity), [at[0] + 4.6, base], set);
        }
        let area = Rect::new(at[0] + left, at[1] + head, column - left - 3.0, tall - head - foot);
        panel(&mut canvas, theme, found, key, area);
        for (k, name) in names.iter().enumerate() {
            let middle = area.y + (k as f64 + 0.5) * row;
            let base = middle - 0.5 * (name.len() as f64 - 1.0) * set.leading() + 0.5 * set.capital();
            canvas.lines(name, [area.x - 2.0, base], set.in_colour(theme.series(k).0).right());
        }
    }
    Figure::new("scatter-intervals", canvas, numbers(found), caption(found), alt(found))
}

fn quantiles<'a>(construct: &'a Scattered, key: &str) -> Option<&'a Quantiles> {
    scattering(construct, key)?.quantiles.as_ref()
}

/// The scale of a quantity: loads at 1 and 2 mm share one, from zero; a step-off shows its limits.
fn scale(found: &Scatter, key: &str) -> Scale {
    let keys: &[&str] = if key.starts_with("load") { &KEYS[..2] } else { &[key] };
    let pairs = found.constructs.iter().flat_map(|c| keys.iter().map(move |k| (c, *k)));
    let ends = pairs.filter_map(|(c, k)| quantiles(c, k)).flat_map(|q| [q.low.value, q.high.value]);
    let [lo, hi] = extremes(ends.chain(LIMITS.into_iter().filter(|_| key == "step")));
    Scale::load(lo, hi, 5)
}

fn panel(canvas: &mut Canvas, theme: &Theme, found: &Scatter, key: &str, area: Rect) {
    let (scale, small) = (scale(found, key), theme.fine().centred());
    let across = |v: f64| area.x + scale.share(v) * area.w;
    let (top, bottom) = (area.y - 0.5, area.bottom());
    let grid = Stroke::solid(theme.faint.tint(0.4), theme.hair);
    level_axis(canvas, theme, scale, Rect::new(area.x, top, area.w, bottom - top), Some(grid));
    for limit in LIMITS.into_iter().filter(|_| key == "step") {
        let x = across(limit);
        canvas.line([x, top], [x, bottom], Stroke::dashed(theme.ink, theme.outline, &[0.9, 0.6]));
        canvas.text(&format!("{} mm", number(limit, 0)), [x, top - 0.7], small);
    }
    let row = area.h / found.constructs.len().max(1) as f64;
    for (k, construct) in found.constructs.iter().enumerate() {
        let y = area.y + (k as f64 + 0.5) * row;
        let Some(q) = quantiles(construct, key) else {
            let at = [area.middle()[0], y + 0.5 * small.capital()];
            canvas.text_on_patch(&format!("no value in {} samples", found.done), at, small, theme.paper);
            continue;
        };
        interval(canvas, theme, k, y, five(q).map(across));
        // Words above and below the mark, kept inside the panel.
        let of = format!("{} of {} samples", q.of, found.done);
        let below = y + 1.7 + small.capital();
        for (text, set, base) in [(super::median(q), theme.fine(), y - 1.7), (of, theme.note(), below)] {
            let half = 0.5 * set.width(&text);
            let x = across(q.median.value).clamp(area.x + half + 0.6, area.right() - half);
            canvas.text_on_patch(&text, [x, base], set.centred(), theme.paper);
        }
    }
}

fn numbers(found: &Scatter) -> String {
    let rows = found.constructs.iter().flat_map(|construct| {
        KEYS.iter().filter_map(|key| scattering(construct, key)).map(|q| {
            let (what, v) = (&q.quantity, q.quantiles.as_ref());
            let of = |end: fn(&Quantiles) -> &Estimate| [v.map(|v| end(v).value), v.and_then(|v| end(v).error)];
            let (lower, upper) = (v.map(|v| v.lower), v.map(|v| v.upper));
            let begin = json!([construct.construct, what.key, what.unit, v.map_or(0, |v| v.of), found.done]);
            json!([begin, of(|v| &v.low), lower, of(|v| &v.median), upper, of(|v| &v.high)])
        })
    });
    let heading = "construct,quantity,unit,samples,of,p5,p5_error,p25,median,median_error,p75,p95,p95_error";
    csv(heading.split(','), rows)
}

fn caption(found: &Scatter) -> String {
    let (direction, ended) = (&found.direction, drawn_and_ended(found));
    format!(
        "What each construct does over all samples. Marker: median; bar: 25–75 %; line: 5–95 % of the samples that have the quantity, whose number stands below; above, the median and in brackets 5 to 95 %. Loads at 1 and 2 mm ({direction} push) are on one scale; a load is absent where the push does not get so far, so that loads at 2 mm are those of the stronger samples. Dashed lines: a step-off of 2 mm, proud (positive) or recessed. {ended}"
    )
}

fn alt(found: &Scatter) -> String {
    let of = |c: &Scattered| {
        let parts = KEYS.iter().filter_map(|key| scattering(c, key)).map(|q| {
            let said = q.quantiles.as_ref().map(|v| format!("median {}", super::spoken(v, &q.quantity.unit)));
            format!("{}: {}", q.quantity.label, said.unwrap_or_else(|| "no value".to_owned()))
        });
        format!("{}: {}", c.construct, joined(parts, "; "))
    };
    format!("Medians with intervals, a row a construct. {}.", joined(found.constructs.iter().map(of), ". "))
}
