//! Figures of a search for better places: before and after, how far anchors may stand from them, fronts, and
//! how the search went.

mod before_after;
mod convergence;
mod front;
mod tolerance;

use super::*;

pub use before_after::place_before_after;
pub use convergence::place_convergence;
pub use front::place_front;
pub use tolerance::place_tolerance;

/// Every figure of a search, in the order in which a reader meets them: before and after, the placement
/// tolerance (when it was mapped), the front (when two objectives were asked for), and how the
/// search went.
pub fn place_figures(case: &Case, construct: &Construct, found: &Place, style: Style) -> Vec<Figure> {
    let (single, double) = (style.single(), style.double());
    let mut figures = vec![place_before_after(case, construct, found, &style.drawing())];
    figures.extend(place_tolerance(case, found, &double));
    figures.extend(place_front(case, found, &double));
    figures.push(place_convergence(found, &single));
    name_apart(figures.iter_mut());
    figures.into_iter().map(|f| style.finish(f)).collect()
}

/// The tied state of a design, when it is stable.
fn tied_of(placement: &Placement) -> Option<&TiedState> {
    placement.hold.as_ref()?.tied.as_ref()
}

/// A value of an objective with its unit.
fn value(aim: &Aim, value: f64) -> String {
    let text = number(value, aim.decimals());
    if aim.unit.is_empty() { text } else { format!("{text} {}", aim.unit) }
}

/// A value in the words of a title: what it is, in few of them.
fn reported(aim: &Aim, v: Option<f64>) -> String {
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
fn axis(aim: &Aim, more: &str) -> String {
    let label = match aim.key.as_str() {
        "evenness" => "share of the bed as if even",
        "reduction" => "step-off left",
        "worst" => "weighted least load at 1 mm",
        _ => &aim.label,
    };
    with_unit(&format!("{}{more}", capital(label)), &aim.unit)
}

/// Name of a figure: that of a robust search says so.
fn name(found: &Place, base: &str) -> String {
    if found.robust { format!("place-{base}-robust") } else { format!("place-{base}") }
}

/// What was sought, on what, for a caption.
fn sought(found: &Place) -> String {
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
fn gained(found: &Place) -> String {
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
