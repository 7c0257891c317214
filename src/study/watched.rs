//! What a reducing tie watches: the points that eye and probe would follow.

use super::taut;
use crate::math::Vec3;
use crate::mechanics::{Pose, Solver, State};
use crate::model::{Case, Construct, Stop, StopRule, TieSpec};

/// A point of the articular fracture line and the in-bed direction in which a limb pulls it.
pub(super) struct Watched {
    point: Vec3,
    direction: Vec3,
}

impl Watched {
    /// How far the point is beyond its reduced place along the pull, mm; negative is short of it.
    pub fn short(&self, case: &Case, pose: &Pose) -> f64 {
        let place = pose.place(&case.fragment.centroid, &self.point);
        (place - self.point).dot(&self.direction)
    }
}

/// The points that a reducing tie watches: of each limb the point of the articular fracture line
/// nearest to its bite, or to its first turn on the fragment; none of a tie that stops at its tension.
pub(super) fn watched(
    case: &Case,
    construct: &Construct,
    solver: &Solver<'_>,
    state: &State,
    tie: &TieSpec,
) -> Vec<Watched> {
    if tie.stop != StopRule::Reduced {
        return Vec::new();
    }
    let rig = solver.rig();
    tie.limbs
        .iter()
        .filter_map(|&k| {
            let spec = &construct.limbs[k];
            let places = taut::places(&case.fragment, construct, spec);
            let on_fragment = |v: &usize| rig.is_on_fragment(k, *v);
            let bite = (0..places.len()).find(|v| matches!(spec.path[*v], Stop::Bite { .. }));
            let turn = bite.or_else(|| (0..places.len()).find(on_fragment))?;
            let pull = solver.unit_pull(state, k);
            let normal = case.fragment.normal;
            let in_bed = pull - normal * pull.dot(&normal);
            Some(Watched {
                point: case.fragment.nearest_edge_point(&places[turn]),
                direction: in_bed.try_normalize(1e-9)?,
            })
        })
        .collect()
}
