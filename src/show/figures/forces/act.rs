//! What acts on the fragment: limbs, and the heads of screws.

use super::super::subject::{Subject, in_bed};
use crate::math::Vec3;
use crate::model::Case;
use crate::show::chart::*;
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

/// Every arrow of a construct, its start and its force: each of what acts, then their sum.
pub(super) fn arrows(case: &Case, subject: &Subject<'_>) -> Vec<(Vec3, Vec3)> {
    let each = acts(case, subject).into_iter().map(|a| (a.from, a.force));
    each.chain([sum(case, subject)]).collect()
}

/// Where a limb's force is drawn from: the middle of its turns on the fragment.
fn start(limb: &LimbState) -> Option<Vec3> {
    let on = limb.path.iter().zip(&limb.kinds).filter(|(_, kind)| **kind != PointKind::Anchor);
    let on: Vec<Vec3> = on.map(|(p, _)| Vec3::from(*p)).collect();
    (!on.is_empty()).then(|| on.iter().sum::<Vec3>() / on.len() as f64)
}

/// What the head of a screw presses with, along the screw from head to tip, N.
fn press(screw: &ScrewState) -> Vec3 {
    let [head, _, tip] = screw.places.map(Vec3::from);
    (tip - head).normalize() * screw.axial
}

/// A line of the list under a panel: number and name, and the parts of the force on the bed and along it, N.
pub(super) type Line = (String, [f64; 2]);

/// Each limb and screw with its number, then their sum.
pub(super) fn list(case: &Case, subject: &Subject<'_>) -> Vec<Line> {
    let parts = |force: Vec3| {
        let [t, m, n] = in_bed(case, force.into());
        [-n, distance([0.0; 2], [t, m])]
    };
    let each = acts(case, subject);
    let each = each.iter().enumerate().map(|(k, act)| (format!("{} {}", k + 1, act.name), parts(act.force)));
    each.chain([(format!("all {}", subject.what_pulls()), parts(sum(case, subject).1))]).collect()
}

const HEADS: [&str; 2] = ["on the bed (N)", "along it (N)"];

/// Right edges of the two columns of numbers of a list of a width, and the width for names, mm.
pub(super) fn columns(set: Type, width: f64) -> ([f64; 2], f64) {
    let [first, second] = HEADS.map(|h| set.width(h));
    let right = width - 1.5 - (width - 40.0 - first - second).max(0.0) * 0.25;
    ([right - second - 3.0, right], right - second - first - 5.0)
}

/// Lines that a list takes, its head not counted.
pub(super) fn lines(list: &[Line], set: Type, width: f64) -> usize {
    list.iter().map(|(name, _)| wrap(name, set, columns(set, width).1).len()).sum()
}

/// Writes a list, its upper left corner at `at`.
pub(super) fn write(canvas: &mut Canvas, theme: &Theme, list: &[Line], width: f64, [x, y]: Point) {
    let set = theme.fine();
    let (edges, room) = columns(set, width);
    let mut y = y + set.leading();
    for (head, edge) in HEADS.iter().zip(edges) {
        canvas.text(head, [x + edge, y], theme.note().right());
    }
    for (name, parts) in list {
        y += set.leading();
        for (value, edge) in parts.iter().zip(edges) {
            canvas.text(&number(*value, 0), [x + edge, y], set.right());
        }
        y = canvas.lines(&wrap(name, set, room), [x + 1.0, y], set) - set.leading();
    }
}

/// The forces as a table.
pub(super) fn csv(case: &Case, subjects: &[Subject<'_>]) -> String {
    let mut csv = Csv::new("construct,number,name,x_mm,y_mm,z_mm,anterior_N,superior_N,lateral_N,superior_along_chord_N,medial_down_plane_N,on_bed_N".split(','));
    for subject in subjects {
        let mut row = |number: Option<usize>, name: &str, from: Vec3, force: Vec3| {
            let [t, m, n] = in_bed(case, force.into());
            let values = from.iter().chain(force.iter()).copied().chain([t, m, -n]);
            csv.row(row![&subject.construct.name, number, name].into_iter().chain(values.map(Cell::from)));
        };
        acts(case, subject).iter().enumerate().for_each(|(k, a)| row(Some(k + 1), a.name, a.from, a.force));
        let (from, force) = sum(case, subject);
        row(None, "all", from, force);
    }
    csv.finish()
}
