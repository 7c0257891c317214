//! Cells of a map that have no value, or are lost later: how they are told and drawn.

use super::words;
use crate::show::figures::canvas::{Canvas, Stroke, corners};
use crate::show::figures::hatch::Hatch;
use crate::show::figures::rect::Rect;
use crate::show::figures::theme::Theme;
use crate::study::result::{End, GridPoint, Sweep, Swept};

/// What a cell without a colour, or with a mark in it, means.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Kind {
    /// Not held when tied.
    NotHeld,
    /// Lost before the quantity can be read off.
    LostBefore,
    /// Not certified.
    Uncertified,
    /// No such fragment or construct.
    Impossible,
    /// Not computed, after an interruption.
    NotDone,
    /// Has a value, and is lost later in the push.
    LostLater,
}

impl Kind {
    const ALL: [Self; 6] =
        [Self::NotHeld, Self::LostBefore, Self::Uncertified, Self::Impossible, Self::NotDone, Self::LostLater];

    /// What a point is; `None` when it is held and has the value.
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

    pub fn present(found: &Sweep, q: usize) -> Vec<Self> {
        let total = words::total(found);
        let has = |kind: &Self| {
            found.constructs.iter().any(|c| {
                let shown = *kind != Self::LostLater || !all_lost(c);
                shown && (0..total).any(|p| Self::of(c.points.get(p), q) == Some(*kind))
            })
        };
        Self::ALL.into_iter().filter(has).collect()
    }

    pub fn words(self) -> &'static str {
        match self {
            Self::NotHeld => "not held when tied",
            Self::LostBefore => "lost in the push before this",
            Self::Uncertified => "not certified",
            Self::Impossible => "impossible",
            Self::NotDone => "not computed",
            Self::LostLater => "lost later in the push",
        }
    }

    /// Draws it in a cell; gives what it covers of it.
    pub fn draw(self, canvas: &mut Canvas, theme: &Theme, cell: Rect) -> Rect {
        let hatch = match self {
            Self::NotHeld => Hatch::Rising,
            Self::LostBefore => Hatch::Level,
            Self::Uncertified => Hatch::Dots,
            Self::Impossible => Hatch::Crossed,
            Self::NotDone => Hatch::Plain,
            Self::LostLater => {
                let middle = [cell.x + 0.5 * cell.w, cell.y + 0.5 * cell.h];
                canvas.disc(middle, 0.55, theme.paper);
                canvas.circle(middle, 0.55, Stroke::solid(theme.ink, 0.5));
                return Rect::new(middle[0], middle[1], 0.0, 0.0).grown(0.65);
            }
        };
        canvas.fill(cell, theme.paper);
        hatch.draw(canvas, &corners(cell), 1.1, Stroke::solid(theme.muted, 0.5));
        cell
    }
}

/// Whether every point is lost in the push: said once above the map, not in each cell.
pub(super) fn all_lost(swept: &Swept) -> bool {
    swept.points.iter().all(|p| p.end == End::LostInPush)
}
