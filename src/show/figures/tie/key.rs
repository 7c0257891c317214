//! The key under the drawings: scale, directions and what the marks mean.

use super::study::{REDUCED, START, Study};
use crate::show::chart::*;
use crate::show::scene::{Seen, profile, sign};

/// An entry of the key.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Entry {
    /// A bar of 5 mm of bone.
    Scale,
    /// Which way anterior and superior are.
    Anterior,
    /// The same.
    Superior,
    /// The outline of the reduced fragment.
    Reduced,
    /// The outline before tying.
    Start,
    /// A limb or screw just tied.
    Now,
    /// A limb or screw tied earlier.
    Earlier,
    /// Fracture line proud of the intact edge.
    Proud,
    /// Fracture line recessed below it.
    Recessed,
}

impl Entry {
    fn words(self) -> &'static str {
        match self {
            Self::Scale => "5 mm",
            Self::Anterior => "anterior",
            Self::Superior => "superior",
            Self::Reduced => "reduced",
            Self::Start => "before tying",
            Self::Now => "just tied",
            Self::Earlier => "tied before",
            Self::Proud => "proud",
            Self::Recessed => "recessed",
        }
    }
}

/// A key for drawings at `scale` page mm per mm of bone.
pub(super) fn key<'k>(study: &'k Study<'_>, scale: f64, entries: &[Entry], room: f64) -> Key<'k> {
    let limbs = &study.construct.limbs;
    // A bridge before a loop, as far as the construct has both.
    let one = |hollow: bool| limbs.iter().position(|l| (l.group == "loop") == hollow);
    let kinds: Vec<usize> = [one(false), one(true)].into_iter().flatten().collect();
    let strands = if kinds.is_empty() { 0.0 } else { 6.0 };
    let screws = if study.construct.screws.is_empty() { 0.0 } else { 8.0 };
    let mut key = Key::new(study.theme.note(), room);
    for entry in entries.iter().copied() {
        let width = match entry {
            Entry::Scale => 5.0 * scale,
            Entry::Superior => 2.0,
            Entry::Now | Entry::Earlier => strands + screws,
            Entry::Proud | Entry::Recessed => 4.0,
            _ => 5.0,
        };
        let kinds = kinds.clone();
        key.add(width, entry.words(), move |canvas, r| sample(canvas, study, entry, r, (&kinds, strands)));
    }
    key
}

fn sample(canvas: &mut Canvas, study: &Study<'_>, entry: Entry, r: Rect, (kinds, strands): (&[usize], f64)) {
    let (theme, y) = (study.theme, r.middle()[1]);
    let mut line = |stroke| canvas.line([r.x, y], [r.right(), y], stroke);
    let band = Rect::new(r.x, y - 0.9, r.w, 1.8).corners();
    match entry {
        Entry::Scale => line(Stroke::solid(theme.ink, 1.5)),
        Entry::Reduced => line(Stroke::dashed(theme.ink, 0.6, REDUCED)),
        Entry::Start => line(Stroke::dashed(theme.muted, 0.75, START)),
        Entry::Anterior => {
            let half = 0.5 * r.w * Seen::Face.mirror(study.case);
            let middle = r.middle()[0];
            pointer(canvas, theme, [middle - half, y], [middle + half, y]);
        }
        Entry::Superior => pointer(canvas, theme, [r.x + 1.0, y + 1.5], [r.x + 1.0, y - 1.6]),
        Entry::Proud => profile::proud(canvas, theme, &band),
        Entry::Recessed => profile::recessed(canvas, theme, &band),
        Entry::Now | Entry::Earlier => {
            let now = entry == Entry::Now;
            let part = strands / kinds.len().max(1) as f64;
            for (k, limb) in kinds.iter().enumerate() {
                let from = r.x + k as f64 * part + if k > 0 { 0.4 } else { 0.0 };
                let to = r.x + (k + 1) as f64 * part - 0.4;
                study.look(*limb, now).draw(canvas, &[[from, y], [to, y]], false);
            }
            if r.w > strands {
                // Its head and its tip stand out of the line by half the band each.
                let places = [0.0, 2.0, 5.0].map(|l| [r.x + strands + 1.8 + l, y]);
                sign::band(canvas, theme, places, now);
                sign::screw(canvas, places, study.screw_ink(now));
            }
        }
    }
}
