//! First events of a push, as symbols and words.

use crate::show::chart::*;
use crate::study::result::{Event, EventKind, Outcome};

/// Every kind, in the order of the key.
pub(crate) const KINDS: [EventKind; 12] = [
    EventKind::LimbSlack,
    EventKind::AboveKnot,
    EventKind::AboveStrand,
    EventKind::AboveAnchor,
    EventKind::ScrewLoose,
    EventKind::AboveBearing,
    EventKind::BiteSeated,
    EventKind::BedSliding,
    EventKind::HalfContact,
    EventKind::AboveCrush,
    EventKind::Step,
    EventKind::Jump,
];

/// What an event is called in the key.
pub(crate) fn words(kind: EventKind) -> &'static str {
    match kind {
        EventKind::LimbSlack => "limb slack",
        EventKind::AboveKnot => "above knot load",
        EventKind::AboveStrand => "above strand strength",
        EventKind::AboveAnchor => "above anchor holding",
        EventKind::ScrewLoose => "screw preload lost",
        EventKind::AboveBearing => "bone beside screw crushed",
        EventKind::BiteSeated => "bite seated",
        EventKind::BedSliding => "whole bed sliding",
        EventKind::HalfContact => "under half in contact",
        EventKind::AboveCrush => "bed crush strength",
        EventKind::Step => "step above 2 mm",
        EventKind::Jump => "jump to another state",
    }
}

/// An event in a caption.
pub(crate) fn sentence(event: &Event) -> String {
    let words = words(event.kind);
    if event.subject.is_empty() { words.to_owned() } else { format!("{words} ({})", event.subject) }
}

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
<<<<<<< HEAD
    let mut closed = |points: &[Point]| {
=======
    let ring = |n: usize, turn: f64| -> Vec<Point> {
        (0..n)
            .map(|k| {
                let a = (turn + 360.0 * k as f64 / n as f64).to_radians();
                [x + 1.15 * r * libm::cos(a), y + 1.15 * r * libm::sin(a)]
            })
            .collect()
    };
    let closed = |canvas: &mut Canvas, points: &[Point]| {
>>>>>>> b5de816 (Digits are a property of the program: eight lanes in one order on every processor, elementary functions from libm)
        canvas.area(points, WHITE);
        canvas.outline(points, stroke);
    };
    match kind {
<<<<<<< HEAD
        EventKind::AboveKnot => return closed(&polygon(at, 1.15 * r, 3, -90.0)),
        EventKind::AboveStrand => return closed(&polygon(at, 1.15 * r, 3, 90.0)),
        EventKind::BiteSeated => return closed(&polygon(at, 1.15 * r, 4, 0.0)),
        EventKind::AboveAnchor | EventKind::AboveCrush => closed(&polygon(at, 1.15 * r, 4, 45.0)),
        EventKind::AboveBearing => closed(&polygon(at, 1.15 * r, 6, 0.0)),
=======
        EventKind::LimbSlack => {
            canvas.disc(at, r, WHITE);
            canvas.circle(at, r, stroke);
        }
        EventKind::AboveKnot => closed(canvas, &ring(3, -90.0)),
        EventKind::AboveStrand => closed(canvas, &ring(3, 90.0)),
        EventKind::AboveAnchor => closed(canvas, &ring(4, 45.0)),
        EventKind::ScrewLoose => {
            canvas.disc(at, r, WHITE);
            canvas.circle(at, r, stroke);
            let d = 0.7 * r;
            canvas.line([x - d, y + d], [x + d, y - d], stroke);
        }
        EventKind::AboveBearing => {
            closed(canvas, &ring(6, 0.0));
            canvas.disc(at, 0.35 * r, colour);
        }
        EventKind::BiteSeated => closed(canvas, &ring(4, 0.0)),
        EventKind::BedSliding => {
            canvas.disc(at, r, WHITE);
            canvas.circle(at, r, stroke);
            canvas.line([x - r, y], [x + r, y], stroke);
        }
        EventKind::HalfContact => {
            canvas.disc(at, r, WHITE);
            let half: Vec<Point> = (0..=16)
                .map(|k| {
                    let a = (11.25 * f64::from(k)).to_radians();
                    [x + r * libm::cos(a), y + r * libm::sin(a)]
                })
                .collect();
            canvas.area(&half, colour);
            canvas.circle(at, r, stroke);
        }
        EventKind::AboveCrush => {
            closed(canvas, &ring(4, 45.0));
            let d = 0.8 * r;
            canvas.line([x - d, y - d], [x + d, y + d], stroke);
            canvas.line([x - d, y + d], [x + d, y - d], stroke);
        }
>>>>>>> b5de816 (Digits are a property of the program: eight lanes in one order on every processor, elementary functions from libm)
        EventKind::Step => {
            return closed(&[[x - r, y - r], [x, y - r], [x, y], [x + r, y], [x + r, y + r], [x - r, y + r]]);
        }
        EventKind::Jump => {
<<<<<<< HEAD
            let (outer, inner) = (polygon(at, 1.5 * r, 5, -90.0), polygon(at, 0.65 * r, 5, -54.0));
            return closed(&outer.into_iter().zip(inner).flat_map(|(a, b)| [a, b]).collect::<Vec<_>>());
=======
            let star: Vec<Point> = (0..10)
                .map(|k| {
                    let a = (-90.0 + 36.0 * f64::from(k)).to_radians();
                    let l = if k % 2 == 0 { 1.5 * r } else { 0.65 * r };
                    [x + l * libm::cos(a), y + l * libm::sin(a)]
                })
                .collect();
            closed(canvas, &star);
>>>>>>> b5de816 (Digits are a property of the program: eight lanes in one order on every processor, elementary functions from libm)
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
