//! The front itself: one objective against the other.

use super::super::words::{self, start};
use super::LETTERS;
use crate::show::chart::*;
use crate::show::scene::sign;
use crate::study::result::{Front, Place, Placement};

/// The title of an axis: which percentile, and where tying starts; the start is left to the other axis
/// and the caption where there is no room for it.
fn title(found: &Place, k: usize, set: &Type, room: f64) -> String {
    let aim = &found.aims[k];
    let with = |more: &str| {
        let axis = words::axis(aim, more);
        if found.robust { format!("{} percentile: {}", aim.percentile(), lower(&axis)) } else { axis }
    };
    let whole = with(&format!(", tied from {}", start(found)));
    if set.width(&whole) <= room { whole } else { with("") }
}

/// The place of a design on the front: that of the point with its places.
fn on_front(front: &Front, design: &Placement) -> Option<[f64; 2]> {
    let off = |at: &[f64]| -> f64 { at.iter().zip(&design.at).map(|(a, b)| (a - b).powi(2)).sum() };
    front.points.iter().min_by(|a, b| off(&a.at).total_cmp(&off(&b.at))).map(|p| p.values)
}

/// Draws it from the upper left corner of the sheet.
pub(super) fn draw(canvas: &mut Canvas, found: &Place, front: &Front, theme: &Theme, [wide, tall]: [f64; 2]) {
    let set = theme.words();
    let scale = |k: usize| {
        let [lo, hi] = extremes(front.points.iter().map(|p| p.values[k]).chain(front.given.map(|g| g[k])));
        // Loads and steps from zero; a share has no zero worth showing.
        if found.aims[k].unit.is_empty() { Scale::around(lo, hi, 5) } else { Scale::load(lo, hi, 5) }
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
    let set = theme.note().italic().align(Align::away(-right));
    let at = [from[0] - right * 0.8, from[1] + 0.5 * set.capital()];
    if clear.is_free(&set.extent("better", at).grown(0.4)) {
        pointer(canvas, theme, from, [corner[0] - right * 1.5, corner[1] + up]);
        canvas.text("better", at, set);
    }
}
