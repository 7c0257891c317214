//! The band of one construct.

use super::READINGS;
use crate::show::chart::*;
use crate::study::result::Scattered;

/// Dashes of the edges of 5 and 95 %, mm.
const OUTER: &[f64] = &[1.1, 0.6];

/// Both bands, their edges, the median, and what the bands are.
pub(super) fn draw(canvas: &mut Canvas, theme: &Theme, plot: &Plot, colour: Colour, construct: &Scattered) {
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
