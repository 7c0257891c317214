//! Numbers and sentences that the figures of sweeps share.

use crate::show::figures::csv::{Csv, field};
use crate::show::figures::input;
use crate::show::figures::scatter::words::{number, with_unit};
use crate::study::result::{End, Start, Sweep, SweepAxis, Swept};

/// Name of a figure of a sweep.
pub(super) fn name(found: &Sweep, what: &str) -> String {
    let base = found.name.as_deref().map_or(String::new(), |n| format!("-{n}"));
    let what = if what.is_empty() { String::new() } else { format!("-{what}") };
    format!("sweep{base}{what}")
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
    let done = swept.points.len();
    if done < asked {
        return match done {
            0 => format!("none of {asked} points computed"),
            _ => format!("{} ({done} of {asked} asked for)", ended(swept)),
        };
    }
    ended(swept)
}

fn ended(swept: &Swept) -> String {
    let total = swept.points.len();
    let parts: Vec<String> = [End::LostInPush, End::NotHeld, End::Uncertified, End::Impossible]
        .into_iter()
        .filter_map(|kind| {
            let n = swept.points.iter().filter(|p| p.end == kind).count();
            (n > 0).then(|| format!("{n} {}", kind.words()))
        })
        .collect();
    match parts.as_slice() {
        [] if total == 1 => "held".to_owned(),
        [] => format!("all {total} points held"),
        [_] if total == 1 => swept.points[0].end.words().to_owned(),
        [all] if *all == format!("{total} {}", swept.points[0].end.words()) => {
            format!("all {total} points {}", swept.points[0].end.words())
        }
        _ => format!("{}, of {total} points", parts.join(", ")),
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
    let list: Vec<String> =
        found.constructs.iter().map(|c| format!("{}: {}", c.construct, ends(c, total(found)))).collect();
    format!(
        "Case {}, tied from the {from} position, pushed {} {} mm on about {} bed cells; all other inputs as in the files{}. {}.",
        found.case,
        found.direction,
        found.to,
        found.cells,
        if found.complete { "" } else { "; interrupted, not all points are done" },
        list.join("; ")
    )
}

/// Every point with how it ended and the quantities with the places given.
pub(super) fn csv(found: &Sweep, quantities: &[usize]) -> String {
    let mut header = vec!["construct".to_owned()];
    header.extend(found.axes.iter().map(|a| field(&with_unit(&a.path, &a.unit))));
    header.push("end".to_owned());
    header.extend(quantities.iter().map(|q| {
        let q = &found.quantities[*q];
        field(&with_unit(&q.key, &q.unit))
    }));
    header.push("why".to_owned());
    let header: Vec<&str> = header.iter().map(String::as_str).collect();
    let mut csv = Csv::new(&header);
    for construct in &found.constructs {
        for point in &construct.points {
            let mut row = vec![field(&construct.construct)];
            let at = found.axes.iter().zip(&point.at);
            row.extend(at.map(|(axis, v)| axis.written(*v)));
            row.push(point.end.words().to_owned());
            let values = quantities.iter().map(|q| point.values[*q]);
            row.extend(values.map(|v| v.map_or(String::new(), |v| v.to_string())));
            row.push(field(&point.why));
            csv.row(row);
        }
    }
    csv.finish()
}
