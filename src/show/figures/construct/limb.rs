//! Limbs in the drawings.

use super::Scene;
use crate::show::figures::canvas::{Canvas, Stroke, casing};
use crate::show::figures::colour::{Colour, WHITE};
use crate::show::figures::rect::Point;
use crate::study::result::LimbState;

/// Dashes of a stretch behind bone, mm.
const HIDDEN: &[f64] = &[0.9, 0.7];

/// How a limb looks.
#[derive(Debug, Clone, Copy)]
pub(in crate::show::figures) struct Look {
    /// Its colour, by group.
    pub colour: Colour,
    /// Its width, pt, by tension.
    pub width: f64,
    /// Whether it is drawn hollow (a loop).
    pub hollow: bool,
}

/// Tension in words: one number, or from the first to the last segment when they differ by more
/// than one in twenty.
pub(super) fn newtons(limb: &LimbState) -> String {
    let (lo, hi) = limb.tensions.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), t| (l.min(*t), h.max(*t)));
    match (limb.tensions.first(), limb.tensions.last()) {
        (Some(first), Some(last)) if hi - lo > 0.05 * hi => {
            if (first - last).abs() > 0.05 * hi {
                format!("{first:.0}\u{2013}{last:.0} N")
            } else {
                format!("{lo:.0}\u{2013}{hi:.0} N")
            }
        }
        (Some(_), Some(_)) => format!("{hi:.0} N"),
        _ => "0 N".to_owned(),
    }
}

/// The look of every limb: width from 0.7 pt (slack) to 1.8 pt (the highest tension here).
pub(super) fn looks(scene: &Scene<'_>) -> Vec<Look> {
    let groups = scene.groups();
    let most = |l: &LimbState| l.tensions.iter().copied().fold(0.0, f64::max);
    let highest = scene.tied.limbs.iter().map(most).fold(0.0, f64::max);
    scene
        .tied
        .limbs
        .iter()
        .map(|l| Look {
            colour: scene.theme.group(&l.group, &groups),
            width: 0.7 + 1.1 * if highest > 0.0 { most(l) / highest } else { 0.0 },
            hollow: l.group == "loop",
        })
        .collect()
}

/// The segments of a limb's path, those run twice (a loop there and back) once.
pub(in crate::show::figures) fn segments(path: &[[f64; 3]]) -> Vec<([f64; 3], [f64; 3])> {
    let mut once: Vec<([f64; 3], [f64; 3])> = Vec::new();
    let same = |a: &[f64; 3], b: &[f64; 3]| a.iter().zip(b).all(|(x, y)| (x - y).abs() < 1e-6);
    for pair in path.windows(2) {
        let (a, b) = (pair[0], pair[1]);
        let known = once.iter().any(|(c, d)| (same(&a, c) && same(&b, d)) || (same(&a, d) && same(&b, c)));
        if !known && !same(&a, &b) {
            once.push((a, b));
        }
    }
    once
}

impl Look {
    /// The same, faded.
    pub fn faded(self) -> Self {
        Self { colour: self.colour.tint(0.6), ..self }
    }

    /// Draws a stretch.
    pub fn draw(&self, canvas: &mut Canvas, points: &[Point], hidden: bool) {
        let width = if hidden { 0.75 * self.width } else { self.width };
        let stroke = Stroke::dashed(self.colour, width, if hidden { HIDDEN } else { &[] });
        if !hidden {
            canvas.path(points, casing(stroke));
        }
        canvas.path(points, stroke);
        if self.hollow && !hidden {
            canvas.path(points, Stroke::solid(WHITE, 0.45 * width));
        }
    }
}
