//! Numbers in print.

use crate::show::words;

/// A number with a true minus sign.
pub(crate) fn signed(text: &str) -> String {
    text.replacen('-', "\u{2212}", 1)
}

/// A number with so many decimals and a true minus sign; no negative zero.
pub(crate) fn number(value: f64, decimals: usize) -> String {
    signed(&words::num(value, decimals))
}

/// The same with a plus sign where it is above zero.
pub(crate) fn with_plus(value: f64, decimals: usize) -> String {
    signed(&words::signed(value, decimals))
}

/// A force in whole newtons.
pub(crate) fn newtons(value: f64) -> String {
    format!("{} N", number(value, 0))
}

/// Decimals that a range of values deserves: two to three digits.
pub(crate) fn decimals(range: f64) -> usize {
    if range > 0.0 && range.is_finite() { (1.0 - libm::log10(range)).ceil().clamp(0.0, 3.0) as usize } else { 2 }
}

/// Words that begin with a capital.
pub(crate) fn capital(words: &str) -> String {
    let mut chars = words.chars();
    chars.next().map_or_else(String::new, |c| c.to_uppercase().chain(chars).collect())
}

/// Words that begin in the middle of a line.
pub(crate) fn lower(words: &str) -> String {
    let mut chars = words.chars();
    chars.next().map_or_else(String::new, |c| c.to_lowercase().chain(chars).collect())
}

/// Parts joined to one text.
pub(crate) fn joined<T: AsRef<str>>(parts: impl IntoIterator<Item = T>, by: &str) -> String {
    let mut text = String::new();
    for (k, part) in parts.into_iter().enumerate() {
        text.push_str(if k > 0 { by } else { "" });
        text.push_str(part.as_ref());
    }
    text
}

/// The letter of panel `k`.
pub(crate) fn letter(k: usize) -> String {
    char::from(b'a' + (k % 26) as u8).to_string()
}

/// The least and the largest of some values; infinite and the wrong way round without any.
pub(crate) fn extremes(values: impl IntoIterator<Item = f64>) -> [f64; 2] {
    let start = [f64::INFINITY, f64::NEG_INFINITY];
    values.into_iter().fold(start, |[lo, hi], v| [lo.min(v), hi.max(v)])
}
