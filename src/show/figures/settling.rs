//! Figure "settling": motion, compression and tension of a repair against cycles of load.

use super::*;
use crate::show::chart::End;

/// Height of the data area of each panel, mm.
const TALL: f64 = 34.0;
/// Room between two panels, mm.
const BETWEEN: f64 = 5.0;

/// A panel: its title, and its curves by name.
struct Panel<'a> {
    title: &'a str,
    curves: Vec<(String, Vec<f64>)>,
}

/// Draws displacement at peak and at rest with the step-off, compression, and every limb's tension, one panel below the
/// other, against the cycles as they were computed: evenly apart, named by their number.
pub fn settling(found: &Settling, limbs: &[String], theme: &Theme) -> Figure {
    let points = &found.points;
    let of = |value: &dyn Fn(&CyclePoint) -> f64| points.iter().map(value).collect::<Vec<_>>();
    let named = |name: &str, value: &dyn Fn(&CyclePoint) -> f64| (name.to_owned(), of(value));
    let panels = [
        Panel {
            title: "Displacement, step (mm)",
            curves: vec![
                named("at peak", &|p| p.peak),
                named("at rest", &|p| p.rest),
                named("largest step", &|p| p.measures.step.value),
            ],
        },
        Panel { title: "Compression (N)", curves: vec![named("bed", &|p| p.compression)] },
        Panel {
            title: "Tension (N)",
            curves: limbs.iter().enumerate().map(|(k, name)| (name.clone(), of(&|p| p.tensions[k]))).collect(),
        },
    ];
    let set = theme.words();
    let x = Scale::exact((points.len() - 1).max(1) as f64, points.len().min(12));
    let scales = panels.each_ref().map(|panel| {
        let [lo, hi] = extremes(panel.curves.iter().flat_map(|c| c.1.iter().copied()));
        Scale::load(lo, hi, 5)
    });
    let left = scales.iter().map(|y| y.room(&set)).fold(0.0, f64::max);
    let mut ends: Vec<Vec<End<'_>>> = panels.iter().map(|panel| names(panel, theme)).collect();
    let right = ends.iter().map(|ends| End::room(ends)).fold(0.0, f64::max);
    let height = panels.len() as f64 * (TALL + BETWEEN) + Plot::below(&set) + 3.0;
    let mut canvas = Canvas::new(theme.width, height);
    for (k, (panel, y)) in panels.iter().zip(scales).enumerate() {
        let area = Rect::new(left, 3.0 + k as f64 * (TALL + BETWEEN), theme.width - left - right - 0.6, TALL);
        let plot = Plot { area, x, y };
        let last = k + 1 == panels.len();
        let under = |tick: f64| match points.get(tick.round() as usize).filter(|_| last) {
            Some(p) if p.cycle == 0 => "as tied".to_owned(),
            Some(p) => p.cycle.to_string(),
            None => String::new(),
        };
        plot.axes_with(&mut canvas, theme, [if last { "Cycle" } else { "" }, panel.title], under);
        for (j, (_, values)) in panel.curves.iter().enumerate() {
            let curve = plot.all(values.iter().enumerate().map(|(i, v)| [i as f64, *v]));
            canvas.path(&curve, theme.line(j));
            ends[k][j].at = curve.last().copied();
        }
        plot.ends(&mut canvas, theme, &ends[k]);
    }
    Figure::new("settling", canvas, rows(found, limbs), caption(found), alt(found)).of(&found.construct)
}

fn names<'a>(panel: &Panel<'_>, theme: &Theme) -> Vec<End<'a>> {
    let name = |(j, (name, _)): (usize, &(String, Vec<f64>))| {
        let (colour, _) = theme.series(j);
        End::named(colour, vec![(name.clone(), theme.words().in_colour(colour))])
    };
    panel.curves.iter().enumerate().map(name).collect()
}

fn rows(found: &Settling, limbs: &[String]) -> String {
    let mut rows = Vec::new();
    for p in &found.points {
        let mut row = |what: &str, value: f64, unit: &str| rows.push(json!([p.cycle, what, value, unit]));
        row("displacement at peak", p.peak, "mm");
        row("displacement at rest", p.rest, "mm");
        row("largest step", p.measures.step.value, "mm");
        row("compression", p.compression, "N");
        for (limb, tension) in limbs.iter().zip(&p.tensions) {
            row(&format!("tension of {limb}"), *tension, "N");
        }
    }
    csv("cycle,quantity,value,unit".split(','), rows)
}

fn caption(found: &Settling) -> String {
    format!(
        "What relaxation and cycles of {:.0} to {:.0} N {} leave of {}: displacement of the fragment's centroid along the \
         load at the largest (at peak) and the least load (at rest) with the largest articular step-off (+ proud), \
         compression of the bed, and the tension of every limb at its tie end. Cycles stand evenly apart as they were \
         computed, beyond ten in blocks. No healing is modelled.",
        found.low, found.high, found.direction, found.construct
    )
}

fn alt(found: &Settling) -> String {
    let (first, last) = (&found.points[0], &found.points[found.points.len() - 1]);
    format!(
        "Three line plots against cycles. Compression falls from {:.0} to {:.0} N in {} cycles; the fragment comes to rest at {:.2} mm.",
        first.compression, last.compression, last.cycle, last.rest
    )
}
