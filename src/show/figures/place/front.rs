//! Figure "place-front": what can be had of two objectives at once, and three designs on it.

use super::*;
use crate::show::words::word;

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
    draw_plot(&mut canvas, found, front, theme, [split, tall]);
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
    Some(Figure::new(&super::name(found, "front"), canvas, numbers(found, front), caption(found), alt(found, front)))
}

/// Both values of a design on the full bed, of the kind that the front has.
fn head(found: &Place, placement: &Placement, set: Type, width: f64) -> Vec<String> {
    let values = found.aims.iter().zip(pair(found, placement)).map(|(aim, v)| match v {
        None if found.robust => format!("no {} percentile", aim.percentile()),
        v => super::reported(aim, v),
    });
    values.flat_map(|v| wrap(&v, set, width)).collect()
}

/// Both values of a design on the full bed: percentiles over the draws of a robust search.
fn pair(found: &Place, placement: &Placement) -> [Option<f64>; 2] {
    let values = if found.robust { &placement.over_draws } else { &placement.values };
    [0, 1].map(|k| values.get(k).copied().flatten())
}

fn numbers(found: &Place, front: &Front) -> String {
    let aims = found.aims.iter().map(|aim| match aim.unit.as_str() {
        "" => aim.key.clone(),
        unit => format!("{}_{unit}", aim.key),
    });
    let paths = found.variables.iter().filter(|v| !v.idle).map(|v| v.path.clone());
    let heading = std::iter::once("design".to_owned()).chain(aims).chain(["bed".to_owned(), "kind".to_owned()]);
    let kind = if found.robust { "percentile over draws" } else { "value" };
    let points = front.points.iter().map(|p| json!(["front", p.values, "search", kind, p.at]));
    let given = front.given.iter().map(|given| json!(["given", given, "search", kind, found.given.at]));
    let designs = std::iter::once(&found.given).chain(&front.designs).flat_map(|p| {
        let plain = [0, 1].map(|k| p.values.get(k).copied().flatten());
        let plain = found.robust.then(|| json!([p.name, plain, "full", "value", p.at]));
        std::iter::once(json!([p.name, pair(found, p), "full", kind, p.at])).chain(plain)
    });
    csv(heading.chain(paths), points.chain(given).chain(designs))
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
    let (first, second, from) = (&first.label, &second.label, word(&found.from));
    let ([search, full], case, construct) = (found.cells, &found.case, &found.construct);
    format!(
        "What can be had of two objectives at once: {first} and {second}{robust}, both of one repair, tied from the {from} position. The axes do not start at zero. Case {case}, construct {construct}. Dots: designs that keep every constraint and of which none is better in both, on the bed of the search (about {search} cells); square: the given construct on the same bed; diamonds: the best of each objective, and the knee, farthest from the straight line between them. Beside: these four on the face from lateral, with both values on the full bed (about {full} cells); dots are anchors on the face, rings those behind the bone; full lines are bridges, dashed ones loops, drawn through the bone where they lie behind it."
    )
}

fn alt(found: &Place, front: &Front) -> String {
    let of = |p: &Placement| -> String {
        let values = found.aims.iter().zip(pair(found, p)).map(|(aim, v)| super::reported(aim, v));
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

/// The title of an axis: which percentile, and where tying starts; the start is left to the other axis
/// and the caption where there is no room for it.
fn title(found: &Place, k: usize, set: &Type, room: f64) -> String {
    let aim = &found.aims[k];
    let with = |more: &str| {
        let axis = super::axis(aim, more);
        if found.robust { format!("{} percentile: {}", aim.percentile(), lower(&axis)) } else { axis }
    };
    let whole = with(&format!(", tied from {}", word(&found.from)));
    if set.width(&whole) <= room { whole } else { with("") }
}

/// The place of a design on the front: that of the point with its places.
fn on_front(front: &Front, design: &Placement) -> Option<[f64; 2]> {
    let off = |at: &[f64]| -> f64 { at.iter().zip(&design.at).map(|(a, b)| (a - b).powi(2)).sum() };
    front.points.iter().min_by(|a, b| off(&a.at).total_cmp(&off(&b.at))).map(|p| p.values)
}

/// Draws it from the upper left corner of the sheet.
fn draw_plot(canvas: &mut Canvas, found: &Place, front: &Front, theme: &Theme, [wide, tall]: [f64; 2]) {
    let set = theme.words();
    let scale = |k: usize| {
        let [lo, hi] = extremes(front.points.iter().map(|p| p.values[k]).chain(front.given.map(|g| g[k])));
        // What can be traded fills the plot: differences count here, not the distance from zero.
        let room = 0.05 * (hi - lo);
        Scale::around(lo - room, hi + room, 5)
    };
    let (x, y) = (scale(0), scale(1));
    let left = y.room(&set);
    let area = Rect::new(left, 4.0, wide - left - 3.0, tall);
    let plot = Plot { area, x, y };
    let titles = [(0, area.w + 6.0), (1, tall + 3.0)].map(|(k, room)| title(found, k, &set, room));
    plot.axes(canvas, theme, [&titles[0], &titles[1]]);
    let (colour, _) = theme.series(0);
    let mut points = plot.all(front.points.iter().map(|p| p.values));
    points.sort_by(|a, b| a[0].total_cmp(&b[0]));
    let mut clear = Clearance::inside(Rect::new(area.x + 0.5, area.y - 3.0, area.w + 2.0, area.h + 2.4));
    canvas.path(&points, Stroke::solid(colour.tint(0.6), theme.hair));
    clear.keep_off(&points);
    for p in &points {
        canvas.disc(*p, 0.55, colour);
        clear.take(*p, 0.6);
    }
    let given = front.given.map(|[x, y]| (plot.at(x, y), "as given".to_owned(), false));
    let designs = LETTERS.iter().zip(&front.designs).filter_map(|(letter, design)| {
        let [x, y] = on_front(front, design)?;
        Some((plot.at(x, y), format!("{letter} {}", design.name), true))
    });
    let marks: Vec<(Point, String, bool)> = given.into_iter().chain(designs).collect();
    marks.iter().for_each(|(p, ..)| clear.take(*p, 1.4));
    for (p, words, on) in &marks {
        if *on {
            marker(canvas, 3, *p, 1.15, theme.paper, Stroke::solid(colour, 1.1));
        } else {
            sign::given(canvas, theme, *p, 0.85);
        }
        let size = [set.width(words) + 0.4, set.capital() + 0.6];
        if let Some(r) = clear.place(size, *p, [0.6, -0.8], 1.8, 14.0) {
            canvas.text(words, [r.x + 0.2, r.y + 0.3 + set.capital()], set);
        }
    }
    // Where both are better.
    let [right, up] = [0, 1].map(|k| if found.aims[k].more_is_better { 1.0 } else { -1.0 });
    let corner = [if right > 0.0 { area.right() } else { area.x }, if up > 0.0 { area.y } else { area.bottom() }];
    let from = [corner[0] - right * 7.0, corner[1] + up * 5.0];
    let set = theme.note().italic().away(-right);
    let at = [from[0] - right * 0.8, from[1] + 0.5 * set.capital()];
    if clear.is_free(&set.extent("better", at).grown(0.4)) {
        pointer(canvas, theme, from, [corner[0] - right * 1.5, corner[1] + up]);
        canvas.text("better", at, set);
    }
}
