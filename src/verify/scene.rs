//! A shipped construct tied on the default case, on an endless bed: without the broken edge, whose
//! fading has no potential, all elastic forces have one.

use super::check::{Found, not_tied};
use crate::mechanics::{Bed, Outline, Rig};
use crate::model::{Case, Construct, ConstructFile, EnvelopeSpec, Rest, Stop};
use crate::study::{self, Tied, result::Start};

/// A tied construct on an endless bed.
#[derive(Debug, Clone)]
pub struct Scene {
    /// The rig.
    pub rig: Rig,
    /// Its tied state.
    pub tied: Tied,
}

/// The built-in construct `name` on the built-in case `quarter`, with or without friction anywhere.
///
/// # Errors
/// When there is no such construct, or it does not hold the fragment.
pub fn endless(name: &str, friction: bool) -> Found<Scene> {
    let mut case = Case::open("quarter").map_err(|p| p.to_string())?;
    let mut construct: Construct =
        ConstructFile::open(name).and_then(|file| file.fit(&case)).map_err(|p| p.to_string())?;
    if !friction {
        case.bed.friction = 0.0;
        // Without friction the two bridges alone would slide the fragment out of its bed while they
        // are pulled; stiffer soft tissue than usual keeps it there.
        case.envelope = Some(EnvelopeSpec { shift_stiffness: 20.0, turn_stiffness: 2000.0, rest: Rest::Start });
        for stop in construct.limbs.iter_mut().flat_map(|limb| &mut limb.path) {
            match stop {
                Stop::Anchor { friction, .. } | Stop::Bite { friction, .. } | Stop::Crossing { friction, .. } => {
                    *friction = 0.0
                }
            }
        }
    }
    let mut rig = study::rig(&case, &construct, Start::Reduced);
    let cells: Vec<_> = rig.bed.cells.iter().map(|c| (c.t, c.m, c.area)).collect();
    let (origin, axes, law) = (rig.bed.origin, rig.bed.axes, rig.bed.law);
    rig.bed = Bed::from_cells(origin, axes, law, Outline::Unbounded, &cells);
    let (hold, tied) = study::tie(&case, &construct, &rig, Start::Reduced);
    let tied = tied.ok_or_else(|| not_tied(name, &hold.outcome))?;
    Ok(Scene { rig, tied })
}
