//! Values that are typed: what is none, or out of its range, is told its range in one way.

use crate::model::parameter;

/// A whole number from `low` to `high`.
pub(super) fn whole<T: TryFrom<u64>>(
    low: u64,
    high: u64,
) -> impl Fn(&str) -> Result<T, String> + Clone + Send + Sync + 'static {
    move |text| {
        let number = text.trim().parse::<u64>().ok().filter(|n| (low..=high).contains(n));
        let wrong = || format!("allowed: a whole number from {low} to {high}");
        number.and_then(|n| T::try_from(n).ok()).ok_or_else(wrong)
    }
}

/// A seed: any whole number that the generator takes.
pub(super) fn seed(text: &str) -> Result<u64, String> {
    whole(0, u64::MAX)(text)
}

/// A number from `low` to `high` in a unit.
pub(super) fn real(
    low: f64,
    high: f64,
    unit: &'static str,
) -> impl Fn(&str) -> Result<f64, String> + Clone + Send + Sync + 'static {
    move |text| match number(text) {
        Some(value) if (low..=high).contains(&value) => Ok(value),
        _ => Err(format!("allowed: {low} to {high} {unit}").trim_end().to_owned()),
    }
}

/// A measurement that a case file gives under a path. Its range is told where this is no number;
/// numbers out of it are told together, with those of the other measurements.
pub(super) fn measured(path: &'static str) -> impl Fn(&str) -> Result<f64, String> + Clone + Send + Sync + 'static {
    move |text| {
        let range = || parameter(path).map_or_else(String::new, |row| format!("allowed: {}", row.range()));
        number(text).ok_or_else(range)
    }
}

/// A number, with a minus sign of either kind.
fn number(text: &str) -> Option<f64> {
    text.trim().replace('\u{2212}', "-").parse().ok()
}

/// One of some words, in any case.
pub(super) fn among(
    known: Vec<&'static str>,
) -> impl Fn(&str) -> Result<String, String> + Clone + Send + Sync + 'static {
    move |text| {
        let word = known.iter().find(|k| k.eq_ignore_ascii_case(text.trim()));
        word.map(|w| (*w).to_owned()).ok_or_else(|| format!("allowed: {}", known.join(", ")))
    }
}
