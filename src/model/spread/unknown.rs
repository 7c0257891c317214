//! What is said of a path that stands for nothing.

use super::super::problems::Problem;
use super::super::words::nearest;
use super::known::Known;
use super::table::SpreadLine;

/// A path that stands for nothing, with the nearest known ones.
pub(super) fn unknown(line: &SpreadLine, known: &[Known]) -> Problem {
    Problem::at(
        line.span.clone(),
        format!("`{}` is no input of this case and these constructs", line.path),
        "unknown path",
    )
    .hint(near(&line.path, known))
}

/// The known paths nearest to one that is not, those that end in the very word first, and where all
/// of them are listed.
pub(super) fn near(path: &str, known: &[Known]) -> String {
    let last = |path: &str| path.rsplit('.').next().unwrap_or_default().to_lowercase();
    let word = last(path);
    let mut scored: Vec<(bool, f64, &str)> = known
        .iter()
        .map(|k| {
            let same = word != "*" && last(&k.path) == word;
            let alike = strsim::jaro_winkler(path, &k.path);
            (same, alike, k.path.as_str())
        })
        .collect();
    scored.sort_by(|a, b| b.0.cmp(&a.0).then(b.1.total_cmp(&a.1)).then(a.2.cmp(b.2)));
    let best: Vec<String> = scored.iter().take(3).map(|s| format!("`{}`", s.2)).collect();
    let same = scored.first().is_some_and(|s| s.0);
    let mistyped = same || nearest(path, known.iter().map(|k| k.path.as_str())).is_some();
    let beginning = if mistyped {
        format!("did you mean {}?", best.join(", "))
    } else {
        format!("known are for instance {};", best.join(", "))
    };
    format!("{beginning} `rimhold scatter --inputs CASE CONSTRUCT` lists all; `*` stands for a whole name")
}
