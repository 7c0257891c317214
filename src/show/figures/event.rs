//! First events of a push, as symbols and words.

use super::canvas::{Canvas, Stroke};
use super::colour::{Colour, WHITE};
use super::rect::Point;
use crate::study::result::{Event, EventKind};

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
    if event.subject.is_empty() {
        words(event.kind).to_owned()
    } else {
        format!("{} ({})", words(event.kind), event.subject)
    }
}

/// Draws the symbol of an event: open shapes on paper, so that they differ from the filled readings.
pub(crate) fn symbol(canvas: &mut Canvas, kind: EventKind, at: Point, colour: Colour) {
    let r = 0.8;
    let stroke = Stroke::solid(colour, 0.7);
    let [x, y] = at;
    let ring = |n: usize, turn: f64| -> Vec<Point> {
        (0..n)
            .map(|k| {
                let a = (turn + 360.0 * k as f64 / n as f64).to_radians();
                [x + 1.15 * r * a.cos(), y + 1.15 * r * a.sin()]
            })
            .collect()
    };
    let closed = |canvas: &mut Canvas, points: &[Point]| {
        canvas.area(points, WHITE);
        canvas.outline(points, stroke);
    };
    match kind {
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
                    [x + r * a.cos(), y + r * a.sin()]
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
        EventKind::Step => {
            closed(canvas, &[[x - r, y - r], [x, y - r], [x, y], [x + r, y], [x + r, y + r], [x - r, y + r]])
        }
        EventKind::Jump => {
            let star: Vec<Point> = (0..10)
                .map(|k| {
                    let a = (-90.0 + 36.0 * f64::from(k)).to_radians();
                    let l = if k % 2 == 0 { 1.5 * r } else { 0.65 * r };
                    [x + l * a.cos(), y + l * a.sin()]
                })
                .collect();
            closed(canvas, &star);
        }
    }
}
