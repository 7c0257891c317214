//! The way between two solved states, for moving pictures only: interpolated, not computed.

use super::stage::{Sequence, Stage};
use super::study::{Moved, Study};
use crate::math::{Vec3, rotation, rotation_vector};
use crate::mechanics::Pose;
use crate::model::Stop;

/// What one order shows at one moment.
#[derive(Debug, Clone)]
pub(super) struct Moment {
    /// Fragment and limbs.
    pub shown: Moved,
    /// The state that is shown, or that the fragment moves to.
    pub state: usize,
    /// Whether it is on its way: then the picture is interpolated.
    pub moving: bool,
}

/// The moment at which a sequence stands at its state `k`; beyond its end it stays there.
pub(super) fn at(sequence: &Sequence<'_>, k: usize) -> Moment {
    let last = sequence.stages.len() - 1;
    Moment { shown: Moved::stage(&sequence.stages[k.min(last)]), state: k, moving: false }
}

/// The moment at share `s` (0 to 1) of the way to the state `k`, which is not the first.
pub(super) fn toward(study: &Study<'_>, sequence: &Sequence<'_>, k: usize, s: f64) -> Moment {
    if k >= sequence.stages.len() {
        return at(sequence, k);
    }
    let (from, to) = (&sequence.stages[k - 1], &sequence.stages[k]);
    let eased = s * s * (3.0 - 2.0 * s);
    Moment {
        shown: Moved {
            pose: between(&from.measures.pose(), &to.measures.pose(), eased),
            paths: (0..to.paths.len()).map(|limb| path(study, from, to, limb, eased)).collect(),
            now: to.now.clone(),
        },
        state: k,
        moving: true,
    }
}

/// Shift in proportion, turn about the one axis that joins both.
fn between(from: &Pose, to: &Pose, s: f64) -> Pose {
    let turn = rotation_vector(&(to.turn * from.turn.inverse()));
    Pose { shift: from.shift + (to.shift - from.shift) * s, turn: rotation(&(turn * s)) * from.turn }
}

/// A limb or screw on the way: a limb's stops on the fragment ride on it, its anchors give in
/// proportion.
fn path(study: &Study<'_>, from: &Stage, to: &Stage, limb: usize, s: f64) -> Vec<[f64; 3]> {
    let reference = study.case.fragment.centroid;
    let (a, b) = (from.measures.pose(), to.measures.pose());
    let here = between(&a, &b, s);
    let own = |pose: &Pose, p: &[f64; 3]| pose.turn.inverse() * (Vec3::from(*p) - reference - pose.shift) + reference;
    let Some(spec) = study.construct.limbs.get(limb) else {
        // A screw's head rides on the fragment, its tip stays in the scapula.
        let &[head, plane, tip] = to.paths[limb].as_slice() else {
            return Vec::new();
        };
        let [head, plane, tip] = [head, plane, tip].map(Vec3::from);
        let share = (plane - head).norm() / (tip - head).norm();
        let head = here.place(&reference, &own(&b, &head.into()));
        return [head, head + (tip - head) * share, tip].map(Into::into).to_vec();
    };
    let stops = &spec.path;
    to.paths[limb]
        .iter()
        .zip(stops)
        .enumerate()
        .map(|(j, (end, stop))| {
            let start = from.paths[limb].get(j);
            match stop {
                Stop::Anchor { index, .. } => {
                    let unloaded = study.construct.anchors[*index].point;
                    let start =
                        start.copied().or_else(|| study.anchor_place(&from.paths, *index)).map_or(unloaded, Vec3::from);
                    start + (Vec3::from(*end) - start) * s
                }
                Stop::Bite { .. } | Stop::Crossing { .. } => {
                    let end = own(&b, end);
                    let start = start.map_or(end, |p| own(&a, p));
                    here.place(&reference, &(start + (end - start) * s))
                }
            }
            .into()
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_way_joins_both_ends() {
        let a = Pose { shift: Vec3::new(1.0, -2.0, 0.5), turn: rotation(&Vec3::new(0.1, 0.0, -0.2)) };
        let b = Pose { shift: Vec3::new(-0.5, 0.0, 0.0), turn: rotation(&Vec3::new(0.0, 0.3, 0.1)) };
        for (s, end) in [(0.0, &a), (1.0, &b)] {
            let p = between(&a, &b, s);
            assert!((p.shift - end.shift).norm() < 1e-12);
            assert!(p.turn.angle_to(&end.turn) < 1e-12);
        }
        // Half-way both ends are as far: one axis, one rate.
        let half = between(&a, &b, 0.5);
        let (back, on) = (half.turn.angle_to(&a.turn), half.turn.angle_to(&b.turn));
        assert!((back - on).abs() < 1e-12);
    }
}
