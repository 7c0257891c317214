//! Figure "place-convergence": best design so far against evaluations, start by start.

use super::words;
use crate::show::figures::axis::{Plot, Scale};
use crate::show::figures::canvas::{Canvas, Stroke, Type};
use crate::show::figures::csv::Csv;
use crate::show::figures::figure::Figure;
use crate::show::figures::label::{spread, wrap};
use crate::show::figures::marker::marker;
use crate::show::figures::rect::{Point, Rect};
use crate::show::figures::scatter::words::number;
use crate::show::figures::theme::Theme;
use crate::study::result::{EndedBy, Place, SearchStart};

/// Height of the plot, mm.
const TALL: f64 = 46.0;
/// Dashes of the given construct's line, mm.
const GIVEN: &[f64] = &[0.4, 0.7];

/// Draws the figure.
pub(super) fn convergence(found: &Place, theme: &Theme) -> Figure {
    let aim = &found.aims[0];
    let set = Type::new(theme.text, theme.ink);
    let small = Type::new(theme.small, theme.muted);
    let given = found.on_search_bed[0].filter(|_| !found.robust);
    let values = || {
        let starts = found.starts.iter().flat_map(|s| &s.progress);
        starts.map(|p| p.value).chain(given).filter(|v| v.is_finite())
    };
    let hi = values().fold(f64::NEG_INFINITY, f64::max);
    let y = Scale::load(values().fold(f64::INFINITY, f64::min), hi, 5);
    let most = found.starts.iter().map(|s| s.evaluations).max().unwrap_or(1);
    let x = Scale::exact(most as f64, 4);
    let ends: Vec<String> = (0..found.starts.len()).map(|k| end(found, k)).collect();
    let right = 6.2 + ends.iter().map(|w| small.width(w)).fold(0.0, f64::max);
    let left = y.room(&set);
    let notes = wrap(&note(found), small, theme.width - 2.0);
    let below = 2.6 + 2.0 * set.capital() + 2.4 + notes.len() as f64 * small.leading() + 0.8;
    let mut canvas = Canvas::new(theme.width, 3.0 + TALL + below);
    let plot = Plot { area: Rect::new(left, 3.0, theme.width - left - right, TALL), x, y };
    if let Some(given) = given {
        let (from, to) = (plot.at(0.0, given), plot.at(x.hi, given));
        canvas.line(from, to, Stroke::dashed(theme.muted, theme.outline, GIVEN));
        let words = format!("as given, {}", words::value(aim, given));
        // Under its line, where less than it is never the best.
        let down = if aim.more_is_better { 1.0 + small.capital() } else { -0.8 };
        canvas.text(&words, [plot.area.x + 1.0, from[1] + down], small);
    }
    let [title, side] = ["Evaluations of a start".to_owned(), axis(found)];
    plot.axes(&mut canvas, theme, [&title, &side], 1.0 + set.capital(), true);
    let mut lasts: Vec<(usize, Point)> = Vec::new();
    for (k, start) in found.starts.iter().enumerate() {
        let (colour, dash) = theme.series(k);
        let line = steps(&plot, start);
        let Some(last) = line.last().copied() else {
            continue;
        };
        canvas.path(&line, Stroke::dashed(colour, theme.curve, dash));
        lasts.push((k, last));
    }
    for (k, start) in found.starts.iter().enumerate() {
        let (colour, _) = theme.series(k);
        if let Some(value) = at(start, start.in_swarm) {
            let p = plot.at(start.in_swarm as f64, value);
            marker(&mut canvas, k, p, 0.75, theme.paper, Stroke::solid(colour, 0.9));
        }
    }
    let targets: Vec<f64> = lasts.iter().map(|(_, p)| p[1]).collect();
    let heights = vec![small.leading(); targets.len()];
    let bottom = plot.area.bottom() + 1.0;
    let centres = spread(&targets, &heights, plot.area.y - 1.0, bottom);
    for ((k, p), centre) in lasts.iter().zip(centres) {
        let (colour, _) = theme.series(*k);
        let x = plot.area.right() + 5.4;
        let hair = Stroke::solid(colour, theme.hair);
        canvas.path(&[*p, [x - 3.4, centre], [x - 2.6, centre]], hair);
        marker(&mut canvas, *k, [x - 1.7, centre], 0.75, colour, Stroke::solid(theme.paper, 0.3));
        let set = Type { colour: colour.shade(0.4), ..small };
        canvas.text(&ends[*k], [x - 0.3, centre + 0.5 * set.capital()], set);
    }
    if lasts.is_empty() {
        // In the middle: no curve runs there, and the given design's line is near the top.
        let words = "no start met a design that keeps its constraints";
        for (line, text) in wrap(words, set, plot.area.w - 2.0).iter().enumerate() {
            let y = plot.area.y + 0.5 * plot.area.h + line as f64 * set.leading();
            canvas.text(text, [plot.area.x + 1.0, y], set);
        }
    }
    let top = plot.area.bottom() + 2.6 + 2.0 * set.capital() + 2.4;
    for (line, text) in notes.iter().enumerate() {
        let y = top + small.capital() + line as f64 * small.leading();
        canvas.text(text, [1.0, y], small);
    }
    Figure::new(&words::name(found, "convergence"), canvas, csv(found), caption(found), alt(found))
}

fn axis(found: &Place) -> String {
    let aim = &found.aims[0];
    let axis = words::lower(&words::axis(aim));
    if found.robust { format!("{} percentile: {axis}", aim.percentile()) } else { format!("Best so far: {axis}") }
}

/// Best value after so many evaluations.
fn at(start: &SearchStart, evaluations: usize) -> Option<f64> {
    let mut latest = start.progress.iter().rev();
    let known = latest.find(|p| p.evaluations <= evaluations);
    known.map(|p| p.value)
}

/// The best so far holds until the next is found.
fn steps(plot: &Plot, start: &SearchStart) -> Vec<Point> {
    let mut line: Vec<Point> = Vec::new();
    for p in start.progress.iter().filter(|p| p.value.is_finite()) {
        let next = plot.at(p.evaluations as f64, p.value);
        if let Some(last) = line.last() {
            line.push([next[0], last[1]]);
        }
        line.push(next);
    }
    if let Some(last) = line.last().copied() {
        line.push([plot.at(start.evaluations as f64, 0.0)[0], last[1]]);
    }
    line
}

fn end(found: &Place, k: usize) -> String {
    let start = &found.starts[k];
    let value = start.value.map_or_else(|| "nothing".to_owned(), |v| words::value(&found.aims[0], v));
    format!("{}: {value}", k + 1)
}

fn note(found: &Place) -> String {
    let ends = EndedBy::counted(&found.starts, EndedBy::told);
    let none: Vec<String> =
        (1..).zip(&found.starts).filter(|(_, s)| s.progress.is_empty()).map(|(k, _)| k.to_string()).collect();
    let none = if none.is_empty() {
        String::new()
    } else {
        format!(" No design that keeps its constraints was met by: {}.", none.join(", "))
    };
    format!(
        "Open marks: the swarm ends, simplices begin. Of {} starts {}{}.{none}",
        found.starts.len(),
        ends.join(", "),
        if found.starts.iter().any(|s| s.ended == EndedBy::Budget) {
            format!(" ({} each) and had not settled", found.budget)
        } else {
            String::new()
        }
    )
}

fn csv(found: &Place) -> String {
    let mut csv = Csv::new(&["start", "evaluations", "phase", "best_so_far", "unit"]);
    for (k, start) in found.starts.iter().enumerate() {
        for p in &start.progress {
            let phase = if p.evaluations <= start.in_swarm { "swarm" } else { "simplex" };
            csv.row([
                (k + 1).to_string(),
                p.evaluations.to_string(),
                phase.to_owned(),
                p.value.to_string(),
                found.aims[0].unit.clone(),
            ]);
        }
    }
    csv.finish()
}

fn caption(found: &Place) -> String {
    format!(
        "How the search went. {} Best design so far that keeps every constraint, against the evaluations of its start, on the bed of the search (about {} cells); a curve begins where its start first meets one. Open marks: end of the swarm, from there simplices. {} evaluations in all, seed {}. The starts' answers differ by up to {}, and their anchors by up to {} mm.",
        words::sought(found),
        found.cells[0],
        found.evaluations,
        found.seed,
        words::value(&found.aims[0], found.disagreement),
        number(found.disagreement_mm, 1)
    )
}

fn alt(found: &Place) -> String {
    let list: Vec<String> = (0..found.starts.len())
        .map(|k| {
            let start = &found.starts[k];
            format!("start {} after {} evaluations", end(found, k), start.evaluations)
        })
        .collect();
    format!(
        "Rising or falling steps, one line a start, of the best design so far against evaluations. {}.",
        list.join("; ")
    )
}
