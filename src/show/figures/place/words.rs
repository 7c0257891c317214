//! Words and numbers that the figures of a search share.

use crate::show::figures::scatter::words::{number, with_unit};
use crate::study::result::{Aim, Place};

/// A value of an objective with its unit.
pub(super) fn value(aim: &Aim, value: f64) -> String {
    let text = number(value, aim.decimals());
    if aim.unit.is_empty() { text } else { format!("{text} {}", aim.unit) }
}

/// A value in the words of a title: what it is, in few of them.
pub(super) fn told(aim: &Aim, v: Option<f64>) -> String {
    let Some(v) = v else {
        return "not held".to_owned();
    };
    let text = value(aim, v);
    match aim.key.as_str() {
        "inferior" => format!("{text} at 1 mm inferiorly"),
        "worst" => format!("{text}, weighted least at 1 mm"),
        "evenness" => format!("{text} of the bed as if even"),
        "reduction" => format!("step of {text} left"),
        _ => text,
    }
}

/// An objective as the title of an axis.
pub(super) fn axis(aim: &Aim) -> String {
    axis_of(aim, "")
}

/// A title that starts in the middle of a line.
pub(super) fn lower(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map_or_else(String::new, |c| c.to_lowercase().chain(chars).collect())
}

/// The same with more words before the unit.
pub(super) fn axis_of(aim: &Aim, more: &str) -> String {
    let label = match aim.key.as_str() {
        "evenness" => "share of the bed as if even",
        "reduction" => "articular step left",
        "worst" => "weighted least load at 1 mm",
        _ => &aim.label,
    };
    let mut chars = label.chars();
    let label: String = chars.next().map_or_else(String::new, |c| c.to_uppercase().chain(chars).collect());
    with_unit(&format!("{label}{more}"), &aim.unit)
}

/// Name of a figure: that of a robust search says so.
pub(super) fn name(found: &Place, base: &str) -> String {
    if found.robust { format!("place-{base}-robust") } else { format!("place-{base}") }
}

/// What was sought, on what, for a caption.
pub(super) fn sought(found: &Place) -> String {
    let what = if found.robust {
        format!(
            "{} percentile of {} under placement error and the spread of tension ({} common draws)",
            format_args!("the {}", found.aims[0].percentile()),
            found.aims[0].label,
            found.draws
        )
    } else {
        found.aims[0].label.clone()
    };
    let cut = if found.complete { "" } else { " The search was interrupted: this is the best so far." };
    format!("Case {}, construct {}, places sought for {what}.{cut}", found.case, found.construct)
}
