//! The bars of one quantity.

use super::Quantity;
use crate::show::chart::*;
use crate::show::figures::subject::Subject;

/// Textures beside the colours, in the order of the constructs.
const TEXTURES: [Texture; 7] = [
    Texture::Plain,
    Texture::Rising,
    Texture::Dots,
    Texture::Falling,
    Texture::Level,
    Texture::Upright,
    Texture::Crossed,
];

/// Fills a bar in the look of a construct.
pub(super) fn filled(canvas: &mut Canvas, theme: &Theme, k: usize, r: Rect) {
    let (colour, _) = theme.series(k);
    canvas.fill(r, colour.tint(0.45));
    canvas.textured(&r.corners(), TEXTURES[k % TEXTURES.len()], 1.0, Stroke::solid(colour, 0.45));
    canvas.frame(r, Stroke::solid(colour, 0.5));
}

/// The bars of one quantity, from an upper left corner and as wide as given.
pub(super) fn bars(
    canvas: &mut Canvas,
    theme: &Theme,
    subjects: &[Subject<'_>],
    (name, digits, of): &Quantity,
    ([x, top], width): (Point, f64),
    [row, bar]: [f64; 2],
) {
    let set = theme.fine();
    canvas.text(name, [x, top + set.capital()], set.bold());
    let values: Vec<Option<f64>> = subjects.iter().map(of).collect();
    let [lo, hi] = extremes(values.iter().flatten().copied().chain([0.0]));
    let wide = set.widest(values.iter().flatten().map(|v| number(*v, *digits)));
    let before = 3.2 + if lo < 0.0 { wide + 1.0 } else { 0.0 };
    let per = (width - before - wide - 1.0) / (hi - lo).max(1e-9);
    let zero = x + before - lo * per;
    let first = top + set.leading() + 1.4;
    for (k, value) in values.iter().enumerate() {
        let y = first + k as f64 * row + 0.5 * bar;
        let base = y + 0.5 * set.capital();
        canvas.text(&letter(k), [x, base], set.bold());
        let Some(v) = value else {
            canvas.text("not reached", [zero + 0.7, base], set.italic());
            continue;
        };
        let [a, b] = extremes([zero, zero + v * per]);
        if b - a > 0.15 {
            filled(canvas, theme, k, Rect::new(a, y - 0.5 * bar, b - a, bar));
        }
        let (at, set) = if *v < 0.0 { (a - 0.7, set.right()) } else { (b + 0.7, set) };
        canvas.text(&number(*v, *digits), [at, base], set);
    }
    let last = first + (values.len() as f64 - 1.0) * row + bar + 0.6;
    canvas.line([zero, first - 0.6], [zero, last], theme.axis());
}
