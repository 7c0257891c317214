//! What acts on the fragment: limbs, and the heads of screws.

use crate::math::Vec3;
use crate::model::Case;
use crate::show::figures::csv::{Csv, field};
use crate::show::figures::subject::Subject;
use crate::study::result::{LimbState, PointKind, ScrewState};

/// A force on the fragment. What the shank of a screw bears sideways only answers, and is left out,
/// as it is from the resultant of a tied state.
pub(super) struct Act<'a> {
    pub name: &'a str,
    pub group: &'a str,
    /// Where it is drawn from, mm.
    pub from: Vec3,
    /// The force, N.
    pub force: Vec3,
}

/// Every force of a construct: limbs in their order, then heads of screws in theirs.
pub(super) fn acts<'a>(case: &Case, subject: &Subject<'a>) -> Vec<Act<'a>> {
    let limbs = subject.tied.limbs.iter().map(|l| Act {
        name: &l.name,
        group: &l.group,
        from: start(l).unwrap_or(case.fragment.centroid),
        force: l.force.into(),
    });
    let screws = subject.tied.screws.iter().map(|s| Act {
        name: &s.name,
        group: &s.group,
        from: s.places[0].into(),
        force: press(s),
    });
    limbs.chain(screws).collect()
}

/// The sum of them, drawn from the fragment's centroid.
pub(super) fn sum(case: &Case, subject: &Subject<'_>) -> (Vec3, Vec3) {
    (case.fragment.centroid, subject.tied.resultant.into())
}

/// Where a limb's force is drawn from: the middle of its turns on the fragment.
fn start(limb: &LimbState) -> Option<Vec3> {
    let on: Vec<Vec3> = limb
        .path
        .iter()
        .zip(&limb.kinds)
        .filter(|(_, kind)| **kind != PointKind::Anchor)
        .map(|(p, _)| Vec3::from(*p))
        .collect();
    (!on.is_empty()).then(|| on.iter().sum::<Vec3>() / on.len() as f64)
}

/// What the head of a screw presses with, along the screw from head to tip, N.
fn press(screw: &ScrewState) -> Vec3 {
    let [head, _, tip] = screw.places.map(Vec3::from);
    (tip - head).normalize() * screw.axial
}

/// The forces as a table.
pub(super) fn csv(case: &Case, subjects: &[Subject<'_>]) -> String {
    let mut csv = Csv::new(&[
        "construct",
        "number",
        "name",
        "x_mm",
        "y_mm",
        "z_mm",
        "anterior_N",
        "superior_N",
        "lateral_N",
        "superior_along_chord_N",
        "medial_down_plane_N",
        "on_bed_N",
    ]);
    for subject in subjects {
        let mut row = |number: String, name: &str, from: Vec3, force: Vec3| {
            let [t, m, n] = subject.in_bed(case, force.into());
            let mut row = vec![field(&subject.construct.name), number, field(name)];
            row.extend([from.x, from.y, from.z, force.x, force.y, force.z, t, m, -n].map(|v| v.to_string()));
            csv.row(row);
        };
        for (k, act) in acts(case, subject).iter().enumerate() {
            row((k + 1).to_string(), act.name, act.from, act.force);
        }
        let (from, force) = sum(case, subject);
        row(String::new(), "all", from, force);
    }
    csv.finish()
}
