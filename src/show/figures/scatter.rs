//! Figures of a study of scatter: how far the answers move, and with which inputs.

mod difference;
mod fan;
mod intervals;
mod ranking;

use super::*;
use crate::study::result::Quantity;

pub use difference::scatter_differences;
pub use fan::scatter_fan;
pub use intervals::scatter_intervals;
pub use ranking::{scatter_indices, scatter_ranking};

/// Every figure of a study, in the order in which a reader meets them: the fan of curves, intervals,
/// the differences of each pair, then what moves the answers, construct by construct.
pub fn scatter_figures(found: &Scatter, style: Style) -> Vec<Figure> {
    let (single, double) = (style.single(), style.double());
    let fan = if found.constructs.len() > 1 { &double } else { &single };
    let mut figures = vec![scatter_fan(found, fan), scatter_intervals(found, &double)];
    figures.extend(scatter_differences(found, &double));
    figures.extend(scatter_ranking(found, &double));
    figures.extend(scatter_indices(found, &double));
    name_apart(figures.iter_mut());
    figures.into_iter().map(|f| style.finish(f)).collect()
}

/// What is drawn of each construct, in this order; the rest is in the tables.
const KEYS: [&str; 4] = ["load-1mm", "load-2mm", "compression", "step"];

/// A quantity in the few words that a panel has room for.
pub(crate) fn short(quantity: &Quantity) -> String {
    crate::quantities::quantity(&quantity.key).axis()
}

/// A quantity of a construct.
fn scattering<'a>(of: &'a Scattered, key: &str) -> Option<&'a Scattering> {
    of.quantities.iter().find(|q| q.quantity.key == key)
}

/// Percentiles 5, 25, 50, 75 and 95.
fn five(q: &Quantiles) -> [f64; 5] {
    [q.low.value, q.lower, q.median.value, q.upper, q.high.value]
}

/// Median, 5 and 95 % in the decimals that their range deserves.
fn printed(of: &Quantiles) -> [String; 3] {
    let digits = decimals(of.high.value - of.low.value);
    [of.median.value, of.low.value, of.high.value].map(|v| number(v, digits))
}

/// Median with 5 to 95 % in brackets.
fn median(of: &Quantiles) -> String {
    let [median, low, high] = printed(of);
    format!("{median} ({low} to {high})")
}

/// The same as a sentence.
fn spoken(of: &Quantiles, unit: &str) -> String {
    let [median, low, high] = printed(of);
    format!("{median} {unit}, 5–95 % {low} to {high}")
}

/// How the samples were drawn, for a caption.
fn drawn(found: &Scatter) -> String {
    let sampler = match found.sampler {
        Sampler::LatinHypercube => "a Latin hypercube",
        Sampler::Sobol => "a scrambled Sobol' sequence",
        Sampler::Random => "independent draws",
    };
    let cut = if found.done < found.samples {
        format!(" (of {} requested; interrupted)", found.samples)
    } else {
        String::new()
    };
    let (case, seed, spread) = (&found.case, found.seed, &found.spread);
    let samples = counted(found.done, "sample");
    format!(
        "Case {case}; {samples}{cut} of the inputs from {sampler} (seed {seed}, spread: {spread}), every construct on the same draws."
    )
}

/// How the samples were drawn and how those of every construct ended, for a caption.
fn drawn_and_ended(found: &Scatter) -> String {
    let list = found.constructs.iter().map(|c| {
        let failed = failed(&c.ends).map_or(String::new(), |a| format!(", {a}"));
        format!("{}: {} stable to the end{failed}", c.construct, c.ends.held)
    });
    format!("{} Ends: {}.", drawn(found), joined(list, "; "))
}

/// What became of the samples that were not stable to the end, `None` when all were.
fn failed(ends: &Ends) -> Option<String> {
    let parts: Vec<String> = [
        (ends.lost_in_push, "failed in the push"),
        (ends.not_held, "unstable as tied"),
        (ends.uncertified, "balance not checked"),
        (ends.impossible, "invalid geometry"),
    ]
    .iter()
    .filter(|(n, _)| *n > 0)
    .map(|(n, what)| format!("{n} {what}"))
    .collect();
    (!parts.is_empty()).then(|| parts.join(", "))
}
