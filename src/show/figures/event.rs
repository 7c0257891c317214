//! First events of a push, as symbols.

use super::*;

/// What ended a push early; `None` when it went to its end.
pub(crate) fn early(outcome: &Outcome) -> Option<&'static str> {
    match outcome {
        Outcome::Held => None,
        Outcome::NotHeld { .. } => Some("fixation fails"),
        Outcome::Uncertified { .. } => Some("balance not checked"),
    }
}

/// Draws the symbol of an event: open shapes on paper, so that they differ from the filled readings.
pub(crate) fn symbol(canvas: &mut Canvas, kind: EventKind, at: Point, colour: Colour) {
    let r = 0.8;
    let stroke = Stroke::solid(colour, 0.7);
    let [x, y] = at;
    let mut closed = |points: &[Point]| {
        canvas.area(points, WHITE);
        canvas.outline(points, stroke);
    };
    match kind {
        EventKind::AboveKnot => return closed(&polygon(at, 1.15 * r, 3, -90.0)),
        EventKind::AboveStrand => return closed(&polygon(at, 1.15 * r, 3, 90.0)),
        EventKind::BiteSeated => return closed(&polygon(at, 1.15 * r, 4, 0.0)),
        EventKind::AboveAnchor | EventKind::AboveCrush => closed(&polygon(at, 1.15 * r, 4, 45.0)),
        EventKind::BiteTears => return closed(&polygon(at, 1.15 * r, 5, -90.0)),
        EventKind::AboveBearing => closed(&polygon(at, 1.15 * r, 6, 0.0)),
        EventKind::Step => {
            return closed(&[[x - r, y - r], [x, y - r], [x, y], [x + r, y], [x + r, y + r], [x - r, y + r]]);
        }
        EventKind::Jump => {
            let (outer, inner) = (polygon(at, 1.5 * r, 5, -90.0), polygon(at, 0.65 * r, 5, -54.0));
            return closed(&outer.into_iter().zip(inner).flat_map(|(a, b)| [a, b]).collect::<Vec<_>>());
        }
        _ => ring(canvas, at, r, WHITE, stroke),
    }
    match kind {
        EventKind::ScrewLoose => canvas.line([x - 0.56, y + 0.56], [x + 0.56, y - 0.56], stroke),
        EventKind::AboveBearing => canvas.disc(at, 0.28, colour),
        EventKind::BedSliding => canvas.line([x - r, y], [x + r, y], stroke),
        EventKind::HalfContact => canvas.area(&arc(at, r, [0.0, 180.0], 16), colour),
        EventKind::AboveCrush => cross(canvas, at, 0.64, stroke),
        _ => {}
    }
}
