//! The key under the drawings: scale, directions and what the marks mean.

use super::study::{REDUCED, START, Study};
use crate::show::chart::*;
use crate::show::scene::{Seen, profile, sign};

/// A key for drawings at `scale` page mm per mm of bone; with `ties`, also how limbs and screws look that were
/// just tied or before.
pub(super) fn key<'k>(study: &'k Study<'_>, scale: f64, ties: bool, room: f64) -> Key<'k> {
    let theme = study.theme;
    let mut key = Key::new(theme.note(), room);
    let line = |stroke: Stroke| {
        move |canvas: &mut Canvas, r: Rect| {
            canvas.line([r.x, r.middle()[1]], [r.right(), r.middle()[1]], stroke);
        }
    };
    let band = |r: Rect| Rect::new(r.x, r.middle()[1] - 0.9, r.w, 1.8).corners();
    key.add(5.0 * scale, "5 mm", line(Stroke::solid(theme.ink, 1.5)));
    key.add(5.0, "anterior", move |canvas, r| {
        let [x, y] = r.middle();
        let half = 0.5 * r.w * Seen::Face.mirror(study.case);
        pointer(canvas, theme, [x - half, y], [x + half, y]);
    });
    key.add(2.0, "superior", |canvas, r| {
        let [x, y] = r.middle();
        pointer(canvas, theme, [x, y + 1.5], [x, y - 1.6]);
    });
    key.add(5.0, "reduced", line(Stroke::dashed(theme.ink, 0.6, REDUCED)));
    key.add(5.0, "before tying", line(Stroke::dashed(theme.muted, 0.75, START)));
    for (now, words) in [(true, "just tied"), (false, "tied before")].into_iter().filter(|_| ties) {
        sample(&mut key, study, now, words);
    }
    key.add(4.0, "proud", move |canvas, r| profile::proud(canvas, theme, &band(r)));
    key.add(4.0, "recessed", move |canvas, r| profile::recessed(canvas, theme, &band(r)));
    key
}

/// A bridge and a loop, as far as the construct has both, and a screw where it has one.
fn sample<'k>(key: &mut Key<'k>, study: &'k Study<'_>, now: bool, words: &str) {
    let (limbs, screws) = (&study.construct.limbs, !study.construct.screws.is_empty());
    let one = |hollow: bool| limbs.iter().position(|l| (l.group == "loop") == hollow);
    let kinds: Vec<usize> = [one(false), one(true)].into_iter().flatten().collect();
    let strands = if kinds.is_empty() { 0.0 } else { 6.0 };
    key.add(strands + if screws { 8.0 } else { 0.0 }, words, move |canvas, r| {
        let (y, part) = (r.middle()[1], strands / kinds.len().max(1) as f64);
        for (k, limb) in kinds.iter().enumerate() {
            let from = r.x + k as f64 * part + if k > 0 { 0.4 } else { 0.0 };
            study.look(*limb, now).draw(canvas, &[[from, y], [r.x + (k + 1) as f64 * part - 0.4, y]], false);
        }
        if screws {
            // Its head and its tip stand out of the line by half the band each.
            let places = [0.0, 2.0, 5.0].map(|l| [r.x + strands + 1.8 + l, y]);
            sign::band(canvas, study.theme, places, now);
            sign::screw(canvas, places, study.screw_ink(now));
        }
    });
}
