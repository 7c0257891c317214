//! Figure "scatter-fan": the band of the load–displacement curve of each construct.

use super::*;

/// Least width of a panel, mm.
const LEAST: f64 = 54.0;
/// Names of the edges, as in [`BandPoint::loads`].
const EDGES: [&str; 5] = ["5 %", "25 %", "median", "75 %", "95 %"];
/// Displacements that are marked, mm.
const READINGS: [f64; 2] = [1.0, 2.0];
/// Room above a plot for the words of its readings, mm.
const ABOVE: f64 = 4.2;

/// Load–displacement curves of each construct: median and the bands of 25–75 and 5–95 % of the
/// samples that get there, on one scale, with how many those are.
pub fn scatter_fan(found: &Scatter, theme: &Theme) -> Figure {
    let names: Vec<&str> = found.constructs.iter().map(|c| c.construct.as_str()).collect();
    let panels = Panels::new(theme, &names, theme.width, LEAST);
    let (set, note) = (theme.words(), theme.note());
    let bands = found.constructs.iter().flat_map(|c| &c.band);
    let [lo, hi] = extremes(bands.filter_map(|p| p.loads).flatten());
    let (x, y) = (Scale::exact(found.to, 4), Scale::load(lo, hi, 5));
    let left = y.room(&set);
    let ends: Vec<Vec<End<'_>>> = (0..names.len()).map(|k| ends(theme, k, &found.constructs[k])).collect();
    let right = ends.iter().map(|e| End::room(e)).fold(0.0, f64::max);
    let plot_tall = if panels.rows > 1 { 40.0 } else { 50.0 };
    let tall = ABOVE + plot_tall + Plot::below(&set) + 4.6 + 2.0 * note.leading();
    let mut canvas = Canvas::new(theme.width, if names.is_empty() { 20.0 } else { panels.height(tall) });
    let mut ends = ends.into_iter();
    panels.draw(&mut canvas, theme, tall, "no construct was given", |canvas, k, area| {
        let construct = &found.constructs[k];
        let plot = Plot { area: Rect::new(area.x + left, area.y + ABOVE, area.w - left - right, plot_tall), x, y };
        for at in READINGS.into_iter().filter(|r| *r <= x.hi + 1e-9) {
            plot.reading(canvas, theme, at, &format!("{at} mm"));
        }
        draw_band(canvas, theme, &plot, theme.series(k).0, construct);
        plot.axes(canvas, theme, [&format!("Displacement, {} (mm)", found.direction), "Load (N)"]);
        let mut ends = ends.next().unwrap_or_default();
        if let Some((point, loads)) = last(construct) {
            let at = loads.map(|load| plot.at(point.displacement, load));
            ends.iter_mut().zip(at).for_each(|(end, at)| end.at = Some(at));
        }
        plot.ends(canvas, theme, &ends);
        counts(canvas, theme, &plot, found, construct);
        if construct.band.iter().all(|p| p.loads.is_none()) {
            canvas.text(&format!("stable in none of {} samples", found.done), plot.area.middle(), set.centred());
        }
    });
    Figure::new("scatter-fan", canvas, numbers(found), caption(found), alt(found))
}

/// The last point of the band that any sample reached.
fn last(construct: &Scattered) -> Option<(&BandPoint, [f64; 5])> {
    let found = construct.band.iter().rev().find_map(|p| Some((p, p.loads?)));
    found.filter(|(p, _)| p.displacement > 0.0)
}

/// The words at the end of each edge.
fn ends<'a>(theme: &Theme, k: usize, construct: &Scattered) -> Vec<End<'a>> {
    let (colour, _) = theme.series(k);
    let set = Type::new(theme.small, colour.shade(0.45));
    let end = |(edge, load): (&str, f64)| End {
        at: None,
        colour,
        lines: vec![(format!("{edge}: {}", newtons(load)), set)],
        sign: None,
        crossed: false,
    };
    last(construct).map_or_else(Vec::new, |(_, loads)| EDGES.into_iter().zip(loads).map(end).collect())
}

/// How many samples get to a displacement, below the axis.
fn counts(canvas: &mut Canvas, theme: &Theme, plot: &Plot, found: &Scatter, construct: &Scattered) {
    let note = theme.note();
    let top = plot.area.bottom() + Plot::below(&theme.words()) + 3.0 + note.capital();
    canvas.text(&format!("samples that get there, of {}:", found.done), [plot.area.x - 1.0, top], note);
    let room = note.width(&found.done.to_string()) + 1.2;
    // From the end backward, so that the last is always written.
    let mut free = f64::INFINITY;
    for point in construct.band.iter().rev() {
        let x = plot.at(point.displacement, 0.0)[0];
        if x + 0.5 * room <= free {
            canvas.text(&point.of.to_string(), [x, top + note.leading() + 0.3], note.centred());
            free = x - 0.5 * room;
        }
    }
}

fn numbers(found: &Scatter) -> String {
    let rows = found.constructs.iter().flat_map(|construct| {
        let loads = |p: &BandPoint| p.loads.map_or([None; 5], |loads| loads.map(Some));
        construct.band.iter().map(move |p| json!([construct.construct, p.displacement, p.of, found.done, loads(p)]))
    });
    let heading = "construct,displacement_mm,samples,of,load_p5_N,load_p25_N,load_median_N,load_p75_N,load_p95_N";
    csv(heading.split(','), rows)
}

fn caption(found: &Scatter) -> String {
    let (direction, ended) = (&found.direction, drawn_and_ended(found));
    format!(
        "How far the load–displacement curve moves with the inputs: load needed to move the fragment's control point in the {direction} direction, from where the repair rests. Line: median; dark band, edged solid: 25–75 % of the samples; pale band, edged by dashes: 5–95 %. Bands are of the samples that get to a displacement (counted below the axis; where samples drop out, the rest are the stronger ones), not of the mean, and are taken at each displacement by itself: no single sample need follow an edge. {ended}"
    )
}

fn alt(found: &Scatter) -> String {
    let said = |c: &Scattered| match last(c) {
        None => format!("{}: stable in no sample", c.construct),
        Some((p, loads)) => {
            let [low, lower, median, upper, high] = loads.map(newtons);
            let bands = format!("median {median}, 25–75 % {lower} to {upper}, 5–95 % {low} to {high}");
            format!("{}: at {} mm {bands}, of {} samples", c.construct, p.displacement, p.of)
        }
    };
    format!(
        "Fans of load–displacement curves, one panel a construct. {}.",
        joined(found.constructs.iter().map(said), ". ")
    )
}

/// Dashes of the edges of 5 and 95 %, mm.
const OUTER: &[f64] = &[1.1, 0.6];

/// Both bands, their edges, the median, and what the bands are.
fn draw_band(canvas: &mut Canvas, theme: &Theme, plot: &Plot, colour: Colour, construct: &Scattered) {
    let points = construct.band.iter();
    let edge = |e: usize| plot.all(points.clone().filter_map(|p| Some([p.displacement, p.loads?[e]])));
    let edges: [Vec<Point>; 5] = std::array::from_fn(edge);
    for ([a, b], tint) in [([0, 4], 0.84), ([1, 3], 0.6)] {
        let back: Vec<Point> = edges[b].iter().rev().copied().collect();
        canvas.area(&[edges[a].as_slice(), &back].concat(), colour.tint(tint));
    }
    // The mark at a reading runs on over the band.
    for at in READINGS.into_iter().filter(|r| *r < plot.x.hi - 1e-9) {
        canvas.line(plot.at(at, plot.y.lo), plot.at(at, plot.y.hi), theme.reference());
    }
    let (hair, outer) = (Stroke::solid(colour, theme.hair), Stroke::dashed(colour, theme.hair, OUTER));
    let median = Stroke::solid(colour.shade(0.2), 1.3 * theme.curve);
    for (edge, stroke) in edges.iter().zip([outer, hair, median, hair, outer]) {
        canvas.path(edge, stroke);
    }
    let set = Type::new(theme.small, colour.shade(0.45)).centred();
    for (text, strips) in [("5–95 %", [[3, 4], [0, 1]]), ("25–75 %", [[2, 3], [1, 2]])] {
        let size = [set.width(text) + 0.3, set.capital() + 0.45];
        if let Some(p) = strips.iter().find_map(|[a, b]| in_strip(&edges[*a], &edges[*b], size)) {
            canvas.text(text, [p[0], p[1] + 0.5 * set.capital()], set);
        } else if edges[0].len() > 1 {
            // Too narrow for words: under the fan, with a short line to the band.
            let [a, b] = strips[1];
            let x = plot.area.x + if a == 0 { 0.84 } else { 0.58 } * plot.area.w;
            let under = height_at(&edges[0], x - 0.5 * size[0]);
            if let (Some(lower), Some(upper), Some(under)) = (height_at(&edges[a], x), height_at(&edges[b], x), under) {
                let base = (under + 2.0 + set.capital()).min(plot.area.bottom() - 1.0);
                let to = [x, 0.5 * (lower + upper)];
                canvas.line([x, base - set.capital() - 0.5], to, Stroke::solid(set.colour, theme.hair));
                canvas.disc(to, 0.4, set.colour);
                canvas.text(text, [x, base], set);
            }
        }
    }
}

/// Height of a curve at a place, where it has one.
fn height_at(curve: &[Point], x: f64) -> Option<f64> {
    let pair = curve.windows(2).find(|p| x >= p[0][0] - 1e-9 && x <= p[1][0] + 1e-9)?;
    Some(between(pair[0], pair[1], (x - pair[0][0]) / (pair[1][0] - pair[0][0]))[1])
}

/// The rightmost place where a box fits between two curves over the same places: its middle.
fn in_strip(lower: &[Point], upper: &[Point], [w, h]: [f64; 2]) -> Option<Point> {
    let (first, last) = (lower.first()?[0], lower.last()?[0]);
    let steps = ((last - first - w) / 0.5).max(0.0) as usize;
    (0..=steps).map(|k| last - 0.5 * w - 0.6 - 0.5 * k as f64).filter(|x| x - 0.5 * w > first).find_map(|x| {
        let places = [-0.5, -0.25, 0.0, 0.25, 0.5].map(|s| x + s * w);
        let top = extremes(places.iter().filter_map(|p| height_at(upper, *p)))[1];
        let bottom = extremes(places.iter().filter_map(|p| height_at(lower, *p)))[0];
        (bottom - top >= h).then_some([x, 0.5 * (top + bottom)])
    })
}
