//! Words and numbers that the figures of a search share.

use crate::show::chart::*;
use crate::study::result::{Aim, Place, Placement, Start, TiedState, with_unit};

/// The tied state of a design, when it is stable.
pub(super) fn tied_of(placement: &Placement) -> Option<&TiedState> {
    placement.hold.as_ref()?.tied.as_ref()
}

/// From where tying starts.
pub(super) fn start(found: &Place) -> &'static str {
    match found.from {
        Start::Reduced => "reduced",
        Start::Displaced => "displaced",
    }
}

/// A value of an objective with its unit.
pub(super) fn value(aim: &Aim, value: f64) -> String {
    let text = number(value, aim.decimals());
    if aim.unit.is_empty() { text } else { format!("{text} {}", aim.unit) }
}

/// A value in the words of a title: what it is, in few of them.
pub(super) fn reported(aim: &Aim, v: Option<f64>) -> String {
    let Some(v) = v else {
        return "fixation fails".to_owned();
    };
    let text = value(aim, v);
    match aim.key.as_str() {
        "inferior" => format!("{text} at 1 mm inferiorly"),
        "worst" => format!("{text}, weighted least at 1 mm"),
        "evenness" => format!("{text} of the bed as if even"),
        "reduction" => format!("step-off of {text} left"),
        _ => text,
    }
}

/// An objective as the title of an axis, with more words before the unit.
pub(super) fn axis(aim: &Aim, more: &str) -> String {
    let label = match aim.key.as_str() {
        "evenness" => "share of the bed as if even",
        "reduction" => "step-off left",
        "worst" => "weighted least load at 1 mm",
        _ => &aim.label,
    };
    with_unit(&format!("{}{more}", capital(label)), &aim.unit)
}

/// Name of a figure: that of a robust search says so.
pub(super) fn name(found: &Place, base: &str) -> String {
    if found.robust { format!("place-{base}-robust") } else { format!("place-{base}") }
}

/// What was sought, on what, for a caption.
pub(super) fn sought(found: &Place) -> String {
    let aim = &found.aims[0];
    let what = match found.robust {
        true => format!(
            "the {} percentile of {} under placement error and the spread of tension ({} common draws)",
            aim.percentile(),
            aim.label,
            found.draws
        ),
        false => aim.label.clone(),
    };
    let cut = if found.complete { "" } else { " The search was interrupted: this is the best so far." };
    format!("Case {}, construct {}, places sought for {what}.{cut}", found.case, found.construct)
}

/// What the answer of a robust search gains on fresh draws, as the end of a caption.
pub(super) fn gained(found: &Place) -> String {
    let Some(g) = &found.gain else { return String::new() };
    let aim = &found.aims[0];
    let none = || "no known number".to_owned();
    let known = |v: Option<f64>| v.map_or_else(none, |v| value(aim, v));
    let share = |v: f64| number(100.0 * v, 0);
    let interval = |v: Option<[f64; 2]>, words: &dyn Fn(f64) -> String| {
        v.map_or_else(String::new, |[lo, hi]| format!(" (95 % interval {} to {})", words(lo), words(hi)))
    };
    let [given, answer] = g.ends;
    let of = if g.pairs < g.draws { format!(" of the {} that count for both", g.pairs) } else { String::new() };
    let left = match given.uncertified + answer.uncertified {
        0 => String::new(),
        _ => format!(
            " Left out are {} and {} whose balance could not be checked.",
            given.uncertified, answer.uncertified
        ),
    };
    let told = |v: f64| value(aim, v);
    let by = g.difference.map_or_else(String::new, |d| {
        format!(", a difference of {}{}", told(d), interval(g.difference_interval, &told))
    });
    format!(
        " On {} fresh draws of placement error and tension, both designs under each on the full bed, the answer is the better one in {} %{}{of} and differs by {} (median; 80 % of draws {} to {}); nine of ten draws reach {} as given and {} as found{by}; fixation fails in {} and {} of them, an anchor misses its bone in {} and {}, which counts as the worst, and a load passes a limit in {} and {} of the stable ones.{left}",
        g.draws,
        g.better.map_or_else(none, |b| share(b.value)),
        interval(g.better_interval, &|v| format!("{} %", share(v))),
        known(g.median),
        known(g.low),
        known(g.high),
        known(g.given),
        known(g.found),
        given.lost,
        answer.lost,
        given.impossible,
        answer.impossible,
        given.beyond,
        answer.beyond
    )
}
