//! A second solver: without friction an equilibrium is a minimum of the potential energy. The energy
//! and its slope are written here anew from geometry (no residual, tangent or strand state of the
//! engine is used), and minimised by argmin's L-BFGS from a displaced start. Bed, strands, seats,
//! anchors, bites and envelope are in it; a rig with screws, tethers or dead loads is refused.

use super::check::{Found, Sheet};
use super::rigging::{at_distance, certified, push_from};
use super::scene::{Scene, endless};
use crate::math::{Mat3, Vec3, inverse_left_jacobian, rotation, rotation_vector};
use crate::mechanics::{Arrival, Asperity, Cell, Pose, Ramp, Rig, Solver, Spring, State, Strand, Vertex};
use argmin::core::{CostFunction, Error, Executor, Gradient};
use argmin::solver::linesearch::MoreThuenteLineSearch;
use argmin::solver::quasinewton::LBFGS;
use std::cell::RefCell;

/// Norm of the gradient at which the search may stop, N: rounding of an energy of some hundred N·mm
/// hides less.
const FLAT: f64 = 1e-7;
/// Norm of the gradient above which its end is no minimum, N.
const STEEP: f64 = 1e-5;

/// Potential energy of a frictionless rig by the places of fragment and sprung points.
struct Potential<'a> {
    rig: &'a Rig,
    /// Rest material of each limb in all, mm.
    rest: Vec<f64>,
    /// Load of the push at the reference point, N.
    push: Vec3,
    /// Pose from which shifts and turns are counted.
    home: Pose,
    /// The flattest point met, with its gradient's norm.
    best: RefCell<(Vec<f64>, f64)>,
}

impl Potential<'_> {
    /// Turns are scaled by the bed's radius of gyration, so that all unknowns are mm.
    fn pose(&self, x: &[f64]) -> Pose {
        let turn = Vec3::new(x[3], x[4], x[5]) / self.rig.bed.gyration;
        Pose { shift: self.home.shift + Vec3::new(x[0], x[1], x[2]), turn: rotation(&turn) * self.home.turn }
    }

    /// The energy, N·mm, and its slope, N. The unknowns: shift, turn, then the give of each sprung
    /// anchor and bite.
    fn energy(&self, x: &[f64]) -> (f64, Vec<f64>) {
        let rig = self.rig;
        let pose = self.pose(x);
        let at = |point: &Vec3| pose.place(&rig.reference, point);
        let centre = rig.reference + pose.shift;
        let mut slope = vec![0.0; x.len()];
        // Slopes by the places of fragment points, gathered as a force and a moment.
        let (mut force, mut moment) = (-self.push, Vec3::zeros());
        let mut energy = -self.push.dot(&pose.shift);
        let normal = rig.bed.normal();
        for cell in &rig.bed.cells {
            let (place, depth, uphill) = pressed(rig, &pose, cell);
            let stiffness = rig.bed.law.normal * cell.area;
            energy += 0.5 * stiffness * depth * depth;
            let by_place = (uphill - normal) * (stiffness * depth);
            force += by_place;
            moment += (place - centre).cross(&by_place);
        }
        let mut next = 6;
        let mut give = || {
            next += 3;
            let k = next - 3;
            (k, Vec3::new(x[k], x[k + 1], x[k + 2]))
        };
        let add = |slope: &mut Vec<f64>, k: usize, v: &Vec3| {
            for axis in 0..3 {
                slope[k + axis] += v[axis];
            }
        };
        // Energy of a spring that is drawn by its own unknowns; its force joins the slope.
        let drawn = |spring: &Spring, give: &Vec3, k: usize, slope: &mut Vec<f64>| {
            let stretch = give.norm();
            let force = spring.force(stretch);
            if stretch > 0.0 {
                add(slope, k, &(give * (force / stretch)));
            }
            spring.energy(force)
        };
        let mut anchors = Vec::with_capacity(rig.anchors.len());
        for anchor in &rig.anchors {
            anchors.push(match anchor.spring {
                Some(spring) => {
                    let (k, give) = give();
                    energy += drawn(&spring, &give, k, &mut slope);
                    (anchor.place + give, Some(k))
                }
                None => (anchor.place, None),
            });
        }
        for (limb, rest) in rig.limbs.iter().zip(&self.rest) {
            // Each place, whether it moves with the fragment, and its own give.
            let mut places = Vec::with_capacity(limb.path.len() + 1);
            for vertex in &limb.path {
                places.push(match vertex {
                    Vertex::Anchor(k) => (anchors[*k].0, false, anchors[*k].1),
                    Vertex::Bone(point) => (at(point), true, None),
                    Vertex::Bite { point, spring } => {
                        let (k, give) = give();
                        energy += drawn(spring, &give, k, &mut slope);
                        (at(point) + give, true, Some(k))
                    }
                });
            }
            if limb.closed {
                places.push(places[0]);
            }
            let length: f64 = places.windows(2).map(|p| (p[1].0 - p[0].0).norm()).sum();
            let stretch = (length - rest).max(0.0);
            energy += 0.5 * limb.rigidity / rest * stretch * stretch;
            for pair in places.windows(2) {
                let line = pair[1].0 - pair[0].0;
                let segment = line.norm();
                let seated = (rig.seat.length - segment).max(0.0);
                energy += 0.5 * rig.seat.stiffness * seated * seated;
                let axial = limb.rigidity / rest * stretch - rig.seat.stiffness * seated;
                for (end, sign) in [(&pair[0], -axial), (&pair[1], axial)] {
                    let by_place = line / segment * sign;
                    if let Some(k) = end.2 {
                        add(&mut slope, k, &by_place);
                    }
                    if end.1 {
                        // A bite's material point turns with the fragment; its give does not.
                        let give = end.2.map_or(Vec3::zeros(), |k| Vec3::new(x[k], x[k + 1], x[k + 2]));
                        force += by_place;
                        moment += (end.0 - give - centre).cross(&by_place);
                    }
                }
            }
        }
        if let Some(envelope) = &rig.envelope {
            let shift = pose.shift - envelope.rest.shift;
            let turn = rotation_vector(&(pose.turn * envelope.rest.turn.inverse()));
            energy +=
                0.5 * (envelope.shift_stiffness * shift.norm_squared() + envelope.turn_stiffness * turn.norm_squared());
            force += shift * envelope.shift_stiffness;
            moment += turn * envelope.turn_stiffness;
        }
        add(&mut slope, 0, &force);
        // A change of the rotation vector φ turns the fragment by J(φ) δφ.
        let phi = Vec3::new(x[3], x[4], x[5]) / rig.bed.gyration;
        let jacobian = inverse_left_jacobian(&phi).try_inverse().unwrap_or(Mat3::identity());
        add(&mut slope, 3, &(jacobian.transpose() * moment / rig.bed.gyration));
        (energy, slope)
    }
}

impl CostFunction for &Potential<'_> {
    type Param = Vec<f64>;
    type Output = f64;
    fn cost(&self, x: &Vec<f64>) -> Result<f64, Error> {
        Ok(self.energy(x).0)
    }
}

/// The ramp of mated asperities at a displacement along the bed (mm), and its gradient, in the functions of the
/// library.
fn ramp(asperity: &Asperity, slid: &Vec3) -> (f64, Vec3) {
    let tan = libm::tan(asperity.angle);
    let long = libm::hypot(slid.norm(), asperity.rounding);
    let left = libm::exp(-tan * (long - asperity.rounding) / asperity.height);
    (asperity.height * (1.0 - left), slid * (tan * left / long))
}

impl Gradient for &Potential<'_> {
    type Param = Vec<f64>;
    type Gradient = Vec<f64>;
    fn gradient(&self, x: &Vec<f64>) -> Result<Vec<f64>, Error> {
        let slope = self.energy(x).1;
        let norm = slope.iter().map(|g| g * g).sum::<f64>().sqrt();
        let mut best = self.best.borrow_mut();
        if norm < best.1 {
            *best = (x.clone(), norm);
        }
        Ok(slope)
    }
}

/// The pose at the minimum under the dead load `push`, with the gradient's norm there, from a start
/// 0.07 mm and a third of a degree off `near`.
///
/// # Errors
/// When the rig has something whose energy is not written here, a strand is not tied, or the search
/// ends on a slope.
fn minimum(rig: &Rig, state: &State, push: Vec3) -> Found<(Pose, f64)> {
    for (what, count) in [("screws", rig.screws.len()), ("tethers", rig.tethers.len()), ("dead loads", rig.loads.len())]
    {
        if count > 0 {
            return Err(format!("the energy of {what} is not written here: its minimum would be a wrong one"));
        }
    }
    let rest = state
        .strands
        .iter()
        .map(|strand| match strand {
            Strand::Tied { rest, .. } => Ok(rest.iter().sum()),
            Strand::Loose | Strand::Pulled => Err("a strand is not tied".to_owned()),
        })
        .collect::<Found<Vec<f64>>>()?;
    let bites = rig.limbs.iter().flat_map(|limb| &limb.path);
    let bites = bites.filter(|v| matches!(v, Vertex::Bite { .. })).count();
    let sprung = rig.anchors.iter().filter(|a| a.spring.is_some()).count();
    let mut start = vec![0.0; 6 + 3 * (sprung + bites)];
    start[..6].copy_from_slice(&[0.05, -0.04, 0.03, 0.03, -0.02, 0.04]);
    let potential =
        Potential { rig, rest, push, home: *state.pose(), best: RefCell::new((start.clone(), f64::INFINITY)) };
    let mut flattest = (start.clone(), f64::INFINITY);
    // A search whose steps drown in rounding ends with an error; it is begun again where it was
    // flattest, a few times.
    for _ in 0..6 {
        let solver = LBFGS::new(MoreThuenteLineSearch::new(), 12)
            .with_tolerance_grad(FLAT)
            .and_then(|solver| solver.with_tolerance_cost(0.0))
            .map_err(|e| e.to_string())?;
        let begun = flattest.0.clone();
        let run = Executor::new(&potential, solver).configure(|c| c.param(begun).max_iters(2000));
        let ended = run.run().is_ok();
        flattest = potential.best.borrow().clone();
        if flattest.1 <= FLAT || (ended && flattest.1 <= 10.0 * FLAT) {
            break;
        }
    }
    if flattest.1 > STEEP {
        return Err(format!("the search ended at a slope of {:e} N", flattest.1));
    }
    Ok((potential.pose(&flattest.0), flattest.1))
}

/// Compression on the bed at a pose (N), summed anew.
fn compression(rig: &Rig, pose: &Pose) -> f64 {
    rig.bed.cells.iter().map(|cell| pressed(rig, pose, cell).1 * rig.bed.law.normal * cell.area).sum()
}

/// Where a cell is at a pose, how deep it is pressed below its asperities' ramp (mm), and the ramp's gradient.
fn pressed(rig: &Rig, pose: &Pose, cell: &Cell) -> (Vec3, f64, Vec3) {
    let normal = rig.bed.normal();
    let point = rig.bed.origin + rig.bed.axes * Vec3::new(cell.t, cell.m, 0.0);
    let place = pose.place(&rig.reference, &point);
    let off = place - point;
    let (rise, uphill) = ramp(&rig.bed.law.asperities, &(off - normal * off.dot(&normal)));
    (place, (rise - off.dot(&normal)).max(0.0), uphill)
}

/// Engine and minimum, tied and under the load of a push to 0.5 mm.
pub fn minimum_of_energy(s: &mut Sheet) -> Found<()> {
    s.law(
        "second solver: minimum of the frictionless energy by L-BFGS",
        "principle of minimum potential energy; argmin (L-BFGS, Moré–Thuente search)",
    );
    for name in ["single-row", "one-by-one", "two-by-two-crossed"] {
        let Scene { rig, tied } = endless(name, false)?;
        let mut solver = Solver::new(&rig);
        let mut state = tied.state.clone();
        let mut from = push_from(&rig, &state, &tied.controls, [0.0, -1.0, 0.0], false);
        for (what, distance) in [("tied", 0.0), ("pushed 0.5 mm", 0.5)] {
            let to = at_distance(&from, distance);
            let ramp = Ramp { first: 0.1, largest: 0.1, continued: false, ..Ramp::EVEN };
            match solver.ramp(&mut state, &from, &to, ramp, None) {
                Arrival::Arrived(_) => {}
                other => return Err(format!("{name} {what}: {other:?}")),
            }
            from = to;
            certified(&mut solver, &state, &from)?;
            let push = Vec3::new(0.0, -1.0, 0.0) * state.configuration.load;
            let (pose, _) = minimum(&rig, &state, push)?;
            let off = state.pose().twist_from(&pose);
            s.within(STEEP / 20.0, "the slope left in the search, at most 1e-5 N, over the softest spring, 20 N/mm");
            let shift = off.fixed_rows::<3>(0).norm();
            let turn = off.fixed_rows::<3>(3).norm() * rig.bed.gyration;
            s.equal(format!("{name} {what}: shift between both"), "mm", shift, 0.0);
            s.equal(format!("{name} {what}: turn between both, times r_g"), "mm", turn, 0.0);
            s.within(STEEP / 20.0 * rig.bed.law.normal * rig.bed.area, "the same shift over the whole bed");
            let own = solver.bed_forces(&state).0.norm();
            s.equal(format!("{name} {what}: compression"), "N", own, compression(&rig, &pose));
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::mechanics::{DeadLoad, Tether};
    use crate::verify::closed_form::screw::down;

    #[test]
    fn a_rig_whose_energy_is_not_all_written_here_is_refused() {
        let Scene { rig, tied } = endless("single-row", false).unwrap();
        assert!(minimum(&rig, &tied.state, Vec3::zeros()).is_ok());
        let refused = |change: fn(&mut Rig)| {
            let mut rig = rig.clone();
            change(&mut rig);
            minimum(&rig, &tied.state, Vec3::zeros()).unwrap_err()
        };
        let screws = refused(|rig| rig.screws.push(down(0.0, 0.0)));
        assert!(screws.contains("screws"), "{screws}");
        let tethers = refused(|rig| {
            rig.tethers.push(Tether { fragment: Vec3::zeros(), scapula: Vec3::x(), stiffness: 1.0, slack: 0.0 });
        });
        assert!(tethers.contains("tethers"), "{tethers}");
        let loads = refused(|rig| {
            rig.loads.push(DeadLoad { point: Vec3::zeros(), force: Vec3::x(), during_tying: true });
        });
        assert!(loads.contains("dead loads"), "{loads}");
    }
}
