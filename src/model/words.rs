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

/// Whether a text is a word, in capitals or not, with blanks round it or not.
pub(crate) fn is_word(text: &str, word: &str) -> bool {
    text.trim().eq_ignore_ascii_case(word)
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
    let mut short: String = text.chars().take(60).map(|c| if unprintable(c) { ' ' } else { c }).collect();
    if short.len() < text.len() {
        short.push('…');
    }
    short
}

/// A number as the message says it.
pub(super) fn said(value: f64) -> String {
    if value != 0.0 && (value.abs() >= 1e7 || value.abs() < 1e-4) { format!("{value:e}") } else { format!("{value}") }
}

/// Whether a character steers what is shown rather than being shown: control characters, breaks of
/// lines, marks that turn the direction of writing, and letters without width that no script needs
/// (joiners and variation selectors are needed by some).
pub(super) fn unprintable(c: char) -> bool {
    c.is_control()
        || (!visible(c) && !c.is_whitespace() && !matches!(c, '\u{200c}' | '\u{200d}' | '\u{fe00}'..='\u{fe0f}'))
        || matches!(c, '\u{2028}' | '\u{2029}')
}

/// Whether anything can be seen of a character (Unicode: no white space, and none of those that are
/// ignored by default when a text is drawn).
pub(super) fn visible(c: char) -> bool {
    !c.is_whitespace()
        && !c.is_control()
        && !matches!(c,
            '\u{ad}' | '\u{34f}' | '\u{61c}' | '\u{115f}' | '\u{1160}' | '\u{17b4}' | '\u{17b5}'
            | '\u{180b}'..='\u{180f}' | '\u{200b}'..='\u{200f}' | '\u{202a}'..='\u{202e}'
            | '\u{2060}'..='\u{206f}' | '\u{2800}' | '\u{3164}' | '\u{fe00}'..='\u{fe0f}' | '\u{feff}'
            | '\u{ffa0}' | '\u{fff0}'..='\u{fffb}' | '\u{1bca0}'..='\u{1bca3}' | '\u{1d173}'..='\u{1d17a}'
            | '\u{e0000}'..='\u{e0fff}')
}
