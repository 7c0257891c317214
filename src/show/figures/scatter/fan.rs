//! Figure "scatter-fan": the band of the load–displacement curve of each construct.

mod band;

use super::words;
use crate::show::chart::*;
use crate::study::result::{BandPoint, Scatter, Scattered};

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
        band::draw(canvas, theme, &plot, theme.series(k).0, construct);
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
    Figure::new("scatter-fan", canvas, csv(found), caption(found), alt(found))
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

fn csv(found: &Scatter) -> String {
    let loads = ["load_p5_N", "load_p25_N", "load_median_N", "load_p75_N", "load_p95_N"];
    let mut csv = Csv::new(["construct", "displacement_mm", "samples", "of"].into_iter().chain(loads));
    for construct in &found.constructs {
        for p in &construct.band {
            let loads = (0..5).map(|e| Cell::from(p.loads.map(|l| l[e])));
            csv.row(row![&construct.construct, p.displacement, p.of, found.done].into_iter().chain(loads));
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
