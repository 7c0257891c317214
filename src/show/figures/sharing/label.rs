//! Names of the bands.

use super::carrier::Category;
use super::stack::Stack;
use crate::show::chart::*;
use crate::study::result::Push;

/// Names at the right end of the bands, each with a swatch of its colour and texture.
pub(super) fn draw(
    canvas: &mut Canvas,
    theme: &Theme,
    plot: &Plot,
    push: &Push,
    stacked: &Stack,
    categories: &[Category],
    room: f64,
) {
    let Some(last) = push.curve.last() else { return };
    let set = theme.words();
    let total = |canvas: &mut Canvas, p: Point| {
        canvas.line(p, [p[0] + 3.0, p[1]], Stroke::solid(theme.ink, 1.3 * theme.curve));
    };
    let swatches: Vec<_> = categories
        .iter()
        .map(|category| {
            move |canvas: &mut Canvas, p: Point| {
                let swatch = Rect::new(p[0], p[1] - 0.9, 3.0, 1.8);
                category.fill(canvas, &swatch.corners());
                canvas.frame(swatch, Stroke::solid(category.colour, 0.4));
            }
        })
        .collect();
    let end = |y: f64, words: String, set: Type, draw| {
        let lines = wrap(&words, set, room).into_iter().map(|l| (l, set)).collect();
        End {
            at: Some(plot.at(last.displacement, y)),
            colour: theme.muted,
            lines,
            sign: Some((3.0, draw)),
            crossed: false,
        }
    };
    let mut ends = vec![end(last.load, format!("load {}", newtons(last.load)), set.bold(), &total as &_)];
    for (k, category) in categories.iter().enumerate().filter(|(_, c)| c.is_present(push)) {
        let words = format!("{} {}", category.name, newtons(category.share(push, last)));
        ends.push(end(stacked.middle_at_end[k], words, set, &swatches[k]));
    }
    plot.ends(canvas, theme, &ends);
}
