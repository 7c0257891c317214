//! Numbers and sentences that the figures of scatter share.

use crate::show::figures::axis::signed;
pub(crate) use crate::study::result::with_unit;
use crate::study::result::{Ends, Quantiles, Quantity, Sampler, Scatter, Scattered, Scattering, counted};

/// Decimals that a range of values deserves: two to three digits.
pub(crate) fn decimals(range: f64) -> usize {
    if range > 0.0 && range.is_finite() { (1.0 - range.log10()).ceil().clamp(0.0, 3.0) as usize } else { 2 }
}

/// A number with so many decimals and a true minus sign; no negative zero.
pub(crate) fn number(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    let zero = !text.chars().any(|c| ('1'..='9').contains(&c));
    signed(if zero { text.trim_start_matches('-') } else { &text })
}

/// A quantity in the few words that a panel has room for.
pub(crate) fn short(quantity: &Quantity) -> String {
    crate::quantities::quantity(&quantity.key).axis()
}

/// Median with 5 to 95 % in brackets, in the decimals that their range deserves.
pub(super) fn median(of: &Quantiles) -> String {
    let digits = decimals(of.high.value - of.low.value);
    format!(
        "{} ({} to {})",
        number(of.median.value, digits),
        number(of.low.value, digits),
        number(of.high.value, digits)
    )
}

/// A quantity of a construct.
pub(super) fn scattering<'a>(of: &'a Scattered, key: &str) -> Option<&'a Scattering> {
    of.quantities.iter().find(|q| q.quantity.key == key)
}

/// How the samples were drawn, for a caption.
pub(super) fn drawn(found: &Scatter) -> String {
    let sampler = match found.sampler {
        Sampler::LatinHypercube => "a Latin hypercube",
        Sampler::Sobol => "a scrambled Sobol' sequence",
        Sampler::Random => "independent draws",
    };
    let of = if found.done < found.samples {
        format!("{} (of {} asked for; interrupted)", counted(found.done, "sample"), found.samples)
    } else {
        counted(found.done, "sample")
    };
    format!(
        "Case {}; {of} of the inputs from {sampler} (seed {}, spread: {}), every construct on the same draws.",
        found.case, found.seed, found.spread
    )
}

/// What became of the samples that were not held to the end, `None` when all were.
pub(super) fn astray(ends: &Ends) -> Option<String> {
    let parts: Vec<String> = [
        (ends.lost_in_push, "lost in the push"),
        (ends.not_held, "not held when tied"),
        (ends.uncertified, "not certified"),
        (ends.impossible, "impossible"),
    ]
    .iter()
    .filter(|(n, _)| *n > 0)
    .map(|(n, what)| format!("{n} {what}"))
    .collect();
    (!parts.is_empty()).then(|| parts.join(", "))
}

/// How the samples were drawn and how those of every construct ended, for a caption.
pub(super) fn drawn_and_ended(found: &Scatter) -> String {
    format!("{} Ends: {}.", drawn(found), ends(found))
}

/// The ends of every construct.
fn ends(found: &Scatter) -> String {
    let list: Vec<String> = found
        .constructs
        .iter()
        .map(|c| {
            let rest = astray(&c.ends).map_or(String::new(), |a| format!(", {a}"));
            format!("{}: {} held to the end{rest}", c.construct, c.ends.held)
        })
        .collect();
    list.join("; ")
}
