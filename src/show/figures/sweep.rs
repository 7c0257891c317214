//! Figures of a sweep: lines over one input, maps over two.

mod lines;
mod map;

use super::*;

pub use lines::sweep_lines;
pub use map::sweep_map;

/// Every figure of a sweep: one map for each quantity asked for when two inputs with a scale are
/// varied, otherwise one figure of lines with a panel for each.
pub fn sweep_figures(found: &Sweep, style: Style) -> Vec<Figure> {
    let mut figures = sweep_drawn(found, style);
    name_apart(figures.iter_mut());
    figures.into_iter().map(|f| style.finish(f)).collect()
}

/// The same before the sheet of the style is put round them.
pub(crate) fn sweep_drawn(found: &Sweep, style: Style) -> Vec<Figure> {
    let map = found.axes.len() == 2 && !found.axes.iter().any(SweepAxis::has_states);
    // One panel needs one column alone.
    let panels = found.constructs.len() * if map { 1 } else { found.shown };
    let theme = if panels > 1 { style.double() } else { style.single() };
    if map { (0..found.shown).map(|q| sweep_map(found, q, &theme)).collect() } else { vec![sweep_lines(found, &theme)] }
}

/// Name of a figure of a sweep.
fn name(found: &Sweep, what: &str) -> String {
    let parts = ["sweep", found.name.as_deref().unwrap_or_default(), what];
    parts.into_iter().filter(|p| !p.is_empty()).collect::<Vec<_>>().join("-")
}

/// The question of a ready-made sweep, as a beginning.
fn question(found: &Sweep) -> String {
    found.question.as_ref().map_or_else(String::new, |q| format!("{q} "))
}

/// An input with its unit.
fn axis(of: &SweepAxis) -> String {
    with_unit(&input::words(&of.path), &of.unit)
}

/// A value of an input.
fn value(of: &SweepAxis, v: f64) -> String {
    if let Some(state) = of.state(v) {
        return state.to_owned();
    }
    let text = number(v, 3);
    if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').to_owned() } else { text }
}

/// How many points of a construct ended how, of those computed; of an interrupted sweep also how many
/// were asked for.
fn ends(swept: &Swept, asked: usize) -> String {
    match swept.points.len() {
        done if done >= asked => ended(swept),
        0 => format!("none of {asked} points computed"),
        done => format!("{} ({done} of {asked} requested)", ended(swept)),
    }
}

fn ended(swept: &Swept) -> String {
    let total = swept.points.len();
    let count = |kind: Ended| match swept.points.iter().filter(|p| p.end == kind).count() {
        0 => None,
        n => Some((n, kind.words())),
    };
    let parts: Vec<(usize, &str)> = Ended::ALL[1..].iter().copied().filter_map(count).collect();
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
fn total(found: &Sweep) -> usize {
    found.axes.iter().map(|a| a.values.len()).product()
}

/// What was done, for a caption.
fn done(found: &Sweep) -> String {
    let from = crate::show::words::word(&found.from);
    let list = found.constructs.iter().map(|c| format!("{}: {}", c.construct, ends(c, total(found))));
    let (Sweep { case, direction, to, cells, .. }, ends) = (found, joined(list, "; "));
    let cut = if found.complete { "" } else { "; interrupted, not all points are done" };
    format!(
        "Case {case}, tied from the {from} position, pushed {direction} {to} mm on about {cells} bed cells; all other inputs as in the files{cut}. {ends}."
    )
}

/// Every point with how it ended and the quantities with the places given.
fn numbers(found: &Sweep, quantities: &[usize]) -> String {
    let axes = found.axes.iter().map(|a| with_unit(&a.path, &a.unit));
    let values = quantities.iter().map(|q| with_unit(&found.quantities[*q].key, &found.quantities[*q].unit));
    let heading = ["construct".to_owned()].into_iter().chain(axes).chain(["end".to_owned()]).chain(values);
    let rows = found.constructs.iter().flat_map(|construct| {
        construct.points.iter().map(|point| {
            let at = found.axes.iter().zip(&point.at).map(|(axis, v)| match axis.has_states() {
                true => json!(axis.written(*v)),
                false => json!(v),
            });
            let values: Vec<Option<f64>> = quantities.iter().map(|q| point.values[*q]).collect();
            json!([construct.construct, at.collect::<Vec<_>>(), point.end.words(), values, point.why])
        })
    });
    csv(heading.chain(["why".to_owned()]), rows)
}
