//! Numbers and sentences that the figures of scatter share.

use crate::show::chart::*;
use crate::study::result::{Ends, Quantiles, Quantity, Sampler, Scatter, Scattered, Scattering, counted};

/// What is drawn of each construct, in this order; the rest is in the tables.
pub(super) const KEYS: [&str; 4] = ["load-1mm", "load-2mm", "compression", "step"];

/// A quantity in the few words that a panel has room for.
pub(crate) fn short(quantity: &Quantity) -> String {
    crate::quantities::quantity(&quantity.key).axis()
}

/// A quantity of a construct.
pub(super) fn scattering<'a>(of: &'a Scattered, key: &str) -> Option<&'a Scattering> {
    of.quantities.iter().find(|q| q.quantity.key == key)
}

/// Percentiles 5, 25, 50, 75 and 95.
pub(super) fn five(q: &Quantiles) -> [f64; 5] {
    [q.low.value, q.lower, q.median.value, q.upper, q.high.value]
}

/// Median, 5 and 95 % in the decimals that their range deserves.
fn printed(of: &Quantiles) -> [String; 3] {
    let digits = decimals(of.high.value - of.low.value);
    [of.median.value, of.low.value, of.high.value].map(|v| number(v, digits))
}

/// Median with 5 to 95 % in brackets.
pub(super) fn median(of: &Quantiles) -> String {
    let [median, low, high] = printed(of);
    format!("{median} ({low} to {high})")
}

/// The same as a sentence.
pub(super) fn spoken(of: &Quantiles, unit: &str) -> String {
    let [median, low, high] = printed(of);
    format!("{median} {unit}, 5–95 % {low} to {high}")
}

/// How the samples were drawn, for a caption.
pub(super) fn drawn(found: &Scatter) -> String {
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
    format!(
        "Case {}; {}{cut} of the inputs from {sampler} (seed {}, spread: {}), every construct on the same draws.",
        found.case,
        counted(found.done, "sample"),
        found.seed,
        found.spread
    )
}

/// How the samples were drawn and how those of every construct ended, for a caption.
pub(super) fn drawn_and_ended(found: &Scatter) -> String {
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
