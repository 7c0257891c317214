//! Screws in the drawings.

use super::Scene;
use crate::show::figures::canvas::{Canvas, Stroke};
use crate::show::figures::colour::{Colour, WHITE};
use crate::show::figures::rect::Point;

/// Threads drawn across the shank, mm of page between two.
const PITCH: f64 = 1.1;

/// Draws a screw from its head over the fracture plane to its tip: a slotted disc, a smooth line in the
/// fragment, a line with short threads across it in the scapula. It runs inside bone all along, and
/// nothing else in the drawing has threads, so that it needs no colour of its own.
pub(in crate::show::figures) fn draw(canvas: &mut Canvas, [head, plane, tip]: [Point; 3], colour: Colour) {
    canvas.path(&[head, tip], Stroke::solid(WHITE, 2.2));
    canvas.path(&[head, tip], Stroke::solid(colour, 1.0));
    let (dx, dy) = (tip[0] - plane[0], tip[1] - plane[1]);
    let length = libm::hypot(dx, dy);
    let count = (length / PITCH).floor() as usize;
    for k in 1..=count {
        let s = k as f64 / count as f64;
        let (x, y) = (plane[0] + s * dx, plane[1] + s * dy);
        let (nx, ny) = (-0.6 * dy / length, 0.6 * dx / length);
        canvas.line([x - nx, y - ny], [x + nx, y + ny], Stroke::solid(colour, 0.6));
    }
    canvas.disc(head, 1.35, WHITE);
    canvas.circle(head, 1.1, Stroke::solid(colour, 0.9));
    let d = 0.75;
    for end in [[d, d], [d, -d]] {
        canvas.line(
            [head[0] - end[0], head[1] - end[1]],
            [head[0] + end[0], head[1] + end[1]],
            Stroke::solid(colour, 0.8),
        );
    }
}

/// The language of screws for a caption; nothing without one.
pub(super) fn words(scene: &Scene<'_>) -> &'static str {
    if scene.tied.screws.is_empty() {
        ""
    } else {
        " A disc with a cross is the head of a screw, the line from it its axis, with threads beyond the fracture plane; the newtons beside it are the pull of its head."
    }
}

/// The screws in words, for the alternative text; nothing without one.
pub(super) fn alt(scene: &Scene<'_>) -> String {
    if scene.tied.screws.is_empty() {
        return String::new();
    }
    let list = scene
        .tied
        .screws
        .iter()
        .map(|s| format!("{} pulling with {:.0} N and bearing {:.0} N sideways", s.name, s.axial, s.bearing));
    format!(" Screws: {}.", list.collect::<Vec<_>>().join("; "))
}
