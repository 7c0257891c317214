//! The one scene of the shoulder: bone, fragment at its pose, strands, anchors, screws and the pressure on the
//! bed, en face, in section, from in front, and square to the bed.
//!
//! Drawing language: an eye (disc with a white centre) is an anchor on the face, a broken ring one
//! hidden behind the bone; a diamond is a bite, a bar square to the limb a crossing over bone; a
//! full line is a bridge, a ring round anchor and bite a loop, its width grows with tension, and it is dashed where
//! the limb runs behind bone. A disc with a cross is the head of a screw, its line has threads beyond
//! the fracture plane.

pub(crate) mod bed;
pub(crate) mod face;
mod fragment;
pub(crate) mod holes;
pub(crate) mod profile;
pub(crate) mod section;
pub(crate) mod sign;
mod strand;
mod view;
mod wheel;

use crate::math::Vec3;
use crate::mechanics::Pose;
use crate::model::{Case, Construct, Side};
use crate::show::chart::*;
use crate::study::result::{AnchorState, BedState, LimbState, PointKind, TiedState};
use sign::{Callout, Column, HALO};

pub(crate) use profile::{Profile, Reach};
pub(crate) use {fragment::*, strand::*, view::*, wheel::*};

/// A construct as tied, with its surroundings.
pub(crate) struct Scene<'a> {
    pub case: &'a Case,
    pub construct: &'a Construct,
    pub tied: &'a TiedState,
    pub theme: &'a Theme,
    /// The fragment's edges.
    pub body: Body<'a>,
    /// Where everything is.
    pub shown: Shown,
}

impl<'a> Scene<'a> {
    pub fn new(case: &'a Case, construct: &'a Construct, tied: &'a TiedState, theme: &'a Theme) -> Self {
        Self { case, construct, tied, theme, body: Body::new(case), shown: Shown::tied(case, tied, theme) }
    }

    /// Every point of the construct, mm.
    fn points(&self) -> impl Iterator<Item = [f64; 3]> {
        let limbs = self.tied.limbs.iter().flat_map(|l| l.path.iter().copied());
        let screws = self.tied.screws.iter().flat_map(|s| s.places);
        let anchors = self.tied.anchors.iter().map(|a| a.place);
        limbs.chain(anchors).chain(screws)
    }

    /// Writes a panel's letter and title.
    fn title(&self, canvas: &mut Canvas, area: Rect, letter: &str, words: &str) {
        canvas.text(letter, [area.x + 0.6, area.y + 3.4], self.theme.heading());
        canvas.text(words, [area.x + 4.0, area.y + 3.4], self.theme.words());
    }
}

/// 1 for a right shoulder, −1 for a left one, which is drawn mirrored.
pub(crate) fn mirror(case: &Case) -> f64 {
    match case.side {
        Side::Right => 1.0,
        Side::Left => -1.0,
    }
}

/// Which shoulder is seen.
pub(crate) fn side(case: &Case) -> String {
    format!("{} shoulder", crate::show::words::word(&case.side))
}
