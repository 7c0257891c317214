//! Figure "place-convergence": best design so far against evaluations, start by start.

use super::*;

/// Height of the plot, mm.
const TALL: f64 = 46.0;
/// Dashes of the given construct's line, mm.
const GIVEN: &[f64] = &[0.4, 0.7];

/// The best design so far against evaluations, one curve a start.
pub fn place_convergence(found: &Place, theme: &Theme) -> Figure {
    let aim = &found.aims[0];
    let (set, note) = (theme.words(), theme.note());
    let given = found.on_search_bed[0].filter(|_| !found.robust);
    let values = found.starts.iter().flat_map(|s| &s.progress).map(|p| p.value);
    let [lo, hi] = extremes(values.chain(given).filter(|v| v.is_finite()));
    let y = Scale::load(lo, hi, 5);
    let most = found.starts.iter().map(|s| s.evaluations).max().unwrap_or(1);
    let x = Scale::exact(most as f64, 4);
    let signs: Vec<_> = (0..found.starts.len())
        .map(|k| move |canvas: &mut Canvas, p: Point| label(canvas, theme, k, [p[0] + 0.95, p[1]]))
        .collect();
    let drawn = found.starts.iter().enumerate().filter(|(_, s)| !s.progress.is_empty());
    let mut ends: Vec<End<'_>> = Vec::new();
    for (k, _) in drawn.clone() {
        let (colour, _) = theme.series(k);
        let lines = vec![(end(found, k), note.in_colour(colour))];
        ends.push(End { at: None, colour, lines, sign: Some((1.9, &signs[k])), crossed: false });
    }
    let left = y.room(&set);
    let notes = wrap(&note_of(found), note, theme.width - 2.0);
    let low = 3.0 + TALL + Plot::below(&set) + 2.4;
    let mut canvas = Canvas::new(theme.width, low + notes.len() as f64 * note.leading() + 0.8);
    let plot = Plot { area: Rect::new(left, 3.0, theme.width - left - End::room(&ends).max(3.0) - 0.6, TALL), x, y };
    if let Some(given) = given {
        let [from, to] = [0.0, x.hi].map(|x| plot.at(x, given));
        canvas.line(from, to, Stroke::dashed(theme.muted, theme.outline, GIVEN));
        // Under its line, where less than it is never the best.
        let down = if aim.more_is_better { 1.0 + note.capital() } else { -0.8 };
        let words = format!("as given, {}", super::value(aim, given));
        canvas.text(&words, [plot.area.x + 1.0, from[1] + down], note);
    }
    plot.axes(&mut canvas, theme, ["Evaluations of a start", &axis(found)]);
    for ((k, start), end) in drawn.clone().zip(&mut ends) {
        let line = steps(&plot, start);
        canvas.path(&line, theme.line(k));
        end.at = line.last().copied();
    }
    for (k, start) in drawn {
        if let Some(value) = at(start, start.in_swarm) {
            let edge = Stroke::solid(theme.series(k).0, 0.9);
            marker(&mut canvas, k, plot.at(start.in_swarm as f64, value), 0.75, theme.paper, edge);
        }
    }
    if ends.is_empty() {
        // In the middle: no curve runs there, and the given design's line is near the top.
        let words = wrap("no start met a design that keeps its constraints", set, plot.area.w - 2.0);
        canvas.lines(&words, [plot.area.x + 1.0, plot.area.middle()[1]], set);
    }
    plot.ends(&mut canvas, theme, &ends);
    canvas.lines(&notes, [1.0, low + note.capital()], note);
    Figure::new(&super::name(found, "convergence"), canvas, numbers(found), caption(found), alt(found))
}

/// The mark of a start beside its name.
fn label(canvas: &mut Canvas, theme: &Theme, k: usize, at: Point) {
    marker(canvas, k, at, 0.75, theme.series(k).0, Stroke::solid(theme.paper, 0.3));
}

fn axis(found: &Place) -> String {
    let axis = lower(&super::axis(&found.aims[0], ""));
    let what =
        if found.robust { format!("{} percentile", found.aims[0].percentile()) } else { "Best so far".to_owned() };
    format!("{what}: {axis}")
}

/// The best of a start after so many evaluations.
fn at(start: &SearchStart, evaluations: usize) -> Option<f64> {
    start.progress.iter().rev().find(|p| p.evaluations <= evaluations).map(|p| p.value)
}

/// The steps of a start: level until a better design is met.
fn steps(plot: &Plot, start: &SearchStart) -> Vec<Point> {
    let mut line: Vec<Point> = Vec::new();
    for p in &start.progress {
        let next = plot.at(p.evaluations as f64, p.value);
        line.extend(line.last().map(|last| [next[0], last[1]]));
        line.push(next);
    }
    line.extend(line.last().map(|last| [plot.at(start.evaluations as f64, 0.0)[0], last[1]]));
    line
}

fn end(found: &Place, k: usize) -> String {
    let value = found.starts[k].value.map_or_else(|| "nothing".to_owned(), |v| super::value(&found.aims[0], v));
    format!("{}: {value}", k + 1)
}

fn note_of(found: &Place) -> String {
    let ends = EndedBy::counted(&found.starts, EndedBy::told);
    let none = (1..).zip(&found.starts).filter(|(_, s)| s.progress.is_empty());
    let none: Vec<String> = none.map(|(k, _)| k.to_string()).collect();
    let none = match none.is_empty() {
        true => String::new(),
        false => format!(" No design that keeps its constraints was met by: {}.", none.join(", ")),
    };
    let budget = match found.starts.iter().any(|s| s.ended == EndedBy::Budget) {
        true => format!(" ({} each) and had not settled", found.budget),
        false => String::new(),
    };
    let (all, ends) = (found.starts.len(), ends.join(", "));
    format!("Open marks: the swarm ends, simplices begin. Of {all} starts {ends}{budget}.{none}")
}

fn numbers(found: &Place) -> String {
    let rows = found.starts.iter().enumerate().flat_map(|(k, start)| {
        start.progress.iter().map(move |p| {
            let phase = if p.evaluations <= start.in_swarm { "swarm" } else { "simplex" };
            json!([k + 1, p.evaluations, phase, p.value, found.aims[0].unit])
        })
    });
    csv("start,evaluations,phase,best_so_far,unit".split(','), rows)
}

fn caption(found: &Place) -> String {
    let (sought, cells, evaluations, seed) = (sought(found), found.cells[0], found.evaluations, found.seed);
    let (apart, mm) = (value(&found.aims[0], found.disagreement), number(found.disagreement_mm, 1));
    format!(
        "How the search went. {sought} Best design so far that keeps every constraint, against the evaluations of its start, on the bed of the search (about {cells} cells); a curve begins where its start first meets one. Open marks: end of the swarm, from there simplices. {evaluations} evaluations in all, seed {seed}. The starts' answers differ by up to {apart}, and their anchors by up to {mm} mm."
    )
}

fn alt(found: &Place) -> String {
    let all = found.starts.iter().enumerate();
    let list = all.map(|(k, s)| format!("start {} after {} evaluations", end(found, k), s.evaluations));
    format!(
        "Rising or falling steps, one line a start, of the best design so far against evaluations. {}.",
        joined(list, "; ")
    )
}
