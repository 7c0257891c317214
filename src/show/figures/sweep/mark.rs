//! How points that are not held to the end are shown.

use crate::show::figures::canvas::{Canvas, Stroke, Type};
use crate::show::figures::rect::Point;
use crate::show::figures::theme::Theme;
use crate::study::result::{End, Sweep};

/// All but held, in the order of a key.
pub(super) const ASTRAY: [End; 4] = [End::LostInPush, End::NotHeld, End::Uncertified, End::Impossible];

/// Draws the symbol of an end.
pub(super) fn symbol(canvas: &mut Canvas, end: End, at: Point, stroke: Stroke) {
    let [x, y] = at;
    let d = 0.62;
    match end {
        End::Held => {}
        End::LostInPush => canvas.circle(at, 0.65, stroke),
        End::NotHeld => {
            canvas.line([x - d, y - d], [x + d, y + d], stroke);
            canvas.line([x - d, y + d], [x + d, y - d], stroke);
        }
        End::Uncertified => canvas.outline(&[[x, y - 0.8], [x + 0.8, y + 0.6], [x - 0.8, y + 0.6]], stroke),
        End::Impossible => canvas.line([x - 0.85, y], [x + 0.85, y], stroke),
    }
}

/// The ends other than held that a sweep has.
pub(super) fn present(found: &Sweep) -> Vec<End> {
    let has = |end: &End| found.constructs.iter().flat_map(|c| &c.points).any(|p| p.end == *end);
    ASTRAY.into_iter().filter(has).collect()
}

/// Height of a row of the key, mm.
pub(in crate::show::figures) const ROW: f64 = 3.2;

/// Rows that words of a key take, one after another from the left.
pub(in crate::show::figures) fn places(entries: &[String], set: Type, room: f64) -> (Vec<Point>, f64) {
    let (mut x, mut y) = (0.0, 0.0);
    let mut places = Vec::new();
    for entry in entries {
        let w = 5.0 + set.width(entry);
        if x > 0.0 && x + w > room {
            (x, y) = (0.0, y + ROW);
        }
        places.push([x, y]);
        x += w + 4.0;
    }
    let height = if entries.is_empty() { 0.0 } else { y + ROW };
    (places, height)
}

/// The key of the symbols, from its upper left corner.
pub(super) fn key(canvas: &mut Canvas, theme: &Theme, ends: &[End], at: Point, room: f64) {
    let set = Type::new(theme.small, theme.ink);
    for (end, p) in ends.iter().zip(places(&entries(ends), set, room).0) {
        let y = at[1] + p[1] + 0.5 * ROW;
        symbol(canvas, *end, [at[0] + p[0] + 1.5, y], Stroke::solid(theme.ink, 0.8));
        canvas.text(end.words(), [at[0] + p[0] + 3.6, y + 0.5 * set.capital()], set);
    }
}

/// Words of the key.
pub(super) fn entries(ends: &[End]) -> Vec<String> {
    ends.iter().map(|e| e.words().to_owned()).collect()
}
