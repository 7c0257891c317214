//! Figures "scatter-difference-…": how often one construct has how much more than another.

use super::*;

/// Least width of a panel, mm.
const LEAST: f64 = 40.0;
/// Height of the histogram, and of the mark below it with its words, mm.
const TALL: f64 = 15.0;
const MARK: f64 = 3.0;
/// The percentiles between which the axis runs.
const SHOWN: [usize; 2] = [1, 99];
/// Most figures of pairs; where there are more pairs, those with the first construct are drawn.
const MOST: usize = 6;

/// The distribution of the difference between two constructs on the same draws, one figure for each
/// pair (of many pairs those with the first construct), one panel for each quantity compared, with
/// the probability of superiority.
pub fn scatter_differences(found: &Scatter, theme: &Theme) -> Vec<Figure> {
    let mut names = distinct(found.pairs.iter().map(|pair| [pair.first.as_str(), pair.second.as_str()]));
    if let (true, Some([first, _])) = (names.len() > MOST, names.first().copied()) {
        names.retain(|both| both[0] == first);
    }
    let figure = |[first, second]: &[&str; 2]| {
        let pairs: Vec<&Paired> = found.pairs.iter().filter(|p| p.first == *first && p.second == *second).collect();
        // The colour of the second construct is that which it has in the other figures.
        let series = found.constructs.iter().take_while(|c| c.construct != *second).count();
        one(found, &pairs, series, theme)
    };
    names.iter().map(figure).collect()
}

fn one(found: &Scatter, pairs: &[&Paired], series: usize, theme: &Theme) -> Figure {
    let (first, second) = (&pairs[0].first, &pairs[0].second);
    let (set, small) = (theme.words(), theme.fine());
    let titles: Vec<String> = pairs.iter().map(|p| short(&p.quantity)).collect();
    let heading = wrap(&format!("{second} minus {first}, on the same draws"), set.bold(), theme.width - 2.0);
    let panels = Panels::new(theme, &titles, theme.width, LEAST).below(heading.len() as f64 * set.leading() + 1.5);
    let said: Vec<Vec<String>> = pairs.iter().map(|p| wrap(&superiority(p), small, panels.width - 2.0)).collect();
    // What lies beyond the axis is said in a row of its own, clear of the bars.
    let lines = said.iter().map(Vec::len).max().unwrap_or(1) + usize::from(pairs.iter().any(|p| outside(p) != [0, 0]));
    let over = lines as f64 * small.leading() + 1.8;
    let tall = over + TALL + MARK + 6.4 + small.leading() + set.capital();
    let mut canvas = Canvas::new(theme.width, panels.height(tall));
    canvas.lines(&heading, [0.6, 0.8 + set.capital()], set.bold());
    panels.draw(&mut canvas, theme, tall, "", |canvas, k, area| {
        canvas.lines(&said[k], [area.x + 0.6, area.y + small.leading() - 0.4], small);
        let plot = Rect::new(area.x + 4.0, area.y + over, area.w - 8.0, TALL);
        match (&pairs[k].difference, &pairs[k].histogram) {
            (Some(q), Some(h)) => panel(canvas, theme, series, pairs[k], plot, (q, h)),
            _ => canvas.text("no draw on which both have it", plot.middle(), small.centred()),
        }
    });
    let name = match found.constructs.first() {
        Some(c) if c.construct != *first => format!("scatter-difference-{second}-from-{first}"),
        _ => format!("scatter-difference-{second}"),
    };
    Figure::new(&name, canvas, numbers(pairs), caption(found, first, second), alt(pairs))
}

/// The scale of a panel: the middle 98 % of the differences and zero.
fn scale(pair: &Paired) -> Scale {
    let [lo, hi] = SHOWN.map(|k| pair.percentiles.get(k).copied().unwrap_or(0.0));
    Scale::around(lo.min(0.0), hi.max(0.0), 5)
}

fn panel(
    canvas: &mut Canvas,
    theme: &Theme,
    series: usize,
    pair: &Paired,
    area: Rect,
    (q, h): (&Quantiles, &Histogram),
) {
    let (scale, (colour, _)) = (scale(pair), theme.series(series));
    let across = |v: f64| area.x + scale.share(v) * area.w;
    let small = theme.fine().centred();
    let (foot, most) = (area.bottom(), h.counts.iter().copied().max().unwrap_or(1).max(1) as f64);
    // The upper edge of the bars between two values.
    let edge = |lo: f64, hi: f64| -> Vec<Point> {
        let bar = |(bin, count): (usize, &u64)| {
            let [from, to] = [bin, bin + 1].map(|k| (h.from + k as f64 * h.width).clamp(lo, hi));
            let y = foot - *count as f64 / most * area.h;
            (from < to).then(|| [[across(from), y], [across(to), y]])
        };
        h.counts.iter().enumerate().filter_map(bar).flatten().collect()
    };
    for (lo, hi, tint) in [(scale.lo, scale.hi, 0.9), (q.low.value, q.high.value, 0.72), (q.lower, q.upper, 0.4)] {
        let mut body = edge(lo.max(scale.lo), hi.min(scale.hi));
        if let (Some(first), Some(last)) = (body.first().copied(), body.last().copied()) {
            body.extend([[last[0], foot], [first[0], foot]]);
            canvas.area(&body, colour.tint(tint));
        }
    }
    canvas.path(&edge(scale.lo, scale.hi), Stroke::solid(colour, theme.hair));
    let zero = across(0.0);
    canvas.line([zero, area.y - 0.6], [zero, foot + MARK + 1.6], Stroke::solid(theme.ink, theme.outline));
    canvas.line([area.x, foot], [area.right(), foot], theme.reference());
    let [low, high] = outside(pair);
    let note = theme.note();
    if low > 0 {
        canvas.text(&format!("‹ {low} beyond"), [area.x - 3.4, area.y - 1.2], note);
    }
    if high > 0 {
        canvas.text(&format!("{high} beyond ›"), [area.right() + 3.4, area.y - 1.2], note.right());
    }
    let axis = Rect::new(area.x, foot, area.w, MARK + 3.8 + small.leading());
    level_axis(canvas, theme, scale, axis, None);
    let y = foot + MARK;
    interval(canvas, theme, series, y, five(q).map(across));
    let words = median(q);
    let half = 0.5 * small.width(&words);
    let x = across(q.median.value).clamp(area.x + half, area.right() - half);
    canvas.text(&words, [x, y + 2.0 + small.capital()], small);
}

/// How many samples lie beyond the axis, at its lower and its upper end.
fn outside(pair: &Paired) -> [u64; 2] {
    let scale = scale(pair);
    let bins = pair
        .histogram
        .iter()
        .flat_map(|h| h.counts.iter().enumerate().map(|(bin, count)| (h.from + (bin as f64 + 0.5) * h.width, *count)));
    bins.fold([0, 0], |[low, high], (middle, count)| match middle {
        m if m < scale.lo => [low + count, high],
        m if m > scale.hi => [low, high + count],
        _ => [low, high],
    })
}

/// The probability of superiority in words.
fn superiority(pair: &Paired) -> String {
    let Some(s) = pair.superiority else {
        return "more: cannot be said".to_owned();
    };
    let error = match (s.error, s.bound) {
        (Some(e), _) => format!("s.e. {:.1}", 100.0 * e),
        (None, Some(b)) if s.value > 0.5 => format!("above {:.1}", 100.0 * b),
        (None, Some(b)) => format!("below {:.1}", 100.0 * b),
        (None, None) => "error not known".to_owned(),
    };
    format!("more on {:.1} % ({error}) of {} draws", 100.0 * s.value, pair.superiority_of)
}

fn numbers(pairs: &[&Paired]) -> String {
    let rows = pairs.iter().flat_map(|pair| {
        let (key, unit) = (&pair.quantity.key, &pair.quantity.unit);
        let q = pair.difference.iter().flat_map(|q| {
            [
                ("samples", q.of as f64, None),
                ("5 %", q.low.value, q.low.error),
                ("25 %", q.lower, None),
                ("median", q.median.value, q.median.error),
                ("75 %", q.upper, None),
                ("95 %", q.high.value, q.high.error),
            ]
        });
        let superiority = pair.superiority.iter().flat_map(|s| {
            let of = ("draws that it rests on", pair.superiority_of as f64, None);
            [("probability of superiority", s.value, s.error), of]
        });
        let values = q.chain(superiority);
        let values = values.map(move |(kind, value, error)| json!([key, unit, kind, "", "", value, error]));
        let counts = pair.histogram.iter().flat_map(move |h| {
            h.counts.iter().enumerate().map(move |(bin, count)| {
                let edges = [bin, bin + 1].map(|k| h.from + k as f64 * h.width);
                json!([key, unit, "count", edges, count, ""])
            })
        });
        values.chain(counts)
    });
    csv("quantity,unit,kind,from,to,value,error".split(','), rows)
}

fn caption(found: &Scatter, first: &str, second: &str) -> String {
    let many = found.constructs.len() * (found.constructs.len() - 1) / 2 > MOST;
    let left_out = if many { "Pairs without the first construct stand in the tables. " } else { "" };
    let drawn = drawn(found);
    format!(
        "{second} minus {first} on the same draws: a histogram of the differences over the draws where both have the quantity, each panel on a scale of its own that leaves out one in a hundred at either end (what lies beyond the axis is counted there). Dark: 25–75 % of the draws; medium: 5–95 %. Below it marker, bar and line for median, 25–75 % and 5–95 %, with the numbers. Upright line: no difference. \"More on\": probability of superiority, with its Monte Carlo standard error in percent, or, where all draws agree, its exact bound at 95 %: the share of draws on which {second} has more than {first}; of what one wants more of, a stable construct has more than one whose fixation fails, and draws where it fails in both are left out. {left_out}{drawn}"
    )
}

fn alt(pairs: &[&Paired]) -> String {
    let said = |p: &&Paired| match &p.difference {
        None => format!("{}: no draw on which both have it", p.quantity.label),
        Some(q) => {
            format!("{}: median difference {}, {}", p.quantity.label, spoken(q, &p.quantity.unit), superiority(p))
        }
    };
    let (first, second, said) = (&pairs[0].first, &pairs[0].second, joined(pairs.iter().map(said), ". "));
    format!("Histograms of paired differences, {second} minus {first}. {said}.")
}
