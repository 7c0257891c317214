//! Figure "sheet": the constructs compared on one page, for a slide.

use super::axis::{Plot, Scale, signed};
use super::canvas::{Align, Canvas, Stroke, Type, corners};
use super::csv::{Csv, field};
use super::figure::Figure;
use super::font::Face;
use super::hatch::Hatch;
use super::label::wrap;
use super::rect::{Point, Rect};
use super::subject::{Subject, letter};
use super::theme::Theme;
use crate::model::Case;

/// A quantity that is compared.
struct Quantity {
    /// Its name with unit.
    name: &'static str,
    /// Decimals in print.
    decimals: usize,
    /// Its value.
    of: fn(&Subject<'_>) -> Option<f64>,
}

const QUANTITIES: [Quantity; 6] = [
    Quantity { name: "Compression on the bed (N)", decimals: 0, of: |s| Some(s.tied.bed.compression) },
    Quantity { name: "Bed in contact (%)", decimals: 0, of: |s| Some(100.0 * s.tied.bed.contact) },
    Quantity { name: "Load at 1 mm (N)", decimals: 0, of: |s| s.push?.load_at[1] },
    Quantity { name: "Load at 2 mm (N)", decimals: 0, of: |s| s.push?.load_at[2] },
    Quantity { name: "Articular step (mm, + proud)", decimals: 1, of: |s| Some(s.tied.measures.step.value) },
    Quantity { name: "Tilt (°, + sits up)", decimals: 1, of: |s| Some(s.tied.measures.tilt) },
];

/// Textures beside the colours, in the order of the constructs.
const TEXTURES: [Hatch; 7] =
    [Hatch::Plain, Hatch::Rising, Hatch::Dots, Hatch::Falling, Hatch::Level, Hatch::Upright, Hatch::Crossed];

/// Draws the curves of load against displacement beside bars of what a talk compares: compression,
/// contact, loads at 1 and 2 mm, articular step and tilt. Sixteen to nine, or taller when there are
/// many constructs.
pub fn comparison_sheet(case: &Case, subjects: &[Subject<'_>], theme: &Theme) -> Figure {
    let theme = &Theme { width: theme.width.max(180.0), ..theme.clone() };
    let set = Type::new(theme.text, theme.ink);
    let small = Type::new(theme.small, theme.ink);
    let title = Type::new(theme.title, theme.ink).face(Face::Bold);
    let left = 0.42 * theme.width;
    let bar = (0.52 * small.leading()).max(1.6);
    let row = small.leading().max(bar + 0.8);
    let block = small.leading() + 1.4 + subjects.len().max(1) as f64 * row + 2.2;
    let top = title.leading() + 5.0;
    let names: Vec<Vec<String>> = subjects.iter().map(|s| wrap(&s.construct.name, set, left - 16.0)).collect();
    let list = names.iter().map(Vec::len).sum::<usize>() as f64 * (set.leading() + 0.5);
    let blocks = QUANTITIES.len().div_ceil(2) as f64;
    // Sixteen to nine, unless many constructs need more.
    let page = 9.0 / 16.0 * theme.width;
    let under = 8.0 + 2.0 * set.leading() + list;
    let plot_tall = 36.0_f64.max((top + blocks * block).max(page - 2.0) - top - under);
    let below = top + plot_tall + under - list;
    let tall = (below + list).max(top + blocks * block) + 2.0;
    let mut canvas = Canvas::new(theme.width, tall);
    canvas.text(&heading(case), [1.0, title.capital() + 1.0], title);
    if subjects.is_empty() {
        canvas.text("no construct was held", [1.0, top + 4.0], set);
    } else {
        curves(&mut canvas, theme, subjects, Rect::new(0.0, top, left, plot_tall));
        let mut y = below + set.leading();
        for (k, lines) in names.iter().enumerate() {
            sample(&mut canvas, theme, k, [2.0, y - 0.5 * set.capital()]);
            canvas.text(&letter(k), [12.0, y], set.face(Face::Bold));
            for line in lines {
                canvas.text(line, [15.0, y], set);
                y += set.leading() + 0.5;
            }
        }
        let column = 0.5 * (theme.width - left - 8.0);
        for (k, quantity) in QUANTITIES.iter().enumerate() {
            // Where the left side is the taller one, the bars grow with it.
            let each = block.max((tall - top - 2.0) / blocks);
            let grown = 1.0 + (each - block) / (subjects.len() as f64 * row + 6.0);
            let area = Rect::new(
                left + 6.0 + (k % 2) as f64 * (column + 2.0),
                top + (k / 2) as f64 * each,
                column - 1.0,
                each,
            );
            let rows = [row, bar].map(|h| h * grown.min(2.2));
            bars(&mut canvas, theme, subjects, quantity, area, rows);
        }
    }
    Figure::new("sheet", canvas, csv(subjects), caption(case, subjects), alt(case, subjects))
}

fn heading(case: &Case) -> String {
    let f = &case.fragment;
    format!(
        "{}: socket {:.0} mm, fragment {:.0} % of its width",
        case.name,
        2.0 * f.socket.radius,
        100.0 * f.shape.width / (2.0 * f.socket.radius)
    )
}

fn curves(canvas: &mut Canvas, theme: &Theme, subjects: &[Subject<'_>], area: Rect) {
    let set = Type::new(theme.text, theme.ink);
    let points = || subjects.iter().filter_map(|s| s.push).flat_map(|p| p.curve.iter());
    let (lo, hi) = points().fold((0.0_f64, 0.0_f64), |(l, h), p| (l.min(p.load), h.max(p.load)));
    let reach = points().map(|p| p.displacement).fold(0.0, f64::max);
    let (x, y) = (Scale::exact(reach, 4), Scale::load(lo, hi, 5));
    let left = y.room(&set);
    let plot = Plot { area: Rect::new(area.x + left, area.y, area.w - left - 6.0, area.h), x, y };
    let direction = subjects.iter().find_map(|s| s.push).map_or("push", |p| p.direction.as_str());
    plot.axes(canvas, theme, [&format!("Displacement, {direction} (mm)"), "Load (N)"], 1.0 + set.capital(), true);
    let mut ends: Vec<(f64, usize, Point)> = Vec::new();
    for (k, push) in subjects.iter().enumerate().filter_map(|(k, s)| Some((k, s.push?))) {
        let curve: Vec<Point> = push.curve.iter().map(|p| plot.at(p.displacement, p.load)).collect();
        let (colour, dash) = theme.series(k);
        canvas.path(&curve, Stroke::dashed(colour, theme.curve, dash));
        ends.extend(curve.last().map(|p| (p[1], k, *p)));
    }
    let heights = vec![set.capital() + 0.9; ends.len()];
    let targets: Vec<f64> = ends.iter().map(|e| e.0).collect();
    let spread = super::label::spread(&targets, &heights, area.y - 1.0, area.bottom() + 1.0);
    for ((_, k, p), y) in ends.iter().zip(spread) {
        let (colour, _) = theme.series(*k);
        let x = plot.area.right() + 3.0;
        canvas.path(
            &[[p[0] + 0.4, p[1]], [plot.area.right() + 0.8, p[1]], [x - 0.4, y]],
            Stroke::solid(colour, theme.hair),
        );
        let bold = Type::new(theme.text, colour.shade(0.3)).face(Face::Bold);
        canvas.text(&letter(*k), [x, y + 0.5 * set.capital()], bold);
    }
}

/// A stroke and a swatch in the look of a construct.
fn sample(canvas: &mut Canvas, theme: &Theme, k: usize, at: Point) {
    let (colour, dash) = theme.series(k);
    canvas.line(at, [at[0] + 6.0, at[1]], Stroke::dashed(colour, theme.curve, dash));
    filled(canvas, theme, k, Rect::new(at[0] + 6.8, at[1] - 1.0, 2.2, 2.0));
}

fn filled(canvas: &mut Canvas, theme: &Theme, k: usize, r: Rect) {
    let (colour, _) = theme.series(k);
    canvas.fill(r, colour.tint(0.45));
    TEXTURES[k % TEXTURES.len()].draw(canvas, &corners(r), 1.0, Stroke::solid(colour, 0.45));
    canvas.outline(&corners(r), Stroke::solid(colour, 0.5));
}

fn bars(
    canvas: &mut Canvas,
    theme: &Theme,
    subjects: &[Subject<'_>],
    quantity: &Quantity,
    area: Rect,
    [row, bar]: [f64; 2],
) {
    let set = Type::new(theme.small, theme.ink);
    canvas.text(quantity.name, [area.x, area.y + set.capital()], set.face(Face::Bold));
    let values: Vec<Option<f64>> = subjects.iter().map(|s| (quantity.of)(s)).collect();
    let known = || values.iter().flatten();
    let lo = known().copied().fold(0.0, f64::min);
    let hi = known().copied().fold(0.0, f64::max);
    let number = |v: f64| {
        let text = format!("{v:.*}", quantity.decimals);
        let zero = text.trim_start_matches('-').chars().all(|c| c == '0' || c == '.');
        signed(if zero { text.trim_start_matches('-') } else { &text })
    };
    let wide = known().map(|v| set.width(&number(*v))).fold(0.0, f64::max);
    let names = 3.2;
    let room = area.w - names - wide - 1.0 - if lo < 0.0 { wide + 1.0 } else { 0.0 };
    let per = room / (hi - lo).max(1e-9);
    let zero = area.x + names + if lo < 0.0 { wide + 1.0 } else { 0.0 } - lo * per;
    let first = area.y + set.leading() + 1.4;
    for (k, value) in values.iter().enumerate() {
        let y = first + k as f64 * row + 0.5 * bar;
        let base = y + 0.5 * set.capital();
        canvas.text(&letter(k), [area.x, base], set.face(Face::Bold));
        match value {
            Some(v) => {
                let (a, b) = (zero.min(zero + v * per), zero.max(zero + v * per));
                if b - a > 0.15 {
                    filled(canvas, theme, k, Rect::new(a, y - 0.5 * bar, b - a, bar));
                }
                let (at, align) = if *v < 0.0 { (a - 0.7, Align::Right) } else { (b + 0.7, Align::Left) };
                canvas.text(&number(*v), [at, base], set.align(align));
            }
            None => canvas.text("not reached", [zero + 0.7, base], set.face(Face::Italic)),
        }
    }
    let last = first + values.len() as f64 * row;
    canvas.line([zero, first - 0.6], [zero, last - row + bar + 0.6], Stroke::solid(theme.ink, theme.hair));
}

fn csv(subjects: &[Subject<'_>]) -> String {
    let mut csv = Csv::new(&["letter", "construct", "quantity", "value"]);
    for (k, subject) in subjects.iter().enumerate() {
        for quantity in &QUANTITIES {
            csv.row([
                letter(k),
                field(&subject.construct.name),
                field(quantity.name),
                (quantity.of)(subject).map_or(String::new(), |v| v.to_string()),
            ]);
        }
    }
    csv.finish()
}

fn caption(case: &Case, subjects: &[Subject<'_>]) -> String {
    let names: Vec<String> =
        subjects.iter().enumerate().map(|(k, s)| format!("{} {}", letter(k), s.construct.name)).collect();
    format!(
        "Constructs compared on the case {}: {}. Left: load against displacement of the fragment's control point. Right: as tied, compression and contact of the bed, articular step and tilt; and the load at 1 and at 2 mm of push. Bars start at zero.",
        case.name,
        names.join(", ")
    )
}

fn alt(case: &Case, subjects: &[Subject<'_>]) -> String {
    let rows: Vec<String> = subjects
        .iter()
        .map(|s| {
            let values: Vec<String> =
                QUANTITIES.iter().filter_map(|q| Some(format!("{} {:.*}", q.name, q.decimals, (q.of)(s)?))).collect();
            format!("{}: {}", s.construct.name, values.join(", "))
        })
        .collect();
    format!("Comparison of constructs on the case {}: curves of load and bars. {}.", case.name, rows.join(". "))
}
