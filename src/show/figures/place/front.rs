//! Figure "place-front": what can be had of two objectives at once, and three designs on it.

mod told;

use super::ground::{Extent, Ground, Seen};
use super::{small, words};
use crate::model::Case;
use crate::show::figures::axis::{Plot, Scale};
use crate::show::figures::canvas::{Canvas, Stroke, Type};
use crate::show::figures::construct::bone;
use crate::show::figures::construct::view::arrow;
use crate::show::figures::figure::Figure;
use crate::show::figures::font::Face;
use crate::show::figures::label::{Clearance, wrap};
use crate::show::figures::marker::marker;
use crate::show::figures::rect::{Point, Rect};
use crate::show::figures::theme::Theme;
use crate::study::result::{Front, Place, Placement, Start, TiedState};

/// Height of the plot, mm.
const TALL: f64 = 56.0;
/// Room about what a small drawing must hold, mm of bone.
const MARGIN: f64 = 1.2;
/// Most page mm per mm of bone in a small drawing.
const SCALE: f64 = 1.7;
/// Letters of the designs.
const LETTERS: [&str; 3] = ["A", "B", "C"];

/// A design that is drawn small.
struct Shown<'a> {
    letter: Option<&'static str>,
    title: String,
    placement: &'a Placement,
}

/// Draws the figure.
pub(super) fn front(case: &Case, found: &Place, front: &Front, theme: &Theme) -> Figure {
    let mut shown = vec![Shown { letter: None, title: "as given".to_owned(), placement: &found.given }];
    let letters = LETTERS.into_iter().zip(&front.designs);
    shown.extend(letters.map(|(letter, placement)| Shown {
        letter: Some(letter),
        title: placement.name.clone(),
        placement,
    }));
    let wide = theme.is_wide();
    let split = if wide { 0.5 * theme.width } else { theme.width };
    let set = Type::new(theme.text, theme.ink);
    let below = 2.6 + 2.0 * set.capital() + 2.0;
    // Small drawings, two beside two.
    let (x0, room) = if wide { (split + 5.0, theme.width - split - 5.6) } else { (1.0, theme.width - 2.0) };
    let extent = extent(case, &shown);
    let cell = 0.5 * (room - 3.0);
    let scale = SCALE.min((cell - 1.0) / extent.size()[0]);
    let small_tall = scale * extent.size()[1];
    let small_set = Type::new(theme.small, theme.muted);
    let heads: Vec<Vec<String>> = shown.iter().map(|s| head(found, s, small_set, cell)).collect();
    let head_tall = heads.iter().map(Vec::len).max().unwrap_or(1) as f64 * small_set.leading() + set.leading() + 1.0;
    let box_tall = head_tall + small_tall + 2.0;
    let rows = shown.len().div_ceil(2) as f64;
    let right_tall = rows * box_tall + 4.6;
    let left_tall = 4.0 + TALL + below;
    let (top, height) =
        if wide { (0.0, right_tall.max(left_tall)) } else { (left_tall + 2.0, left_tall + 2.0 + right_tall) };
    let tall = if wide { height - 4.0 - below } else { TALL };
    let mut canvas = Canvas::new(theme.width, height);
    plotted(&mut canvas, found, front, theme, [split, tall]);
    for (k, design) in shown.iter().enumerate() {
        let x = x0 + (k % 2) as f64 * (cell + 3.0);
        let y = top + (k / 2) as f64 * box_tall;
        let bold = set.face(Face::Bold);
        let base = y + set.capital() + 0.8;
        let mut left = x;
        if let Some(letter) = design.letter {
            canvas.text(letter, [x, base], bold);
            left += bold.width(letter) + 1.2;
        }
        canvas.text(&design.title, [left, base], set);
        for (line, text) in heads[k].iter().enumerate() {
            let at = [x, base + (line + 1) as f64 * small_set.leading()];
            canvas.text(text, at, small_set);
        }
        let window = Rect::new(x, y + head_tall, cell, small_tall);
        let ground = Ground::new(case, theme, Seen::Face, &extent, scale, window);
        ground.draw(&mut canvas);
        if let Some(tied) = tied(design.placement) {
            ground.limbs(&mut canvas, tied, 0.0, 0.9);
        }
        for place in design.placement.anchors.iter().map(|a| a.point) {
            let sign = if bone::is_hidden(&case.fragment, place) { small::hidden } else { small::found };
            sign(&mut canvas, theme, ground.page(place));
        }
        ground.frame(&mut canvas);
        if k == 0 {
            ground.scale_bar(&mut canvas, [x0, height - 0.9]);
        }
    }
    Figure::new(
        &words::name(found, "front"),
        canvas,
        told::csv(found, front),
        told::caption(found),
        told::alt(found, front),
    )
}

fn tied(placement: &Placement) -> Option<&TiedState> {
    placement.hold.as_ref()?.tied.as_ref()
}

fn extent(case: &Case, shown: &[Shown<'_>]) -> Extent {
    let anchors = shown.iter().flat_map(|s| &s.placement.anchors);
    let points = anchors.map(|a| Seen::Face.flat(case, a.point));
    let fragment = Seen::Face.fragment(case).into_iter();
    Extent::about(fragment.chain(points), MARGIN)
}

/// Both values of a design on the full bed, of the kind that the front has.
fn head(found: &Place, shown: &Shown<'_>, set: Type, width: f64) -> Vec<String> {
    let values: Vec<String> = found
        .aims
        .iter()
        .zip(pair(found, shown.placement))
        .map(|(aim, v)| match v {
            None if found.robust => format!("no {} percentile", aim.percentile()),
            v => words::told(aim, v),
        })
        .collect();
    values.iter().flat_map(|v| wrap(v, set, width)).collect()
}

/// Both values of a design on the full bed: percentiles over the draws of a robust search.
fn pair(found: &Place, placement: &Placement) -> [Option<f64>; 2] {
    let values = if found.robust { &placement.over_draws } else { &placement.values };
    [0, 1].map(|k| values.get(k).copied().flatten())
}

/// The title of an axis: which percentile, and where tying starts; the start is left to the other axis
/// and the caption where there is no room for it.
fn title(found: &Place, k: usize, set: &Type, room: f64) -> String {
    let aim = &found.aims[k];
    let from = match found.from {
        Start::Reduced => "reduced",
        Start::Displaced => "displaced",
    };
    let told = |more: &str| {
        let axis = words::axis_of(aim, more);
        if found.robust { format!("{} percentile: {}", aim.percentile(), words::lower(&axis)) } else { axis }
    };
    let whole = told(&format!(", tied from {from}"));
    if set.width(&whole) <= room { whole } else { told("") }
}

/// The place of a design on the front: that of the point with its places.
fn on_front(front: &Front, design: &Placement) -> Option<[f64; 2]> {
    let off = |at: &[f64]| -> f64 { at.iter().zip(&design.at).map(|(a, b)| (a - b).powi(2)).sum() };
    let points = front.points.iter();
    points.min_by(|a, b| off(&a.at).total_cmp(&off(&b.at))).map(|p| p.values)
}

fn plotted(canvas: &mut Canvas, found: &Place, front: &Front, theme: &Theme, [wide, tall]: [f64; 2]) {
    let set = Type::new(theme.text, theme.ink);
    let values = |k: usize| front.points.iter().map(move |p| p.values[k]).chain(front.given.map(|g| g[k]));
    let scale = |k: usize| {
        let lo = values(k).fold(f64::INFINITY, f64::min);
        let hi = values(k).fold(f64::NEG_INFINITY, f64::max);
        // Loads and steps from zero; a share has no zero worth showing.
        if found.aims[k].unit.is_empty() { Scale::around(lo, hi, 5) } else { Scale::load(lo, hi, 5) }
    };
    let (x, y) = (scale(0), scale(1));
    let left = y.room(&set);
    let plot = Plot { area: Rect::new(left, 4.0, wide - left - 3.0, tall), x, y };
    let room = [plot.area.w + 6.0, tall + 3.0];
    let titles = [0, 1].map(|k| title(found, k, &set, room[k]));
    plot.axes(canvas, theme, [&titles[0], &titles[1]], 1.0 + set.capital(), true);
    let (colour, _) = theme.series(0);
    let points: Vec<Point> = front.points.iter().map(|p| plot.at(p.values[0], p.values[1])).collect();
    let mut clear = Clearance {
        bounds: Some(Rect::new(plot.area.x + 0.5, plot.area.y - 3.0, plot.area.w + 2.0, plot.area.h + 2.4)),
        ..Clearance::default()
    };
    let mut ordered = points.clone();
    ordered.sort_by(|a, b| a[0].total_cmp(&b[0]));
    canvas.path(&ordered, Stroke::solid(colour.tint(0.6), theme.hair));
    for p in &points {
        canvas.disc(*p, 0.55, colour);
        clear.boxes.push(Rect::new(p[0], p[1], 0.0, 0.0).grown(0.6));
    }
    clear.keep_off(&ordered);
    let mut marks: Vec<(Point, String, bool)> = Vec::new();
    if let Some(given) = front.given {
        marks.push((plot.at(given[0], given[1]), "as given".to_owned(), false));
    }
    for (letter, design) in LETTERS.iter().zip(&front.designs) {
        if let Some(v) = on_front(front, design) {
            marks.push((plot.at(v[0], v[1]), format!("{letter} {}", design.name), true));
        }
    }
    for (p, ..) in &marks {
        clear.boxes.push(Rect::new(p[0], p[1], 0.0, 0.0).grown(1.4));
    }
    for (p, words, on) in &marks {
        if *on {
            marker(canvas, 3, *p, 1.15, theme.paper, Stroke::solid(colour, 1.1));
        } else {
            small::given(canvas, theme, *p);
        }
        let size = [set.width(words) + 0.4, set.capital() + 0.6];
        if let Some(r) = clear.place(size, *p, [0.6, -0.8], 1.8, 14.0) {
            let base = [r.x + 0.2, r.y + 0.3 + set.capital()];
            canvas.text(words, base, set);
        }
    }
    // Where both are better.
    let toward = [0, 1].map(|k| if found.aims[k].more_is_better { 1.0 } else { -1.0 });
    let corner = [
        if toward[0] > 0.0 { plot.area.right() } else { plot.area.x },
        if toward[1] > 0.0 { plot.area.y } else { plot.area.bottom() },
    ];
    let from = [corner[0] - toward[0] * 7.0, corner[1] + toward[1] * 5.0];
    let to = [corner[0] - toward[0] * 1.5, corner[1] + toward[1] * 1.0];
    let small = Type::new(theme.small, theme.muted).face(Face::Italic);
    let w = small.width("better");
    let word = Rect::new(
        if toward[0] > 0.0 { from[0] - w - 0.8 } else { from[0] + 0.8 },
        from[1] - 0.5 * small.capital(),
        w,
        small.capital(),
    );
    if clear.is_free(&word.grown(0.4)) {
        arrow(canvas, theme, from, to);
        canvas.text("better", [word.x, word.bottom()], small);
    }
}
