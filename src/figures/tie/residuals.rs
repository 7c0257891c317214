//! Figure "tie-residuals": residual step and inferior shift against ties done, one line an order.

use super::stage::{Sequence, Stage, extremes};
use super::{table, words};
use crate::case::{Case, Construct};
use crate::figures::axis::{Plot, Scale};
use crate::figures::canvas::{Align, Canvas, Stroke, Type, casing};
use crate::figures::colour::Colour;
use crate::figures::figure::Figure;
use crate::figures::font::Face;
use crate::figures::label::spread;
use crate::figures::rect::{Point, Rect};
use crate::figures::theme::Theme;
use crate::study::result::{OrderRun, Orders};

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
pub(super) fn residuals(
    case: &Case,
    construct: &Construct,
    orders: &Orders,
    theme: &Theme,
) -> Figure {
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
    let x = Scale {
        lo: 0.0,
        hi: (ties + usize::from(settled)).max(1) as f64,
        step: 1.0,
    };
    let panels: [(&str, Measure); 2] = [
        ("Largest step (mm)", |s| s.measures.step.value.abs()),
        ("Largest inferior shift (mm)", |s| {
            s.measures.largest_shift().abs()
        }),
    ];
    let most = |of: Measure| all().flat_map(|s| &s.stages).map(of).fold(0.0, f64::max);
    // Both panels show millimetres of the same fragment: one scale.
    let y = Scale::load(0.0, most(panels[0].1).max(most(panels[1].1)), 6);
    let set = Type::new(theme.text, theme.ink);
    let numbers = y
        .ticks()
        .iter()
        .map(|t| set.width(&y.words(*t)))
        .fold(0.0, f64::max);
    let left = 1.0 + set.capital() + 2.2 + numbers + 1.3;
    let (columns, gutter) = if theme.is_wide() { (2, 4.0) } else { (1, 0.0) };
    let column = (theme.width - gutter) / columns as f64;
    let head = 5.6;
    let foot = 2.6 + 2.0 * set.capital() + 3.6;
    let row = head + TALL + foot;
    let names = named(&lines, theme);
    let small = Type::new(theme.small, theme.muted);
    let below: f64 = names
        .iter()
        .map(|(l, _)| l.len() as f64 * set.leading() + 0.5)
        .sum();
    let note = if faint.is_empty() {
        0.0
    } else {
        small.leading() + 0.6
    };
    let rows = 2 / columns;
    let mut canvas = Canvas::new(theme.width, rows as f64 * row + below + note + 1.2);
    for (k, (title, of)) in panels.into_iter().enumerate() {
        let origin = [
            (k % columns) as f64 * (column + gutter),
            (k / columns) as f64 * row,
        ];
        let area = Rect::new(
            origin[0] + left,
            origin[1] + head,
            column - left - LABEL,
            TALL,
        );
        let bold = Type::new(theme.title, theme.ink).face(Face::Bold);
        let letter = char::from(b'a' + k as u8).to_string();
        canvas.text(&letter, [origin[0] + 0.6, origin[1] + 3.4], bold);
        let panel = Panel {
            plot: Plot { area, x, y },
            theme,
            of,
            settled: settled.then_some(ties + 1),
        };
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
fn lines<'a>(
    case: &Case,
    construct: &Construct,
    orders: &'a Orders,
    theme: &Theme,
) -> Vec<Line<'a>> {
    let (best, worst) = extremes(orders);
    let own = orders.runs.iter().find(|r| r.own);
    let mut out: Vec<Line<'a>> = Vec::new();
    let entries: [(Option<&OrderRun>, &str, usize); 3] =
        [(best, "best", 0), (worst, "worst", 1), (own, "own", 2)];
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
    let indent = 12.2
        + lines
            .iter()
            .map(|l| bold.width(&l.name))
            .fold(0.0, f64::max);
    lines
        .iter()
        .map(|l| {
            let chain = words::chain(&l.sequence);
            (
                words::lines(&chain, set, theme.width - indent - 1.0),
                indent,
            )
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

/// One panel.
struct Panel<'a> {
    plot: Plot,
    theme: &'a Theme,
    of: fn(&Stage) -> f64,
    /// Where the settled state stands on the horizontal axis.
    settled: Option<usize>,
}

impl Panel<'_> {
    fn axes(&self, canvas: &mut Canvas, title: &str, x_of_title: f64) {
        let (theme, plot) = (self.theme, &self.plot);
        plot.axes(canvas, theme, ["Ties done", title], x_of_title, false);
        let set = Type::new(theme.text, theme.ink).align(Align::Centre);
        for tick in plot.x.ticks() {
            let p = plot.at(tick, plot.y.lo);
            let words = if self.settled.is_some_and(|s| s as f64 == tick) {
                "end".to_owned()
            } else {
                plot.x.words(tick)
            };
            canvas.text(&words, [p[0], p[1] + 1.4 + set.capital()], set);
        }
    }

    fn curve(&self, sequence: &Sequence<'_>) -> Vec<Point> {
        sequence
            .stages
            .iter()
            .map(|s| self.plot.at(s.number as f64, (self.of)(s)))
            .collect()
    }

    fn faint(&self, canvas: &mut Canvas, faint: &[Sequence<'_>]) {
        for sequence in faint {
            let curve = self.curve(sequence);
            let stroke = Stroke::solid(FAINT, 0.6);
            canvas.path(&curve, stroke);
            if let (Some(_), Some(end)) = (&sequence.lost, curve.last()) {
                cross(canvas, *end, FAINT.shade(0.25), 0.8);
            }
        }
    }

    fn lines(&self, canvas: &mut Canvas, lines: &[Line<'_>]) {
        let theme = self.theme;
        let curves: Vec<Vec<Point>> = lines.iter().map(|l| self.curve(&l.sequence)).collect();
        // Paper round all of them first: where two run together, both are seen.
        let width = 1.3 * theme.curve;
        for (line, curve) in lines.iter().zip(&curves) {
            canvas.path(curve, casing(Stroke::solid(line.colour, width)));
        }
        for (line, curve) in lines.iter().zip(&curves) {
            canvas.path(curve, Stroke::dashed(line.colour, width, line.dash));
        }
        for (line, curve) in lines.iter().zip(&curves) {
            for (stage, at) in line.sequence.stages.iter().zip(curve) {
                marker(
                    canvas,
                    line.marker,
                    *at,
                    line.colour,
                    !stage.worse.is_empty(),
                );
            }
            if let (Some(_), Some(end)) = (&line.sequence.lost, curve.last()) {
                cross(canvas, *end, line.colour, 1.6);
            }
        }
        let set = Type::new(theme.text, theme.ink).face(Face::Bold);
        let ends: Vec<f64> = curves
            .iter()
            .map(|c| c.last().map_or(self.plot.area.bottom(), |p| p[1]))
            .collect();
        let room = LABEL - 5.2;
        let texts: Vec<Vec<String>> = lines
            .iter()
            .map(|l| {
                let value = l.sequence.stages.last().map_or(0.0, self.of);
                let mut words = words::lines(&l.name, set, room);
                words.push(format!("{value:.2} mm"));
                words
            })
            .collect();
        let heights: Vec<f64> = texts
            .iter()
            .map(|w| w.len() as f64 * set.leading() + 0.6)
            .collect();
        let area = self.plot.area;
        let centres = spread(&ends, &heights, area.y - 1.0, area.bottom() + 2.0);
        for (k, (line, words)) in lines.iter().zip(&texts).enumerate() {
            let column = area.right() + 4.2;
            if let Some(end) = curves[k].last() {
                canvas.path(
                    &[
                        [end[0] + 1.4, end[1]],
                        [(area.right() + 1.6).max(end[0] + 1.4), end[1]],
                        [column - 0.6, centres[k]],
                    ],
                    Stroke::solid(line.colour, theme.hair),
                );
            }
            let mut base =
                centres[k] - 0.5 * (words.len() - 1) as f64 * set.leading() + 0.5 * set.capital();
            for (i, word) in words.iter().enumerate() {
                let face = if i + 1 == words.len() {
                    Face::Regular
                } else {
                    Face::Bold
                };
                let set = Type::new(theme.text, line.colour.shade(0.3)).face(face);
                canvas.text(word, [column, base], set);
                base += set.leading();
            }
        }
    }
}

fn cross(canvas: &mut Canvas, at: Point, colour: Colour, width: f64) {
    let d = 1.15;
    let stroke = Stroke::solid(colour, width);
    canvas.line([at[0] - d, at[1] - d], [at[0] + d, at[1] + d], stroke);
    canvas.line([at[0] - d, at[1] + d], [at[0] + d, at[1] - d], stroke);
}

/// A disc, a square or a triangle; hollow where the tie left the fragment worse than before.
fn marker(canvas: &mut Canvas, kind: usize, at: Point, colour: Colour, hollow: bool) {
    let [x, y] = at;
    let white = crate::figures::colour::WHITE;
    let shape = |r: f64| -> Vec<Point> {
        if kind == 1 {
            vec![
                [x - r, y - r],
                [x + r, y - r],
                [x + r, y + r],
                [x - r, y + r],
            ]
        } else {
            let r = 1.35 * r;
            vec![
                [x, y - r],
                [x + 0.87 * r, y + 0.5 * r],
                [x - 0.87 * r, y + 0.5 * r],
            ]
        }
    };
    if kind == 0 {
        canvas.disc(at, 1.2, white);
        canvas.disc(at, 0.95, colour);
        if hollow {
            canvas.disc(at, 0.55, white);
        }
        return;
    }
    canvas.area(&shape(1.1), white);
    canvas.area(&shape(0.85), colour);
    if hollow {
        canvas.area(&shape(0.45), white);
    }
}

fn caption(case: &Case, orders: &Orders, lines: &[Line<'_>]) -> String {
    let hollow = if lines
        .iter()
        .any(|l| l.sequence.stages.iter().any(|s| !s.worse.is_empty()))
    {
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
