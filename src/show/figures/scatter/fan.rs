//! Figure "scatter-fan": the band of the load–displacement curve of each construct.

use super::words;
use crate::show::figures::axis::{Plot, Scale};
use crate::show::figures::canvas::{Align, Canvas, Stroke, Type};
use crate::show::figures::csv::{Csv, field};
use crate::show::figures::figure::Figure;
use crate::show::figures::label::spread;
use crate::show::figures::rect::{Point, Rect};
use crate::show::figures::subject::Panels;
use crate::show::figures::theme::Theme;
use crate::study::result::{BandPoint, Scatter, Scattered};

/// Least width of a panel, mm.
const LEAST: f64 = 54.0;
/// Names of the edges, as in [`BandPoint::loads`].
const EDGES: [&str; 5] = ["5 %", "25 %", "median", "75 %", "95 %"];
/// Displacements that are marked, mm.
const READINGS: [f64; 2] = [1.0, 2.0];
/// Dashes of the edges of 5 and 95 %, mm.
const OUTER: &[f64] = &[1.1, 0.6];
/// Room above a plot for the words of its readings, mm.
const ABOVE: f64 = 4.2;

/// Draws the figure.
pub(super) fn fan(found: &Scatter, theme: &Theme) -> Figure {
    let names: Vec<&str> = found.constructs.iter().map(|c| c.construct.as_str()).collect();
    let panels = Panels::titled(theme, &names, theme.width, LEAST);
    let set = Type::new(theme.text, theme.ink);
    let small = Type::new(theme.small, theme.muted);
    let loads = || {
        let bands = found.constructs.iter().flat_map(|c| &c.band);
        bands.filter_map(|p| p.loads).flatten()
    };
    let y = Scale::load(loads().fold(f64::INFINITY, f64::min), loads().fold(f64::NEG_INFINITY, f64::max), 5);
    let x = Scale::exact(found.to, 4);
    let numbers = widest(y.ticks().iter().map(|t| set.width(&y.words(*t))));
    let left = 1.0 + set.capital() + 2.2 + numbers + 1.3;
    let ends: Vec<Vec<String>> = found.constructs.iter().map(end_words).collect();
    let right = 4.2 + widest(ends.iter().flatten().map(|w| small.width(w)));
    let plot_tall = if panels.rows > 1 { 40.0 } else { 50.0 };
    let below = 2.6 + 2.0 * set.capital() + 3.0 + 2.0 * small.leading() + 1.6;
    let tall = ABOVE + plot_tall + below;
    let height = if names.is_empty() { 20.0 } else { panels.height(tall) };
    let mut canvas = Canvas::new(theme.width, height);
    for (k, construct) in found.constructs.iter().enumerate() {
        panels.title(&mut canvas, theme, k, tall);
        let area = panels.area(k, tall);
        let plot = Plot { area: Rect::new(area.x + left, area.y + ABOVE, area.w - left - right, plot_tall), x, y };
        readings(&mut canvas, theme, &plot);
        bands(&mut canvas, theme, &plot, k, construct);
        let title = format!("Displacement, {} (mm)", found.direction);
        plot.axes(&mut canvas, theme, [&title, "Load (N)"], area.x + 1.0 + set.capital(), true);
        end_labels(&mut canvas, theme, &plot, k, construct, &ends[k]);
        counts(&mut canvas, theme, &plot, found, construct);
        if construct.band.iter().all(|p| p.loads.is_none()) {
            let at = [plot.area.x + 0.5 * plot.area.w, plot.area.y + 0.5 * plot.area.h];
            let words = format!("held in none of {} samples", found.done);
            canvas.text(&words, at, set.align(Align::Centre));
        }
    }
    if names.is_empty() {
        canvas.text("no construct was given", [2.0, 10.0], set);
    }
    Figure::new("scatter-fan", canvas, csv(found), caption(found), alt(found))
}

fn widest(widths: impl Iterator<Item = f64>) -> f64 {
    widths.fold(0.0, f64::max)
}

/// The last point of the band that any sample reached.
fn last(construct: &Scattered) -> Option<(&BandPoint, [f64; 5])> {
    let found = construct.band.iter().rev().find_map(|p| Some((p, p.loads?)));
    found.filter(|(p, _)| p.displacement > 0.0)
}

/// The words at the end of each edge.
fn end_words(construct: &Scattered) -> Vec<String> {
    last(construct).map_or_else(Vec::new, |(_, loads)| {
        let pairs = EDGES.iter().zip(loads);
        pairs.map(|(edge, load)| format!("{edge}: {} N", words::number(load, 0))).collect()
    })
}

fn readings(canvas: &mut Canvas, theme: &Theme, plot: &Plot) {
    let small = Type::new(theme.small, theme.muted).align(Align::Centre);
    for at in READINGS.into_iter().filter(|r| *r <= plot.x.hi + 1e-9) {
        let top = plot.at(at, plot.y.hi);
        canvas.line(plot.at(at, plot.y.lo), top, Stroke::solid(theme.faint, theme.hair));
        canvas.text(&format!("{at} mm"), [top[0], top[1] - 1.0], small);
    }
}

/// The edges of the bands on the page, 5 to 95 %.
fn edges(plot: &Plot, construct: &Scattered) -> [Vec<Point>; 5] {
    std::array::from_fn(|e| {
        let points = construct.band.iter();
        points.filter_map(|p| Some(plot.at(p.displacement, p.loads?[e]))).collect()
    })
}

fn bands(canvas: &mut Canvas, theme: &Theme, plot: &Plot, k: usize, construct: &Scattered) {
    let (colour, _) = theme.series(k);
    let edges = edges(plot, construct);
    let between =
        |lower: &[Point], upper: &[Point]| -> Vec<Point> { lower.iter().chain(upper.iter().rev()).copied().collect() };
    canvas.area(&between(&edges[0], &edges[4]), colour.tint(0.84));
    canvas.area(&between(&edges[1], &edges[3]), colour.tint(0.6));
    // The mark at a reading runs on over the band.
    for at in READINGS.into_iter().filter(|r| *r < plot.x.hi - 1e-9) {
        let hair = Stroke::solid(theme.faint, theme.hair);
        canvas.line(plot.at(at, plot.y.lo), plot.at(at, plot.y.hi), hair);
    }
    for e in [0, 4] {
        canvas.path(&edges[e], Stroke::dashed(colour, theme.hair, OUTER));
    }
    for e in [1, 3] {
        canvas.path(&edges[e], Stroke::solid(colour, theme.hair));
    }
    canvas.path(&edges[2], Stroke::solid(colour.shade(0.2), 1.3 * theme.curve));
    let set = Type::new(theme.small, colour.shade(0.45)).align(Align::Centre);
    for (text, strips) in [("5–95 %", [[3, 4], [0, 1]]), ("25–75 %", [[2, 3], [1, 2]])] {
        let size = [set.width(text) + 0.3, set.capital() + 0.45];
        let place = strips.iter().find_map(|[a, b]| in_strip(&edges[*a], &edges[*b], size));
        if let Some(p) = place {
            canvas.text(text, [p[0], p[1] + 0.5 * set.capital()], set);
        } else if edges[0].len() > 1 {
            // Too narrow for words: under the fan, with a short line to the band.
            let [a, b] = strips[1];
            let x = plot.area.x + if a == 0 { 0.84 } else { 0.58 } * plot.area.w;
            let heights = [&edges[a], &edges[b]].map(|e| height_at(e, x));
            let under = height_at(&edges[0], x - 0.5 * size[0]);
            if let ([Some(lower), Some(upper)], Some(under)) = (heights, under) {
                let base = (under + 2.0 + set.capital()).min(plot.area.bottom() - 1.0);
                let to = [x, 0.5 * (lower + upper)];
                let from = [x, base - set.capital() - 0.5];
                canvas.line(from, to, Stroke::solid(set.colour, theme.hair));
                canvas.disc(to, 0.4, set.colour);
                canvas.text(text, [x, base], set);
            }
        }
    }
}

/// Height of a curve at a place, where it has one.
fn height_at(curve: &[Point], x: f64) -> Option<f64> {
    let pair = curve.windows(2).find(|p| x >= p[0][0] - 1e-9 && x <= p[1][0] + 1e-9)?;
    let s = (x - pair[0][0]) / (pair[1][0] - pair[0][0]);
    Some(pair[0][1] + s * (pair[1][1] - pair[0][1]))
}

/// The rightmost place where a box fits between two curves over the same places: its middle.
fn in_strip(lower: &[Point], upper: &[Point], [w, h]: [f64; 2]) -> Option<Point> {
    let (first, last) = (lower.first()?[0], lower.last()?[0]);
    let mut x = last - 0.5 * w - 0.6;
    while x - 0.5 * w > first {
        let places = [-0.5, -0.25, 0.0, 0.25, 0.5].map(|s| x + s * w);
        let top = places.iter().filter_map(|p| height_at(upper, *p)).fold(f64::NEG_INFINITY, f64::max);
        let bottom = places.iter().filter_map(|p| height_at(lower, *p)).fold(f64::INFINITY, f64::min);
        if bottom - top >= h {
            return Some([x, 0.5 * (top + bottom)]);
        }
        x -= 0.5;
    }
    None
}

fn end_labels(canvas: &mut Canvas, theme: &Theme, plot: &Plot, k: usize, construct: &Scattered, ends: &[String]) {
    let Some((point, loads)) = last(construct) else {
        return;
    };
    let (colour, _) = theme.series(k);
    let set = Type::new(theme.small, colour.shade(0.45));
    let from = loads.map(|load| plot.at(point.displacement, load));
    let centres = spread(&from.map(|p| p[1]), &[set.leading(); 5], plot.area.y - 1.0, plot.area.bottom() + 1.0);
    let x = plot.area.right() + 3.2;
    for ((text, from), y) in ends.iter().zip(from).zip(centres) {
        let lead = [[from[0] + 0.4, from[1]], [x - 1.0, y], [x - 0.4, y]];
        canvas.path(&lead, Stroke::solid(colour, theme.hair));
        canvas.text(text, [x, y + 0.5 * set.capital()], set);
    }
}

/// How many samples get to a displacement, below the axis.
fn counts(canvas: &mut Canvas, theme: &Theme, plot: &Plot, found: &Scatter, construct: &Scattered) {
    let set = Type::new(theme.text, theme.ink);
    let small = Type::new(theme.small, theme.muted);
    let top = plot.area.bottom() + 2.6 + 2.0 * set.capital() + 3.0;
    let words = format!("samples that get there, of {}:", found.done);
    canvas.text(&words, [plot.area.x - 1.0, top + small.capital()], small);
    let base = top + small.capital() + small.leading() + 0.3;
    let centred = small.align(Align::Centre);
    let room = small.width(&found.done.to_string()) + 1.2;
    // From the end backward, so that the last is always written.
    let mut free = f64::INFINITY;
    for point in construct.band.iter().rev() {
        let x = plot.at(point.displacement, 0.0)[0];
        if x + 0.5 * room <= free {
            canvas.text(&point.of.to_string(), [x, base], centred);
            free = x - 0.5 * room;
        }
    }
}

fn csv(found: &Scatter) -> String {
    let mut csv = Csv::new(&[
        "construct",
        "displacement_mm",
        "samples",
        "of",
        "load_p5_N",
        "load_p25_N",
        "load_median_N",
        "load_p75_N",
        "load_p95_N",
    ]);
    for construct in &found.constructs {
        for p in &construct.band {
            let mut row =
                vec![field(&construct.construct), p.displacement.to_string(), p.of.to_string(), found.done.to_string()];
            row.extend((0..5).map(|e| p.loads.map_or(String::new(), |l| l[e].to_string())));
            csv.row(row);
        }
    }
    csv.finish()
}

fn caption(found: &Scatter) -> String {
    format!(
        "How far the load–displacement curve moves with the inputs: load needed to move the fragment's control point in the {} direction, from the tied state. Line: median; dark band, edged solid: 25–75 % of the samples; pale band, edged by dashes: 5–95 %. Bands are of the samples that get to a displacement (counted below the axis; where samples drop out, the rest are the stronger ones), not of the mean, and are taken at each displacement by itself: no single sample need follow an edge. {}",
        found.direction,
        words::drawn_and_ended(found)
    )
}

fn alt(found: &Scatter) -> String {
    let list: Vec<String> = found
        .constructs
        .iter()
        .map(|c| match last(c) {
            None => format!("{}: held in no sample", c.construct),
            Some((p, loads)) => format!(
                "{}: at {} mm median {} N, 25–75 % {} to {} N, 5–95 % {} to {} N, of {} samples",
                c.construct,
                p.displacement,
                words::number(loads[2], 0),
                words::number(loads[1], 0),
                words::number(loads[3], 0),
                words::number(loads[0], 0),
                words::number(loads[4], 0),
                p.of
            ),
        })
        .collect();
    format!("Fans of load–displacement curves, one panel a construct. {}.", list.join(". "))
}
