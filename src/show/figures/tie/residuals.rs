//! Figure "tie-residuals": residual step-off and inferior shift against ties done, one line an order.

use super::*;

/// What is taken of a state, mm.
type Measure = fn(&Stage) -> f64;

const PANELS: [(&str, Measure); 2] = [
    ("Largest step-off (mm)", |s| s.measures.step.value.abs()),
    ("Largest inferior shift (mm)", |s| s.measures.largest_shift().abs()),
];
/// Room for the label of a line's end, mm.
const LABEL: f64 = 18.0;
/// Height of a panel's data area, mm, and room above it.
const TALL: f64 = 46.0;
const HEAD: f64 = 5.6;
/// Colour of the orders that do not stand out.
const FAINT: Colour = Colour(178, 178, 178);

/// An order that stands out, with its name and its place among the series.
type Line<'a> = (Sequence<'a>, String, usize);

/// Draws residual step-off and inferior shift against ties done, one line an order.
pub fn tie_residuals(case: &Case, construct: &Construct, orders: &Orders, theme: &Theme) -> Figure {
    let lines = lines(case, construct, orders);
    let others = orders.runs.iter().filter(|r| lines.iter().all(|(s, ..)| s.run.order != r.order));
    let faint: Vec<Sequence<'_>> = others.map(|r| Sequence::new(case, construct, orders, r)).collect();
    let all = || lines.iter().map(|(s, ..)| s).chain(&faint);
    let settled = all().any(Sequence::is_settled).then_some(construct.ties.len() + 1);
    let x = Scale { lo: 0.0, hi: settled.unwrap_or(construct.ties.len()).max(1) as f64, step: 1.0 };
    // Both panels show millimetres of the same fragment: one scale.
    let values = all().flat_map(|s| &s.stages).flat_map(|s| PANELS.map(|(_, of)| of(s)));
    let y = Scale::load(0.0, values.fold(0.0, f64::max), 6);
    let (set, note) = (theme.words(), theme.note());
    let left = y.room(&set);
    let columns = if theme.is_wide() { 2 } else { 1 };
    let column = (theme.width - 4.0 * (columns - 1) as f64) / columns as f64;
    let row = HEAD + TALL + Plot::below(&set) + 3.6;
    let indent = 12.2 + set.bold().widest(lines.iter().map(|(_, name, _)| name));
    let chains: Vec<Vec<String>> =
        lines.iter().map(|(s, ..)| wrap_at_spaces(&chain(s), set, theme.width - indent - 1.0)).collect();
    let below: f64 = chains.iter().map(|l| l.len() as f64 * set.leading() + 0.5).sum();
    let rest = if faint.is_empty() { 0.0 } else { note.leading() + 0.6 };
    let rows = PANELS.len() / columns;
    let mut canvas = Canvas::new(theme.width, rows as f64 * row + below + rest + 1.2);
    for (k, (title, of)) in PANELS.into_iter().enumerate() {
        let origin = [(k % columns) as f64 * (column + 4.0), (k / columns) as f64 * row];
        let right = End::lead(lines.len()) + LABEL + 0.4;
        let plot = Plot { area: Rect::new(origin[0] + left, origin[1] + HEAD, column - left - right, TALL), x, y };
        canvas.text(&letter(k), [origin[0] + 0.6, origin[1] + 3.4], theme.heading());
        let under = |tick: f64| match settled {
            Some(s) if s as f64 == tick => "end".to_owned(),
            _ => x.words(tick),
        };
        plot.axes_with(&mut canvas, theme, ["Ties done", title], under);
        draw(&mut canvas, theme, &plot, of, &lines, &faint);
    }
    let mut top = rows as f64 * row + 0.6;
    for ((_, name, k), chain) in lines.iter().zip(&chains) {
        let middle = top + 0.5 * set.leading();
        canvas.line([1.0, middle], [9.0, middle], theme.line(*k));
        state(&mut canvas, theme, *k, [5.0, middle], false);
        let base = middle + 0.5 * set.capital();
        canvas.text(name, [10.4, base], set.in_colour(theme.series(*k).0).bold());
        top = canvas.lines(chain, [indent, base], set) - base + top + 0.5;
    }
    if !faint.is_empty() {
        let middle = top + 0.5 * note.leading();
        canvas.line([1.0, middle], [9.0, middle], Stroke::solid(FAINT, 0.6));
        let lost = faint.iter().filter(|s| s.lost.is_some()).count();
        let others =
            if faint.len() == 1 { "the other order".to_owned() } else { format!("the other {} orders", faint.len()) };
        let lost = if lost == 0 { String::new() } else { format!("; in {lost} of them fixation fails (cross)") };
        canvas.text(&(others + &lost), [10.4, middle + 0.5 * note.capital()], note);
    }
    let worse = lines.iter().any(|(s, ..)| s.stages.iter().any(|s| !s.worse.is_empty()));
    let caption = format!(
        "Residual displacement against ties done, construct {} on the case {}: (a) largest step-off along the fracture line, proud or recessed; (b) largest inferior shift of its middle and both ends, either way. One line an order; lines join solved states and say nothing about the way between them.{} {} Numbers at the ends of lines: after the last state.",
        orders.construct,
        case.name,
        if worse { " A hollow marker: the tie left the fragment lying worse than before it." } else { "" },
        choice(orders)
    );
    let alt = format!(
        "Two line charts of step-off and inferior shift against ties done. {}. {} more orders are drawn faintly.",
        joined(lines.iter().map(|(s, name, _)| format!("{name}: {}", all_spoken(s))), ". "),
        faint.len()
    );
    Figure::new("tie-residuals", canvas, numbers(case, construct, orders), caption, alt)
}

/// The lines that stand out, the least important first.
fn lines<'a>(case: &Case, construct: &Construct, orders: &'a Orders) -> Vec<Line<'a>> {
    let (best, worst) = best_and_worst(orders);
    let own = orders.runs.iter().find(|r| r.own);
    let mut out: Vec<Line<'a>> = Vec::new();
    let entries: [(Option<&OrderRun>, &str, usize); 3] = [(best, "best", 0), (worst, "worst", 1), (own, "own", 2)];
    for (run, name, series) in entries.into_iter().filter_map(|(run, name, k)| Some((run?, name, k))) {
        match out.iter_mut().find(|(s, ..)| s.run.order == run.order) {
            Some((_, known, _)) => *known = format!("{known}, {name}"),
            None => out.push((Sequence::new(case, construct, orders, run), name.to_owned(), series)),
        }
    }
    for (sequence, name, _) in &mut out {
        if orders.runs.len() == 1 {
            *name = "order".to_owned();
        }
        if sequence.lost.is_some() {
            *name = format!("{}fixation fails", if sequence.run.own { "own, " } else { "" });
        }
    }
    out
}

/// Draws the lines of a panel.
fn draw(canvas: &mut Canvas, theme: &Theme, plot: &Plot, of: Measure, lines: &[Line<'_>], faint: &[Sequence<'_>]) {
    let curve = |s: &Sequence<'_>| plot.all(s.stages.iter().map(|s| [s.number as f64, of(s)]));
    for sequence in faint {
        let curve = curve(sequence);
        canvas.path(&curve, Stroke::solid(FAINT, 0.6));
        if let (Some(_), Some(end)) = (&sequence.lost, curve.last()) {
            cross(canvas, *end, 1.15, Stroke::solid(FAINT.shade(0.25), 0.8));
        }
    }
    let curves: Vec<Vec<Point>> = lines.iter().map(|(s, ..)| curve(s)).collect();
    let stroke = |k: usize| Stroke { width: 1.3 * theme.curve, ..theme.line(k) };
    // Paper round all of them first: where two run together, both are seen.
    lines.iter().zip(&curves).for_each(|((.., k), curve)| canvas.path(curve, stroke(*k).casing()));
    lines.iter().zip(&curves).for_each(|((.., k), curve)| canvas.path(curve, stroke(*k)));
    let set = theme.words();
    let mut ends = Vec::new();
    for ((sequence, name, k), curve) in lines.iter().zip(&curves) {
        let (colour, _) = theme.series(*k);
        for (stage, at) in sequence.stages.iter().zip(curve) {
            state(canvas, theme, *k, *at, !stage.worse.is_empty());
        }
        if let (Some(_), Some(end)) = (&sequence.lost, curve.last()) {
            cross(canvas, *end, 1.15, Stroke::solid(colour, 1.6));
        }
        let set = set.in_colour(colour);
        let mut words: Vec<_> = wrap_at_spaces(name, set.bold(), LABEL).into_iter().map(|l| (l, set.bold())).collect();
        words.push((format!("{:.2} mm", sequence.stages.last().map_or(0.0, of)), set));
        ends.push(End { at: curve.last().copied(), colour, lines: words, sign: None, crossed: false });
    }
    plot.ends(canvas, theme, &ends);
}

/// The marker of a state; hollow where the tie left the fragment worse than before.
fn state(canvas: &mut Canvas, theme: &Theme, series: usize, at: Point, hollow: bool) {
    let (colour, _) = theme.series(series);
    marker(canvas, series, at, 0.95, if hollow { WHITE } else { colour }, Stroke::solid(WHITE, 1.5));
    marker(canvas, series, at, 0.85, if hollow { WHITE } else { colour }, Stroke::solid(colour, 0.7));
}
