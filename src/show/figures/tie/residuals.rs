//! Figure "tie-residuals": residual step and inferior shift against ties done, one line an order.

mod panel;

use super::stage::{Sequence, Stage, extremes};
use super::{table, words};
use crate::model::{Case, Construct};
use crate::show::figures::axis::{Plot, Scale};
use crate::show::figures::canvas::{Canvas, Stroke, Type};
use crate::show::figures::colour::Colour;
use crate::show::figures::figure::Figure;
use crate::show::figures::font::Face;
use crate::show::figures::rect::Rect;
use crate::show::figures::theme::Theme;
use crate::study::result::{OrderRun, Orders};
use panel::{Panel, marker};

/// What is taken of a state, mm.
type Measure = fn(&Stage) -> f64;

/// Room for the label of a line's end, mm.
const LABEL: f64 = 23.0;
/// Height of a panel's data area, mm.
const TALL: f64 = 46.0;

/// An order that stands out: the second code beside its colour is its dash and its marker.
struct Line<'a> {
    sequence: Sequence<'a>,
    name: String,
    colour: Colour,
    dash: &'static [f64],
    marker: usize,
}

/// Draws both panels, beside each other where there is room.
pub(super) fn residuals(case: &Case, construct: &Construct, orders: &Orders, theme: &Theme) -> Figure {
    let lines = lines(case, construct, orders, theme);
    let faint: Vec<Sequence<'_>> = orders
        .runs
        .iter()
        .filter(|r| lines.iter().all(|l| l.sequence.run.order != r.order))
        .map(|r| Sequence::new(case, construct, orders, r))
        .collect();
    let all = || lines.iter().map(|l| &l.sequence).chain(&faint);
    let ties = construct.ties.len();
    let settled = all().any(Sequence::is_settled);
    let x = Scale { lo: 0.0, hi: (ties + usize::from(settled)).max(1) as f64, step: 1.0 };
    let panels: [(&str, Measure); 2] = [
        ("Largest step (mm)", |s| s.measures.step.value.abs()),
        ("Largest inferior shift (mm)", |s| s.measures.largest_shift().abs()),
    ];
    let most = |of: Measure| all().flat_map(|s| &s.stages).map(of).fold(0.0, f64::max);
    // Both panels show millimetres of the same fragment: one scale.
    let y = Scale::load(0.0, most(panels[0].1).max(most(panels[1].1)), 6);
    let set = Type::new(theme.text, theme.ink);
    let left = y.room(&set);
    let (columns, gutter) = if theme.is_wide() { (2, 4.0) } else { (1, 0.0) };
    let column = (theme.width - gutter) / columns as f64;
    let head = 5.6;
    let foot = 2.6 + 2.0 * set.capital() + 3.6;
    let row = head + TALL + foot;
    let names = named(&lines, theme);
    let small = Type::new(theme.small, theme.muted);
    let below: f64 = names.iter().map(|(l, _)| l.len() as f64 * set.leading() + 0.5).sum();
    let note = if faint.is_empty() { 0.0 } else { small.leading() + 0.6 };
    let rows = 2 / columns;
    let mut canvas = Canvas::new(theme.width, rows as f64 * row + below + note + 1.2);
    for (k, (title, of)) in panels.into_iter().enumerate() {
        let origin = [(k % columns) as f64 * (column + gutter), (k / columns) as f64 * row];
        let area = Rect::new(origin[0] + left, origin[1] + head, column - left - LABEL, TALL);
        let bold = Type::new(theme.title, theme.ink).face(Face::Bold);
        let letter = char::from(b'a' + k as u8).to_string();
        canvas.text(&letter, [origin[0] + 0.6, origin[1] + 3.4], bold);
        let panel = Panel { plot: Plot { area, x, y }, theme, of, settled: settled.then_some(ties + 1) };
        panel.axes(&mut canvas, title, origin[0] + 1.0 + set.capital());
        panel.faint(&mut canvas, &faint);
        panel.lines(&mut canvas, &lines);
    }
    let mut top = rows as f64 * row + 0.6;
    for (line, (words, indent)) in lines.iter().zip(&names) {
        let middle = top + 0.5 * set.leading();
        let stroke = Stroke::dashed(line.colour, theme.curve, line.dash);
        canvas.line([1.0, middle], [9.0, middle], stroke);
        marker(&mut canvas, line.marker, [5.0, middle], line.colour, false);
        let own = Type::new(theme.text, line.colour.shade(0.3)).face(Face::Bold);
        let mut base = middle + 0.5 * set.capital();
        canvas.text(&line.name, [10.4, base], own);
        for text in words {
            canvas.text(text, [*indent, base], set);
            base += set.leading();
        }
        top += words.len() as f64 * set.leading() + 0.5;
    }
    if !faint.is_empty() {
        let middle = top + 0.5 * small.leading();
        canvas.line([1.0, middle], [9.0, middle], Stroke::solid(FAINT, 0.6));
        canvas.text(&rest(&faint), [10.4, middle + 0.5 * small.capital()], small);
    }
    Figure::new(
        "tie-residuals",
        canvas,
        table::csv(case, construct, orders),
        caption(case, orders, &lines),
        alt(&lines, &faint),
    )
}

/// Colour of the orders that do not stand out.
const FAINT: Colour = Colour(178, 178, 178);

/// The lines that stand out, the least important first.
fn lines<'a>(case: &Case, construct: &Construct, orders: &'a Orders, theme: &Theme) -> Vec<Line<'a>> {
    let (best, worst) = extremes(orders);
    let own = orders.runs.iter().find(|r| r.own);
    let mut out: Vec<Line<'a>> = Vec::new();
    let entries: [(Option<&OrderRun>, &str, usize); 3] = [(best, "best", 0), (worst, "worst", 1), (own, "own", 2)];
    for (run, name, series) in entries {
        let Some(run) = run else { continue };
        if let Some(known) = out.iter_mut().find(|l| l.sequence.run.order == run.order) {
            known.name = format!("{}, {name}", known.name);
            continue;
        }
        let (colour, dash) = theme.series(series);
        out.push(Line {
            sequence: Sequence::new(case, construct, orders, run),
            name: name.to_owned(),
            colour,
            dash,
            marker: series,
        });
    }
    if orders.runs.len() == 1 {
        for line in &mut out {
            line.name = "order".to_owned();
        }
    }
    for line in &mut out {
        if line.sequence.lost.is_some() {
            let own = if line.sequence.run.own { "own, " } else { "" };
            line.name = format!("{own}not held");
        }
    }
    out
}

/// The ties of each line in words, with where they begin, mm.
fn named(lines: &[Line<'_>], theme: &Theme) -> Vec<(Vec<String>, f64)> {
    let set = Type::new(theme.text, theme.ink);
    let bold = set.face(Face::Bold);
    let indent = 12.2 + lines.iter().map(|l| bold.width(&l.name)).fold(0.0, f64::max);
    lines
        .iter()
        .map(|l| {
            let chain = words::chain(&l.sequence);
            (words::lines(&chain, set, theme.width - indent - 1.0), indent)
        })
        .collect()
}

fn rest(faint: &[Sequence<'_>]) -> String {
    let lost = faint.iter().filter(|s| s.lost.is_some()).count();
    let others = match faint.len() {
        1 => "the other order".to_owned(),
        n => format!("the other {n} orders"),
    };
    match lost {
        0 => others,
        n => format!("{others}; {n} of them not held (cross)"),
    }
}

fn caption(case: &Case, orders: &Orders, lines: &[Line<'_>]) -> String {
    let hollow = if lines.iter().any(|l| l.sequence.stages.iter().any(|s| !s.worse.is_empty())) {
        " A hollow marker: the tie left the fragment lying worse than before it."
    } else {
        ""
    };
    format!(
        "Residual displacement against ties done, construct {} on the case {}: (a) largest articular step along the fracture line, proud or sunk; (b) largest inferior shift of its middle and both ends, either way. One line an order; lines join solved states and say nothing about the way between them.{hollow} {} Numbers at the ends of lines: after the last state.",
        orders.construct,
        case.name,
        words::choice(orders)
    )
}

fn alt(lines: &[Line<'_>], faint: &[Sequence<'_>]) -> String {
    let parts: Vec<String> = lines
        .iter()
        .map(|l| {
            let states: Vec<String> = l.sequence.stages.iter().map(words::spoken).collect();
            format!("{}: {}", l.name, states.join("; "))
        })
        .collect();
    format!(
        "Two line charts of step and inferior shift against ties done. {}. {} more orders are drawn faintly.",
        parts.join(". "),
        faint.len()
    )
}
