//! The bar of a limb or screw in a state.

use super::super::stage::Stage;
use super::super::study::Study;
use super::{LOST, WRITTEN};
use crate::show::chart::*;

/// The bar of a limb or screw in a state, from the left end of its foot.
pub(super) fn draw(
    canvas: &mut Canvas,
    study: &Study<'_>,
    stage: &Stage,
    member: usize,
    ([x, floor], column, per_newton): (Point, f64, f64),
) {
    let tied = stage.now.contains(&member);
    if stage.paths[member].is_empty() && !tied {
        return;
    }
    let (theme, colour) = (study.theme, study.colour(member));
    let (now, change) = (stage.tensions[member], stage.changes[member]);
    let before = now - change;
    let w = (0.4 * column).min(9.0);
    let level = |t: f64| floor - per_newton * t;
    let rect = |from: f64, to: f64| Rect::new(x, level(to), w, level(from) - level(to));
    if tied {
        canvas.fill(rect(0.0, now), colour);
    } else {
        canvas.fill(rect(0.0, now.min(before)), colour.tint(0.55));
        if change < -WRITTEN {
            canvas.frame(rect(now, before), Stroke::dashed(colour, 0.6, LOST));
        } else if change > WRITTEN {
            gained(canvas, theme, colour, rect(before, now));
        }
    }
    let set = theme.words();
    let top = if tied { now } else { now.max(before) };
    canvas.text(&format!("{now:.1}"), [x, level(top) - 0.9], if tied { set.bold() } else { set });
    if !tied && change.abs() > WRITTEN {
        canvas.text(&signed(&format!("{change:+.1}")), [x + w + 0.9, floor - 0.7], theme.fine());
    }
}

/// What a tie gave: a hatched cap.
pub(super) fn gained(canvas: &mut Canvas, theme: &Theme, colour: Colour, r: Rect) {
    canvas.fill(r, colour.tint(0.2));
    canvas.textured(&r.corners(), Texture::Rising, 0.8, Stroke::solid(theme.paper, 0.5));
}
