//! Cells of a map that have no value, or fail later: how they are named and drawn.

use super::super::words;
use crate::show::chart::*;
use crate::study::result::{End, GridPoint, Sweep, Swept};

/// What a cell without a colour, or with a mark in it, means.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Kind {
    /// Unstable as tied.
    NotHeld,
    /// Fails before the quantity can be read off.
    LostBefore,
    /// Balance not checked.
    Uncertified,
    /// No such fragment or construct.
    Impossible,
    /// Not computed, after an interruption.
    NotDone,
    /// Has a value, and fails later in the push.
    LostLater,
}

impl Kind {
    const ALL: [Self; 6] =
        [Self::NotHeld, Self::LostBefore, Self::Uncertified, Self::Impossible, Self::NotDone, Self::LostLater];

    /// What a point is; `None` when it is stable and has the value.
    pub fn of(point: Option<&GridPoint>, q: usize) -> Option<Self> {
        let Some(point) = point else {
            return Some(Self::NotDone);
        };
        match (point.end, point.values[q]) {
            (End::Held, Some(_)) => None,
            (End::LostInPush, Some(_)) => Some(Self::LostLater),
            (End::Held | End::LostInPush, None) => Some(Self::LostBefore),
            (End::NotHeld, _) => Some(Self::NotHeld),
            (End::Uncertified, _) => Some(Self::Uncertified),
            (End::Impossible, _) => Some(Self::Impossible),
        }
    }

    /// The key of those that a sweep has.
    pub fn key<'a>(found: &Sweep, q: usize, theme: &'a Theme, room: f64) -> Key<'a> {
        let total = words::total(found);
        let has = |kind: &Self| {
            found.constructs.iter().any(|c| {
                let shown = *kind != Self::LostLater || !all_lost(c);
                shown && (0..total).any(|p| Self::of(c.points.get(p), q) == Some(*kind))
            })
        };
        let mut key = Key::new(theme.fine(), room);
        for kind in Self::ALL.into_iter().filter(has) {
            key.add(3.0, kind.words(), move |canvas, r| {
                kind.draw(canvas, theme, r);
                canvas.frame(r, Stroke::solid(theme.muted, 0.4));
            });
        }
        key
    }

    fn words(self) -> &'static str {
        match self {
            Self::NotHeld => End::NotHeld.words(),
            Self::LostBefore => "failed in the push before this",
            Self::Uncertified => End::Uncertified.words(),
            Self::Impossible => End::Impossible.words(),
            Self::NotDone => "not computed",
            Self::LostLater => "failed later in the push",
        }
    }

    /// Draws it in a cell; gives what it covers of it.
    pub fn draw(self, canvas: &mut Canvas, theme: &Theme, cell: Rect) -> Rect {
        let texture = match self {
            Self::NotHeld => Texture::Rising,
            Self::LostBefore => Texture::Level,
            Self::Uncertified => Texture::Dots,
            Self::Impossible => Texture::Crossed,
            Self::NotDone => Texture::Plain,
            Self::LostLater => {
                ring(canvas, cell.middle(), 0.55, theme.paper, Stroke::solid(theme.ink, 0.5));
                return Rect::about(cell.middle(), 0.65);
            }
        };
        canvas.fill(cell, theme.paper);
        canvas.textured(&cell.corners(), texture, 1.1, Stroke::solid(theme.muted, 0.5));
        cell
    }
}

/// Whether every point fails in the push: said once above the map, not in each cell.
pub(super) fn all_lost(swept: &Swept) -> bool {
    swept.points.iter().all(|p| p.end == End::LostInPush)
}
