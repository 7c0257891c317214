//! The panels of a figure of lines: what stands in each, and its scales.

use super::super::words::value;
use crate::show::chart::*;
use crate::show::figures::scatter::words::short;
use crate::study::result::{End, Quantity, Sweep, SweepAxis};

/// A line: its place among the series, its name, and its points by value of the input.
pub(super) struct Series {
    pub k: usize,
    pub name: String,
    pub points: Vec<(f64, Option<f64>, End)>,
}

impl Series {
    /// Pieces without a gap.
    pub fn runs(&self) -> Vec<Vec<[f64; 2]>> {
        let pieces = self.points.split(|p| p.1.is_none());
        pieces.map(|piece| piece.iter().filter_map(|p| Some([p.0, p.1?])).collect()).collect()
    }

    /// Whether fixation fails at some point, or something else keeps it from an answer.
    pub fn has_failed(&self) -> bool {
        self.points.iter().any(|p| p.2 != End::Held)
    }
}

/// A panel: one quantity, and the lines in it.
pub(super) struct Panel {
    /// Heading.
    pub title: String,
    /// Place of its quantity.
    pub quantity: usize,
    /// Its lines.
    pub series: Vec<Series>,
}

/// What is measured, in a word.
pub(super) fn y_word(of: &Quantity) -> &'static str {
    match (of.unit.as_str(), of.key.as_str()) {
        ("N", "compression") => "Force",
        ("N", _) => "Load",
        ("MPa", _) => "Pressure",
        ("%", _) => "Share",
        ("°", _) => "Angle",
        (_, "lower-gap") => "Gap",
        (_, key) if key.starts_with("step") => "Step-off",
        _ => "Distance",
    }
}

/// The panels of a sweep along one of its inputs.
pub(super) fn panels(found: &Sweep, along: usize) -> Vec<Panel> {
    let states = (found.axes.len() == 2).then(|| &found.axes[1 - along]);
    let line = |q: usize, c: usize, state: Option<f64>, k: usize, name: String| {
        let own = found.constructs[c].points.iter().filter(|p| state.is_none_or(|s| p.at[1 - along] == s));
        let mut points: Vec<_> = own.map(|p| (p.at[along], p.values[q], p.end)).collect();
        points.sort_by(|a, b| a.0.total_cmp(&b.0));
        Series { k, name, points }
    };
    let all = found.constructs.iter().enumerate();
    let mut panels = Vec::new();
    for quantity in 0..found.shown {
        let title = short(&found.quantities[quantity]);
        match states {
            None => {
                let series = all.clone().map(|(c, of)| line(quantity, c, None, c, of.construct.clone())).collect();
                panels.push(Panel { title, quantity, series });
            }
            Some(axis) => panels.extend(all.clone().map(|(c, of)| {
                let state =
                    |(k, s): (usize, &f64)| line(quantity, c, Some(*s), k, format!("hinge {}", value(axis, *s)));
                let series = axis.values.iter().enumerate().map(state).collect();
                Panel { title: format!("{}, {title}", of.construct), quantity, series }
            })),
        }
    }
    panels
}

/// The scale of the input.
pub(super) fn x_scale(axis: &SweepAxis) -> Scale {
    let [lo, hi] = extremes(axis.values.iter().copied());
    if axis.has_states() {
        return Scale { lo: lo - 0.4, hi: hi + 0.4, step: 1.0 };
    }
    Scale::between(lo, hi, 6)
}

/// The scale of a panel: loads share one, and so does each quantity over the constructs.
pub(super) fn y_scale(found: &Sweep, panels: &[Panel], panel: &Panel) -> Scale {
    let key = |p: &Panel| found.quantities[p.quantity].key.as_str();
    let load = |p: &Panel| key(p).contains("load");
    let alike = panels.iter().filter(|p| key(p) == key(panel) || (load(p) && load(panel)));
    let [lo, hi] = extremes(alike.flat_map(|p| &p.series).flat_map(|s| &s.points).filter_map(|p| p.1));
    Scale::load(lo, hi, 5)
}
