//! How the fragment lies, and what bed, limbs and anchors bear: from a solved state to plain data.

use super::result::{AnchorState, BedState, CellState, Extreme, LimbState, Measures, ScrewState, TiedState, Way};
use super::setup::{in_bed_axes, point_kinds};
use super::stiffness::{along_bed, scaled};
use crate::anatomy::Fragment;
use crate::math::{Mat6, Vec3, rotation_vector, upper};
use crate::mechanics::{BedTotals, Cell, CellLoad, Controls, LimbReport, Pose, Rig, Solver, State};
use crate::model::{Case, Construct, Stop};

/// Points of the fracture line that the articular measures look at.
const LINE_POINTS: usize = 41;
/// Those at −0.9, 0 and 0.9 of the half chord.
const STATIONS: [usize; 3] = [2, 20, 38];

/// The articular fracture line of the fragment, from its inferior to its superior end: material
/// points, mm.
fn fracture_line(fragment: &Fragment) -> impl Iterator<Item = Vec3> + '_ {
    (0..LINE_POINTS).map(|k| {
        let t = fragment.half_chord * (2.0 * k as f64 / (LINE_POINTS - 1) as f64 - 1.0);
        fragment.edge_point(t)
    })
}

/// How the fragment lies against the intact edge at a pose.
pub fn measures(fragment: &Fragment, pose: &Pose) -> Measures {
    let origin = fragment.bed_origin();
    let mut step = Extreme::default();
    let mut gap = Extreme::default();
    let mut inferior = [0.0; LINE_POINTS];
    let mut steps = [0.0; LINE_POINTS];
    for (k, material) in fracture_line(fragment).enumerate() {
        let place = pose.place(&fragment.centroid, &material);
        let at = (place - origin).dot(&fragment.along);
        let off = place - fragment.edge_point(at);
        let along = (material - origin).dot(&fragment.along);
        inferior[k] = along - at;
        steps[k] = off.z;
        for (extreme, value) in [(&mut step, off.z), (&mut gap, off.dot(&fragment.normal))] {
            if value.abs() > extreme.value.abs() {
                *extreme = Extreme { value, at: along };
            }
        }
    }
    let middle = pose.place(&fragment.centroid, &origin) - origin;
    let turn = rotation_vector(&pose.turn);
    Measures {
        step,
        stations: STATIONS.map(|k| steps[k]),
        gap,
        inferior_middle: inferior[LINE_POINTS / 2],
        inferior_superior_end: inferior[LINE_POINTS - 1],
        inferior_inferior_end: inferior[0],
        down_plane: middle.dot(&fragment.down),
        tilt: -turn.dot(&fragment.along).to_degrees(),
        spin: turn.dot(&fragment.normal).to_degrees(),
        yaw: turn.dot(&fragment.down).to_degrees(),
        shift: pose.shift.into(),
        bed_shift: [-fragment.along, fragment.down, fragment.normal].map(|axis| pose.shift.dot(&axis)),
        turn: turn.map(f64::to_degrees).into(),
    }
}

/// How the inferior end of the fracture line lies: its gap along n (positive open) and its distance
/// from its reduced place, mm.
pub(crate) fn lower_end(fragment: &Fragment, pose: &Pose) -> [f64; 2] {
    let material = fragment.edge_point(-fragment.half_chord);
    let off = pose.place(&fragment.centroid, &material) - material;
    [off.dot(&fragment.normal), off.norm()]
}

/// What the bed bears, without its single cells.
pub fn bed(rig: &Rig, totals: &BedTotals) -> BedState {
    let law = rig.bed.law;
    let BedTotals { compression, touching, .. } = *totals;
    let friction = libm::hypot(totals.friction[0], totals.friction[1]);
    let pressed = compression > 0.0;
    BedState {
        compression,
        friction,
        reserve: (pressed && law.friction > 0.0).then(|| 1.0 - friction / (law.friction * compression)),
        peak_pressure: totals.peak_pressure,
        mean_pressure: if pressed { compression / touching } else { 0.0 },
        contact: totals.contact(&rig.bed),
        sliding: if pressed { totals.sliding / touching } else { 0.0 },
        crushed: totals.crushed / rig.bed.area,
        centre: pressed.then(|| totals.first_moment.map(|m| m / compression)),
        cells: Vec::new(),
    }
}

/// What its single cells bear.
fn cells(rig: &Rig, state: &State) -> Vec<CellState> {
    let loads = rig.bed.loads(state.pose(), &rig.reference, &state.bed);
    let of = |(load, cell): (CellLoad, &Cell)| CellState {
        t: cell.t,
        m: cell.m,
        area: cell.area,
        pressure: load.pressure * load.weight,
        shear: load.shear.map(|shear| shear * load.weight),
    };
    loads.zip(&rig.bed.cells).map(of).collect()
}

/// The limbs in a state, in the construct's order, from their reports.
fn limbs(case: &Case, construct: &Construct, reports: &[LimbReport]) -> Vec<LimbState> {
    construct
        .limbs
        .iter()
        .zip(reports)
        .enumerate()
        .map(|(k, (spec, report))| {
            let force = upper(&report.wrench);
            let [along, down, normal] = in_bed_axes(case, &force);
            LimbState {
                name: spec.name.clone(),
                group: spec.group.clone(),
                seated: report.lengths.iter().any(|length| *length < case.seat.length),
                tensions: report.tensions.clone(),
                path: report.places.iter().map(|p| (*p).into()).collect(),
                kinds: point_kinds(spec),
                force: force.into(),
                compression: -normal,
                shear: libm::hypot(along, down),
                shear_along: [along, down],
                cartilage: cartilage(case, construct, k, &report.places),
            }
        })
        .collect()
}

/// Length (mm) of a limb over intact cartilage: of the stretches that end on an anchor in the face,
/// the part on the socket's side of the fracture plane.
pub(super) fn cartilage(case: &Case, construct: &Construct, k: usize, places: &[Vec3]) -> f64 {
    let spec = &construct.limbs[k];
    let in_face =
        |v: usize| matches!(spec.path[v], Stop::Anchor { index, .. } if construct.anchors[index].place.is_on_face());
    let n = places.len();
    let segments = if spec.closed { n } else { n - 1 };
    let depth = |p: &Vec3| (p - case.fragment.bed_origin()).dot(&case.fragment.normal);
    (0..segments)
        .map(|i| (i, (i + 1) % n))
        .filter(|&(a, b)| in_face(a) || in_face(b))
        .map(|(a, b)| {
            let length = (places[b] - places[a]).norm();
            let (low, high) = {
                let (x, y) = (depth(&places[a]), depth(&places[b]));
                (x.min(y), x.max(y))
            };
            if low >= 0.0 {
                0.0
            } else if high <= 0.0 {
                length
            } else {
                length * -low / (high - low)
            }
        })
        .sum()
}

/// The anchors in a state, in the construct's order, from the reports of all limbs.
fn anchors(construct: &Construct, solver: &Solver<'_>, state: &State, reports: &[LimbReport]) -> Vec<AnchorState> {
    construct
        .anchors
        .iter()
        .zip(solver.anchor_pulls(reports))
        .enumerate()
        .map(|(k, (spec, pull))| AnchorState {
            name: spec.name.clone(),
            place: spec.point.into(),
            force: pull.norm(),
            give: (solver.rig().anchor_place(k, state) - spec.point).norm(),
            holding: spec.holding,
        })
        .collect()
}

/// The screws in a state, in the construct's order, and the pull of all heads, N.
fn screws(
    case: &Case,
    construct: &Construct,
    solver: &Solver<'_>,
    state: &State,
    controls: &Controls,
) -> (Vec<ScrewState>, Vec3) {
    let mut pull = Vec3::zeros();
    let list = construct.screws.iter().enumerate().map(|(k, spec)| {
        let report = solver.screw_report(state, controls, k);
        pull += report.press;
        let force = upper(&report.wrench);
        let [along, down, normal] = in_bed_axes(case, &force);
        ScrewState {
            name: spec.name.clone(),
            group: spec.group.clone(),
            axial: report.axial,
            bearing: report.bearing.norm(),
            force: force.into(),
            compression: -normal,
            shear: libm::hypot(along, down),
            shear_along: [along, down],
            pressure: report.pressure,
            places: report.places.map(Into::into),
        }
    });
    (list.collect(), pull)
}

/// The three softest motions of a state, softest first: eigenvectors of the symmetric part of the
/// condensed stiffness, turns scaled by the bed's radius of gyration.
fn weakest(stiffness: Mat6, gyration: f64) -> Vec<Way> {
    let eigen = scaled(&stiffness, gyration).symmetric_eigen();
    let mut order: Vec<usize> = (0..6).collect();
    order.sort_by(|a, b| eigen.eigenvalues[*a].total_cmp(&eigen.eigenvalues[*b]));
    order
        .into_iter()
        .take(3)
        .map(|i| {
            let column = eigen.eigenvectors.column(i);
            // A motion has no sign; the largest component is written positive.
            let largest = column.iter().fold(0.0f64, |m, v| if v.abs() > m.abs() { *v } else { m });
            let sign = largest.signum();
            Way {
                stiffness: eigen.eigenvalues[i],
                shift: [0, 1, 2].map(|j| sign * column[j]),
                turn: [3, 4, 5].map(|j| sign * column[j]),
            }
        })
        .collect()
}

/// Everything about a tied state.
pub fn tied_state(
    case: &Case,
    construct: &Construct,
    solver: &mut Solver<'_>,
    state: &State,
    controls: &Controls,
) -> TiedState {
    let reports: Vec<LimbReport> = (0..construct.limbs.len()).map(|k| solver.limb_report(state, controls, k)).collect();
    let limbs = limbs(case, construct, &reports);
    let totals = solver.bed_totals(state);
    let bed = BedState { cells: cells(solver.rig(), state), ..bed(solver.rig(), &totals) };
    let stiffness = solver.condensed_stiffness(state, controls);
    let (screws, heads) = screws(case, construct, solver, state, controls);
    let resultant = limbs.iter().map(|l| Vec3::from(l.force)).sum::<Vec3>() + heads;
    let normal = case.fragment.normal;
    let resultant_angle = (resultant.norm() > 1e-9).then(|| {
        let along = -resultant.dot(&normal);
        let across = (resultant + normal * along).norm();
        libm::atan2(across, along).to_degrees()
    });
    let gyration = solver.rig().bed.gyration;
    TiedState {
        cartilage: limbs.iter().map(|limb| limb.cartilage).sum(),
        limbs,
        screws,
        anchors: anchors(construct, solver, state, &reports),
        bed,
        resultant_angle,
        friction_angle: libm::atan(case.bed.friction).to_degrees(),
        resultant: resultant.into(),
        measures: measures(&case.fragment, state.pose()),
        weakest: stiffness.map_or_else(Vec::new, |k| weakest(k, gyration)),
        stiffness: stiffness.and_then(|k| along_bed(&k, &case.fragment, gyration)),
        certificate: solver.certify_with(state, controls, &totals),
    }
}
