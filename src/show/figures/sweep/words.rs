//! Numbers and sentences that the figures of sweeps share.

use crate::show::chart::*;
use crate::show::figures::input;
use crate::study::result::{End, Start, Sweep, SweepAxis, Swept, with_unit};

/// Name of a figure of a sweep.
pub(super) fn name(found: &Sweep, what: &str) -> String {
    let parts = ["sweep", found.name.as_deref().unwrap_or_default(), what];
    parts.into_iter().filter(|p| !p.is_empty()).collect::<Vec<_>>().join("-")
}

/// The question of a ready-made sweep, as a beginning.
pub(super) fn question(found: &Sweep) -> String {
    found.question.as_ref().map_or_else(String::new, |q| format!("{q} "))
}

/// An input with its unit.
pub(super) fn axis(of: &SweepAxis) -> String {
    with_unit(&input::words(&of.path), &of.unit)
}

/// A value of an input.
pub(super) fn value(of: &SweepAxis, v: f64) -> String {
    if let Some(state) = of.state(v) {
        return state.to_owned();
    }
    let text = number(v, 3);
    if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').to_owned() } else { text }
}

/// How many points of a construct ended how, of those computed; of an interrupted sweep also how many
/// were asked for.
pub(super) fn ends(swept: &Swept, asked: usize) -> String {
    match swept.points.len() {
        done if done >= asked => ended(swept),
        0 => format!("none of {asked} points computed"),
        done => format!("{} ({done} of {asked} requested)", ended(swept)),
    }
}

fn ended(swept: &Swept) -> String {
    let total = swept.points.len();
    let count = |kind: End| match swept.points.iter().filter(|p| p.end == kind).count() {
        0 => None,
        n => Some((n, kind.words())),
    };
    let kinds = [End::LostInPush, End::NotHeld, End::Uncertified, End::Impossible];
    let parts: Vec<(usize, &str)> = kinds.into_iter().filter_map(count).collect();
    match parts.as_slice() {
        [] if total == 1 => "stable".to_owned(),
        [] => format!("all {total} points stable"),
        [(_, what)] if total == 1 => (*what).to_owned(),
        [(n, what)] if *n == total => format!("all {total} points {what}"),
        _ => {
            let parts: Vec<String> = parts.iter().map(|(n, what)| format!("{n} {what}")).collect();
            format!("{}, of {total} points", parts.join(", "))
        }
    }
}

/// Points of the whole grid.
pub(super) fn total(found: &Sweep) -> usize {
    found.axes.iter().map(|a| a.values.len()).product()
}

/// What was done, for a caption.
pub(super) fn done(found: &Sweep) -> String {
    let from = match found.from {
        Start::Reduced => "reduced",
        Start::Displaced => "displaced",
    };
    let list = found.constructs.iter().map(|c| format!("{}: {}", c.construct, ends(c, total(found))));
    format!(
        "Case {}, tied from the {from} position, pushed {} {} mm on about {} bed cells; all other inputs as in the files{}. {}.",
        found.case,
        found.direction,
        found.to,
        found.cells,
        if found.complete { "" } else { "; interrupted, not all points are done" },
        joined(list, "; ")
    )
}

/// Every point with how it ended and the quantities with the places given.
pub(super) fn csv(found: &Sweep, quantities: &[usize]) -> String {
    let axes = found.axes.iter().map(|a| with_unit(&a.path, &a.unit));
    let values = quantities.iter().map(|q| with_unit(&found.quantities[*q].key, &found.quantities[*q].unit));
    let heading = ["construct".to_owned()].into_iter().chain(axes).chain(["end".to_owned()]).chain(values);
    let mut csv = Csv::new(heading.chain(["why".to_owned()]));
    for construct in &found.constructs {
        for point in &construct.points {
            let at = found.axes.iter().zip(&point.at).map(|(axis, v)| match axis.has_states() {
                true => axis.written(*v).into(),
                false => Cell::from(*v),
            });
            let values = quantities.iter().map(|q| Cell::from(point.values[*q]));
            let begin = row![&construct.construct].into_iter().chain(at).chain(row![point.end.words()]);
            csv.row(begin.chain(values).chain(row![&point.why]));
        }
    }
    csv.finish()
}
