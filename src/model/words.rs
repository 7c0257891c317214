//! The words of a message: nearest known word, lists, shortened texts, numbers.

/// The known word nearest to a mistyped one, if any is near.
pub(super) fn nearest<'a>(word: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    // Comparing a very long word with each known one costs its length squared for nothing.
    if word.len() > 200 {
        return None;
    }
    let word = word.to_lowercase();
    known
        .into_iter()
        .map(|k| (strsim::jaro_winkler(&word, &k.to_lowercase()), k))
        .filter(|(score, _)| *score > 0.75)
        .max_by(|a, b| a.0.total_cmp(&b.0))
        .map(|(_, k)| k)
}

/// `a`, `b` and `c` in back quotes, for hints.
pub(super) fn listed<'a>(words: impl IntoIterator<Item = &'a str>) -> String {
    let words: Vec<String> = words.into_iter().map(|w| format!("`{w}`")).collect();
    if words.is_empty() { "none".into() } else { words.join(", ") }
}

/// "did you mean" with the nearest word, otherwise all of them.
pub(super) fn suggest(word: &str, known: &[&str]) -> String {
    match nearest(word, known.iter().copied()) {
        Some(near) => format!("did you mean `{near}`?"),
        None => format!("known here: {}", listed(known.iter().copied())),
    }
}

/// A text shortened for a message, without control characters.
pub(super) fn quoted(text: &str) -> String {
    let mut short: String = text.chars().take(60).map(|c| if c.is_control() { ' ' } else { c }).collect();
    if short.len() < text.len() {
        short.push('…');
    }
    short
}

/// A number as the message says it.
pub(super) fn said(value: f64) -> String {
    if value != 0.0 && (value.abs() >= 1e7 || value.abs() < 1e-4) { format!("{value:e}") } else { format!("{value}") }
}
