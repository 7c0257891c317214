//! The panels of a figure of lines: what stands in each, and its scales.

use super::strip::Series;
use super::words::value;
use crate::show::figures::axis::Scale;
use crate::show::figures::scatter::words::short;
use crate::study::result::{Quantity, Sweep, SweepAxis};

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
        (_, key) if key.starts_with("step") => "Step",
        _ => "Distance",
    }
}

/// The panels of a sweep along one of its inputs.
pub(super) fn panels(found: &Sweep, along: usize) -> Vec<Panel> {
    let states = (found.axes.len() == 2).then(|| &found.axes[1 - along]);
    let mut panels = Vec::new();
    for q in 0..found.shown {
        let title = short(&found.quantities[q]);
        let line = |c: usize, state: Option<f64>, k: usize, name: String| {
            let points = found.constructs[c].points.iter();
            let own = points.filter(|p| state.is_none_or(|s| p.at[1 - along] == s));
            Series::new(k, name, own.map(|p| (p.at[along], p.values[q], p.end)))
        };
        match states {
            None => panels.push(Panel {
                title,
                quantity: q,
                series: (0..found.constructs.len())
                    .map(|c| line(c, None, c, found.constructs[c].construct.clone()))
                    .collect(),
            }),
            Some(axis) => {
                for (c, construct) in found.constructs.iter().enumerate() {
                    panels.push(Panel {
                        title: format!("{}, {title}", construct.construct),
                        quantity: q,
                        series: axis
                            .values
                            .iter()
                            .enumerate()
                            .map(|(k, s)| line(c, Some(*s), k, format!("hinge {}", value(axis, *s))))
                            .collect(),
                    });
                }
            }
        }
    }
    panels
}

/// The scale of the input.
pub(super) fn x_scale(axis: &SweepAxis) -> Scale {
    let fold = |f: fn(f64, f64) -> f64, start| axis.values.iter().copied().fold(start, f);
    let (lo, hi) = (fold(f64::min, f64::INFINITY), fold(f64::max, f64::NEG_INFINITY));
    if axis.has_states() {
        return Scale { lo: lo - 0.4, hi: hi + 0.4, step: 1.0 };
    }
    Scale::between(lo, hi, 6)
}

/// The scale of a panel: loads share one, and so does each quantity over the constructs.
pub(super) fn y_scale(found: &Sweep, panels: &[Panel], panel: &Panel) -> Scale {
    let key = |p: &Panel| found.quantities[p.quantity].key.clone();
    let load = |p: &Panel| key(p).contains("load");
    let alike = panels.iter().filter(|p| key(p) == key(panel) || (load(p) && load(panel)));
    let values = || {
        let all = alike.clone().flat_map(|p| &p.series).flat_map(|s| &s.points);
        all.filter_map(|p| p.1)
    };
    Scale::load(values().fold(f64::INFINITY, f64::min), values().fold(f64::NEG_INFINITY, f64::max), 5)
}
