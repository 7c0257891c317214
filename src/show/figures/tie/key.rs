//! The key under the drawings: scale, directions and what the marks mean.

use super::profile;
use super::scene::{REDUCED, START, Scene};
use crate::show::figures::canvas::{Canvas, Stroke, Type, corners};
use crate::show::figures::construct::view::arrow;
use crate::show::figures::hatch::Hatch;
use crate::show::figures::rect::{Point, Rect};

/// Length of a screw in the key, mm.
const SCREW: f64 = 5.0;

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
    /// Fracture line sunk below it.
    Sunk,
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
            Self::Sunk => "sunk",
        }
    }
}

/// A key for drawings at `scale` page mm per mm of bone.
pub(super) struct Key<'a> {
    pub scene: &'a Scene<'a>,
    pub scale: f64,
    pub entries: &'a [Entry],
    pub room: f64,
}

impl Key<'_> {
    fn set(&self) -> Type {
        Type::new(self.scene.theme.small, self.scene.theme.muted)
    }

    fn mark(&self, entry: Entry) -> f64 {
        match entry {
            Entry::Scale => 5.0 * self.scale,
            Entry::Superior => 2.0,
            Entry::Now | Entry::Earlier => self.limbs().0 + self.screw(),
            Entry::Proud | Entry::Sunk => 4.0,
            _ => 5.0,
        }
    }

    /// Width of the limbs in an entry, mm, and which are shown: a bridge above a loop, as far as the
    /// construct has both.
    fn limbs(&self) -> (f64, Vec<usize>) {
        let limbs = &self.scene.construct.limbs;
        let one = |hollow: bool| limbs.iter().position(|l| (l.group == "loop") == hollow);
        let kinds: Vec<usize> = [one(false), one(true)].into_iter().flatten().collect();
        (if kinds.is_empty() { 0.0 } else { 6.0 }, kinds)
    }

    /// Width of the screw in an entry, mm; nothing without one.
    fn screw(&self) -> f64 {
        match self.scene.construct.screws.is_empty() {
            true => 0.0,
            false => SCREW + 3.0,
        }
    }

    /// Places of the entries from the upper left corner, and the height of all.
    fn places(&self) -> (Vec<Point>, f64) {
        let (mut x, mut y) = (0.0, 0.0);
        let mut places = Vec::new();
        for entry in self.entries {
            let w = self.mark(*entry) + 1.2 + self.set().width(entry.words());
            if x > 0.0 && x + w > self.room {
                x = 0.0;
                y += 3.4;
            }
            places.push([x, y]);
            x += w + 4.5;
        }
        (places, y + 3.0)
    }

    /// Height, mm.
    pub fn height(&self) -> f64 {
        self.places().1
    }

    /// Draws it with its upper left corner at `at`.
    pub fn draw(&self, canvas: &mut Canvas, at: Point) {
        let theme = self.scene.theme;
        let set = self.set();
        let [proud, sunk] = profile::colours(self.scene);
        for (entry, p) in self.entries.iter().zip(self.places().0) {
            let (x, y) = (at[0] + p[0], at[1] + p[1] + 1.4);
            let w = self.mark(*entry);
            let line = |canvas: &mut Canvas, stroke| canvas.line([x, y], [x + w, y], stroke);
            let band = corners(Rect::new(x, y - 0.9, w, 1.8));
            match entry {
                Entry::Scale => line(canvas, Stroke::solid(theme.ink, 1.5)),
                Entry::Anterior => {
                    let (a, b) = if self.scene.mirror() > 0.0 { (x, x + w) } else { (x + w, x) };
                    arrow(canvas, theme, [a, y], [b, y]);
                }
                Entry::Superior => {
                    arrow(canvas, theme, [x + 1.0, y + 1.5], [x + 1.0, y - 1.6]);
                }
                Entry::Reduced => line(canvas, Stroke::dashed(theme.ink, 0.6, REDUCED)),
                Entry::Start => line(canvas, Stroke::dashed(theme.muted, 0.75, START)),
                Entry::Now | Entry::Earlier => {
                    let now = *entry == Entry::Now;
                    let (room, kinds) = self.limbs();
                    let part = room / kinds.len().max(1) as f64;
                    for (k, limb) in kinds.into_iter().enumerate() {
                        let from = x + k as f64 * part + if k > 0 { 0.4 } else { 0.0 };
                        let to = x + (k + 1) as f64 * part - 0.4;
                        let look = self.scene.look(limb, now);
                        look.draw(canvas, &[[from, y], [to, y]], false);
                    }
                    if self.screw() > 0.0 {
                        // Its head and its tip stand out of the line by half the band each.
                        let at = |share: f64| [x + room + 1.8 + share * SCREW, y];
                        self.scene.screw(canvas, [at(0.0), at(0.4), at(1.0)], now);
                    }
                }
                Entry::Proud => {
                    canvas.area(&band, proud.tint(0.6));
                    Hatch::Rising.draw(canvas, &band, 0.8, Stroke::solid(proud, 0.4));
                }
                Entry::Sunk => canvas.area(&band, sunk.tint(0.6)),
            }
            canvas.text(entry.words(), [x + w + 1.2, y + 0.5 * set.capital()], set);
        }
    }
}
