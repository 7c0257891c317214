//! Limit analysis of the bed: the largest load that any unilateral, frictional bed could balance.
//!
//! At a computed state the limbs', tissue's and dead loads' wrench is taken as it stands. The cells
//! that are supported there (weight above zero) may bear any pressure P ≥ 0, which on the flanks of asperities
//! presses along n − ∇h, and any friction |Q| ≤ μP, at their present feet; the load along the push is maximised. This is a second-order
//! cone program. It lets cells slip in any direction whatever their history (its flow rule is
//! associated, Coulomb's is not), so by the theorems of limit analysis (Drucker 1954, Coulomb
//! friction, plasticity, and limit loads; recalled) it is an upper bound only; where the normal
//! force cannot change, as in a guided push along the bed, it is met.

use super::check::{Found, Sheet};
use super::cone::Program;
use super::refinement::Subject;
use super::rigging::{LAW, SEAT, at_distance, bed, certified, loaded, push, push_from};
use crate::math::{Vec3, Vec6, lower, stack, upper};
use crate::mechanics::{Arrival, CellLoad, Controls, Pose, Ramp, Rig, Solver, State};
use clarabel::solver::SolverStatus;

/// What a computed load may pass the bound by, and what a bound may lie above the least one, N.
const ROUND: f64 = 1e-5;
const WHY_ROUND: &str = "a bound is proven to rounding; the least is found to 1e-8 of some 100 N, ten times that";

/// A load (N) along `direction` at the reference point that the supported cells cannot pass whatever they
/// bear, together with `other` (the wrench of all else about the moved reference point); with `guided`,
/// moments are borne by the guide. Infinite where any load is borne.
///
/// What is returned is proven by a motion of the fragment, not by the solver's word for its answer. Let y
/// be a motion that moves the loaded point by 1 along the load and every supported cell at least as steeply
/// off the flank of its asperities as its friction cone is open, `v_n − v_t·∇h ≥ μ |v_t|`. Then no admissible pressure and friction
/// does work against y, and the load is at most what `other` does the other way, `−y · other`. The cone
/// program's multipliers are such a motion up to a residual; that is taken out by as much lift as the
/// worst cell lacks. So any answer of the solver gives a bound, and a good one a sharp bound.
///
/// # Errors
/// The cone solver's status when it gives no bound.
pub fn largest_load(
    rig: &Rig,
    state: &State,
    other: &Vec6,
    direction: &Vec3,
    guided: bool,
) -> Result<f64, SolverStatus> {
    let centre = rig.reference + state.pose().shift;
    let axes = rig.bed.axes;
    let scale = rig.bed.gyration;
    let rows = if guided { 3 } else { 6 };
    let mut program = Program::new();
    let load = program.variable(0.0, -1.0);
    let mut balance: Vec<Vec<(usize, f64)>> = vec![Vec::new(); rows];
    for (axis, row) in balance.iter_mut().take(3).enumerate() {
        row.push((load, direction[axis]));
    }
    for (foot, press) in supported(rig, state) {
        let place = rig.bed.origin + axes * foot;
        let [normal, along, down] = [press, Vec3::x(), Vec3::y()].map(|force| {
            let variable = program.variable(0.0, 0.0);
            let force: Vec3 = axes * force;
            let both = stack(&force, &((place - centre).cross(&force) / scale));
            for (row, value) in balance.iter_mut().zip(both.iter()) {
                row.push((variable, *value));
            }
            variable
        });
        let friction = rig.bed.law.friction;
        program.norm_at_most_first(&[
            (vec![(normal, friction)], 0.0),
            (vec![(along, 1.0)], 0.0),
            (vec![(down, 1.0)], 0.0),
        ]);
    }
    let known = stack(&upper(other), &(lower(other) / scale));
    // In units of what is to be balanced, so that the solver's tolerances mean the same in every state.
    let size = known.rows(0, rows).norm().max(f64::MIN_POSITIVE);
    for (row, value) in balance.into_iter().zip(known.iter()) {
        program.equal(row, -value / size);
    }
    let attempt = program.attempt(1e-8);
    if attempt.status == SolverStatus::DualInfeasible {
        // No such motion: the load may grow without end.
        return Ok(f64::INFINITY);
    }
    // The balances are the last rows.
    let first = attempt.multipliers.len().saturating_sub(rows);
    let mut motion = Vec6::zeros();
    for (own, multiplier) in motion.iter_mut().zip(&attempt.multipliers[first..]) {
        *own = *multiplier;
    }
    // The bed's normal points into the fragment: lift is along it.
    let lacks = supported(rig, state).fold(0.0f64, |most, (foot, press)| {
        let place = rig.bed.origin + axes * foot;
        let moved = axes.transpose() * (upper(&motion) + lower(&motion).cross(&(place - centre)) / scale);
        most.max(rig.bed.law.friction * libm::hypot(moved.x, moved.y) - moved.dot(&press))
    });
    motion += stack(&(rig.bed.normal() * lacks), &Vec3::zeros());
    let bound = -motion.dot(&known) / upper(&motion).dot(direction);
    if bound.is_finite() && upper(&motion).dot(direction) > 0.0 { Ok(bound) } else { Err(attempt.status) }
}

/// The cells that are supported: their feet, and what a unit of pressure presses with on the flanks of the
/// asperities there, in bed axes.
fn supported<'a>(rig: &'a Rig, state: &'a State) -> impl Iterator<Item = (Vec3, Vec3)> + 'a {
    let loads = rig.bed.loads(state.pose(), &rig.reference, &state.bed);
    let press = |cell: &CellLoad| Vec3::new(-cell.slope[0], -cell.slope[1], 1.0);
    loads.filter(|cell| cell.weight > 0.0).map(move |cell| (cell.foot, press(&cell)))
}

/// Computed load and bound (N) at a state of a push, with its distance (mm).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Compared {
    /// Distance of the push, mm.
    pub distance: f64,
    /// Computed load, N.
    pub computed: f64,
    /// The bound, N; infinite where any load is borne.
    pub bound: f64,
}

/// Pushes a tied construct inferiorly by 2 mm and compares at every so many tenths of a mm.
///
/// # Errors
/// When the construct does not hold the fragment, or a state or a bound is not to be had.
pub fn along_a_push(subject: &Subject<'_>, guided: bool, tenths: usize) -> Found<Vec<Compared>> {
    let (rig, tied) = subject.tied()?;
    let mut solver = Solver::new(&rig);
    let mut state = tied.state;
    let direction = [0.0, -1.0, 0.0];
    let mut from = push_from(&rig, &state, &tied.controls, direction, guided);
    let half = Ramp { first: 0.5, largest: 0.5, continued: false, ..Ramp::EVEN };
    let mut list = Vec::new();
    for step in (0..=20).step_by(tenths) {
        let distance = 0.1 * step as f64;
        let to = at_distance(&from, distance);
        match solver.ramp(&mut state, &from, &to, half, None) {
            Arrival::Arrived(_) => {}
            // A finding: the fragment rolls out of its bed, and there is no state to compare.
            Arrival::Lost(_) | Arrival::Free(_) => break,
            Arrival::Stuck { net_force, net_moment } => {
                return Err(format!(
                    "no balance at {distance} mm: {net_force:.1e} N and {net_moment:.1e} N mm are left"
                ));
            }
        }
        from = to;
        certified(&mut solver, &state, &from)?;
        let other = solver.wrench_but_bed(&state, &from);
        let bound = largest_load(&rig, &state, &other, &direction.into(), guided)
            .map_err(|status| format!("the cone program ended {status:?} at {distance} mm"))?;
        list.push(Compared { distance, computed: state.configuration.load, bound });
    }
    Ok(list)
}

/// The bound beside the computed load along the default push, and at its peak.
pub fn bound(subject: &Subject<'_>, s: &mut Sheet) -> Found<()> {
    s.law(
        "largest load that any unilateral, frictional bed could bear, by a cone program",
        "limit theorems for Coulomb friction (Drucker 1954, recalled), solved by clarabel",
    );
    let name = subject.name();
    s.within(ROUND, WHY_ROUND);
    let list = along_a_push(subject, false, 4)?;
    let peak = list.iter().max_by(|a, b| a.computed.total_cmp(&b.computed)).ok_or("no state to compare")?;
    if peak.bound.is_finite() {
        let what = format!("{name}: largest load of the push as tied, at {:.1} mm", peak.distance);
        s.at_most(what, "N", peak.computed, peak.bound);
    }
    let below = list.iter().filter(|c| c.computed <= c.bound + ROUND).count();
    s.count(format!("{name}: states of the push at or below the bound"), below, list.len());
    Ok(())
}

/// A block pressed by 100 N on 20 × 10 mm and pushed along t: computed load and bound.
fn block(distance: f64, guided: bool) -> Found<(f64, f64)> {
    let rig = loaded(bed(LAW, (16, 8)), Vec3::zeros(), Vec3::new(0.0, 0.0, -100.0));
    let mut state = rig.laid(Pose { shift: Vec3::new(0.0, 0.0, -0.05), ..Pose::default() });
    let mut solver = Solver::new(&rig);
    let idle = Controls::idle(0);
    let mut controls = push_from(&rig, &state, &idle, [1.0, 0.0, 0.0], guided);
    let computed = push(&mut solver, &mut state, &mut controls, distance, 4)?;
    let other = solver.wrench_but_bed(&state, &controls);
    let bound = largest_load(&rig, &state, &other, &Vec3::x(), guided).map_err(|status| format!("{status:?}"))?;
    Ok((computed, bound))
}

/// Where the bound is known: a sliding block meets it, a sticking one does not, and a push that
/// presses steeply into the bed has none.
pub fn known_bounds(s: &mut Sheet) -> Found<()> {
    s.law(
        "the cone program itself, where its answer is known",
        "Coulomb: μN along the bed; T/√2 = μ(N + T/√2) at 45° onto it; no limit inside the cone",
    );
    s.within(ROUND, WHY_ROUND);
    let (mut slides, mut sticks, mut bounds) = (Vec::new(), Vec::new(), Vec::new());
    for guided in [true, false] {
        let (computed, bound) = block(0.5, guided)?;
        slides.push((computed, bound));
        bounds.push((bound, 50.0));
        let (computed, bound) = block(0.05, guided)?;
        sticks.push((computed, 30.0));
        bounds.push((bound, 50.0));
    }
    s.worst("bound of the block", "N", &bounds);
    s.worst("sliding block meets it", "N", &slides);
    s.worst("sticking block stays below it", "N", &sticks);
    let rig = Rig::new(Vec3::zeros(), bed(LAW, (8, 4)), SEAT);
    let state = rig.laid(Pose::default());
    let press = stack(&Vec3::new(0.0, 0.0, -100.0), &Vec3::zeros());
    let flat = Vec3::new(1.0, 0.0, -1.0).normalize();
    let found = largest_load(&rig, &state, &press, &flat, false);
    let found = found.map_err(|status| format!("{status:?}"))?;
    let expected = 50.0 * 2.0f64.sqrt() / (1.0 - 0.5);
    s.equal("pushed at 45° onto the bed", "N", found, expected);
    let steep = Vec3::new(0.3, 0.0, -1.0).normalize();
    let found = largest_load(&rig, &state, &press, &steep, false);
    let endless = found == Ok(f64::INFINITY);
    s.count("pushed inside the friction cone there is no limit", usize::from(endless), 1);
    Ok(())
}
