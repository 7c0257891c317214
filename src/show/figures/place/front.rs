//! Figure "place-front": what can be had of two objectives at once, and three designs on it.

mod plotted;

use super::words::{self, start, tied_of};
use crate::mechanics::Pose;
use crate::model::Case;
use crate::show::chart::*;
use crate::show::scene::{Body, Extent, Seen, Shown, View, is_hidden, sign};
use crate::study::result::{Front, Place, Placement};

/// Height of the plot, mm.
const TALL: f64 = 56.0;
/// Room about what a small drawing must hold, mm of bone.
const MARGIN: f64 = 1.2;
/// Most page mm per mm of bone in a small drawing.
const SCALE: f64 = 1.7;
/// Letters of the designs.
const LETTERS: [&str; 3] = ["A", "B", "C"];

/// What can be had of two objectives at once, with the given construct, and three designs drawn. `None`
/// without a second objective.
pub fn place_front(case: &Case, found: &Place, theme: &Theme) -> Option<Figure> {
    let front = found.front.as_ref().filter(|f| !f.points.is_empty() && found.aims.len() > 1)?;
    // Letter, title and design of each small drawing.
    let given = ("", "as given", &found.given);
    let designs = LETTERS.into_iter().zip(&front.designs).map(|(letter, p)| (letter, p.name.as_str(), p));
    let shown: Vec<(&str, &str, &Placement)> = std::iter::once(given).chain(designs).collect();
    let wide = theme.is_wide();
    let split = if wide { 0.5 * theme.width } else { theme.width };
    let (set, note, body) = (theme.words(), theme.note(), Body::new(case));
    let below = Plot::below(&set) + 2.0;
    // Small drawings, two beside two.
    let (x0, room) = if wide { (split + 5.0, theme.width - split - 5.6) } else { (1.0, theme.width - 2.0) };
    let anchors = shown.iter().flat_map(|(_, _, p)| &p.anchors).map(|a| [a.point[0], a.point[1]]);
    let extent = Extent::about(body.outline(Seen::Face, &Pose::default()).into_iter().chain(anchors), MARGIN);
    let cell = 0.5 * (room - 3.0);
    let scale = SCALE.min((cell - 1.0) / extent.size()[0]);
    let small_tall = scale * extent.size()[1];
    let heads: Vec<Vec<String>> = shown.iter().map(|(_, _, p)| head(found, p, note, cell)).collect();
    let head_tall = heads.iter().map(Vec::len).max().unwrap_or(1) as f64 * note.leading() + set.leading() + 1.0;
    let box_tall = head_tall + small_tall + 2.0;
    let right_tall = shown.len().div_ceil(2) as f64 * box_tall + 4.6;
    let left_tall = 4.0 + TALL + below;
    let (top, height) =
        if wide { (0.0, right_tall.max(left_tall)) } else { (left_tall + 2.0, left_tall + 2.0 + right_tall) };
    let mut canvas = Canvas::new(theme.width, height);
    let tall = if wide { height - 4.0 - below } else { TALL };
    plotted::draw(&mut canvas, found, front, theme, [split, tall]);
    for (k, (letter, title, placement)) in shown.iter().enumerate() {
        let at = [x0 + (k % 2) as f64 * (cell + 3.0), top + (k / 2) as f64 * box_tall];
        let base = at[1] + set.capital() + 0.8;
        canvas.text(letter, [at[0], base], set.bold());
        let indent = if letter.is_empty() { 0.0 } else { set.bold().width(letter) + 1.2 };
        canvas.text(title, [at[0] + indent, base], set);
        canvas.lines(&heads[k], [at[0], base + note.leading()], note);
        let window = Rect::new(at[0], at[1] + head_tall, cell, small_tall);
        let view = View::in_window(case, theme, Seen::Face, &extent, scale, window);
        let tied = tied_of(placement);
        canvas.clipped(window, |canvas| {
            body.draw(canvas, &view, &tied.map_or_else(Pose::default, |t| t.measures.pose()));
            if let Some(tied) = tied {
                Shown::tied(case, tied, theme).draw_thin(canvas, &view, 0.0, 0.9);
            }
        });
        for place in placement.anchors.iter().map(|a| a.point) {
            sign::found(&mut canvas, theme, view.page(place), is_hidden(&case.fragment, place));
        }
        canvas.frame(window, theme.reference());
        if k == 0 {
            view.scale_bar(&mut canvas, [x0, height - 0.9]);
        }
    }
    Some(Figure::new(&words::name(found, "front"), canvas, csv(found, front), caption(found), alt(found, front)))
}

/// Both values of a design on the full bed, of the kind that the front has.
fn head(found: &Place, placement: &Placement, set: Type, width: f64) -> Vec<String> {
    let values = found.aims.iter().zip(pair(found, placement)).map(|(aim, v)| match v {
        None if found.robust => format!("no {} percentile", aim.percentile()),
        v => words::reported(aim, v),
    });
    values.flat_map(|v| wrap(&v, set, width)).collect()
}

/// Both values of a design on the full bed: percentiles over the draws of a robust search.
fn pair(found: &Place, placement: &Placement) -> [Option<f64>; 2] {
    let values = if found.robust { &placement.over_draws } else { &placement.values };
    [0, 1].map(|k| values.get(k).copied().flatten())
}

fn csv(found: &Place, front: &Front) -> String {
    let aims = found.aims.iter().map(|aim| match aim.unit.as_str() {
        "" => aim.key.clone(),
        unit => format!("{}_{unit}", aim.key),
    });
    let paths = found.variables.iter().filter(|v| !v.idle).map(|v| v.path.clone());
    let heading = std::iter::once("design".to_owned()).chain(aims).chain(["bed".to_owned(), "kind".to_owned()]);
    let mut csv = Csv::new(heading.chain(paths));
    let kind = if found.robust { "percentile over draws" } else { "value" };
    let mut row = |name: &str, values: [Option<f64>; 2], bed: &str, kind: &str, at: &[f64]| {
        csv.row(row![name, values[0], values[1], bed, kind].into_iter().chain(at.iter().map(Cell::from)));
    };
    front.points.iter().for_each(|p| row("front", p.values.map(Some), "search", kind, &p.at));
    front.given.iter().for_each(|given| row("given", given.map(Some), "search", kind, &found.given.at));
    for p in std::iter::once(&found.given).chain(&front.designs) {
        row(&p.name, pair(found, p), "full", kind, &p.at);
        if found.robust {
            row(&p.name, [0, 1].map(|k| p.values.get(k).copied().flatten()), "full", "value", &p.at);
        }
    }
    csv.finish()
}

fn caption(found: &Place) -> String {
    let [first, second] = [&found.aims[0], &found.aims[1]];
    let robust = match found.robust {
        true => format!(
            ", every value the {} and {} percentile over {} common draws of placement error and tension",
            first.percentile(),
            second.percentile(),
            found.draws
        ),
        false => String::new(),
    };
    format!(
        "What can be had of two objectives at once: {} and {}{robust}, both of one repair, tied from the {} position. Case {}, construct {}. Dots: designs that keep every constraint and of which none is better in both, on the bed of the search (about {} cells); square: the given construct on the same bed; diamonds: the best of each objective, and the knee, farthest from the straight line between them. Beside: these four on the face from lateral, with both values on the full bed (about {} cells); dots are anchors on the face, rings those behind the bone; full lines are bridges, dashed ones loops, drawn through the bone where they lie behind it.",
        first.label,
        second.label,
        start(found),
        found.case,
        found.construct,
        found.cells[0],
        found.cells[1]
    )
}

fn alt(found: &Place, front: &Front) -> String {
    let of = |p: &Placement| -> String {
        let values = found.aims.iter().zip(pair(found, p)).map(|(aim, v)| words::reported(aim, v));
        joined(values, " and ")
    };
    let designs: Vec<String> = front.designs.iter().map(|d| format!("{}: {}", d.name, of(d))).collect();
    let beaten =
        if front.given_is_beaten { "beaten in both by some of them" } else { "not beaten in both by any of them" };
    format!(
        "A front of {} designs between two objectives, with the given construct ({}), which is {beaten}. {}.",
        front.points.len(),
        of(&found.given),
        designs.join("; ")
    )
}
