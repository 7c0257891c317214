//! Springs: bars of a pin-jointed frame, strand and anchor in series, loops, and the seat.

use crate::math::{Mat3, Vec3, upper};
use crate::mechanics::{Controls, Motion, Pose, Rig, Solver, Spring, State, Strand, Vertex};
use crate::verify::check::{Found, Sheet};
use crate::verify::rigging::{
    GENTLE, SEAT, aloft, arrived, bone, certified, hold, laid, limb, material, push, push_from, rigid, sprung, tie_at,
};

const EA: f64 = 2000.0;
/// The solver's balance (1e-10 N + 1e-11 of the largest force), over a push of a tenth of a mm.
const BALANCE: f64 = 2e-8;
const WHY_BALANCE: &str = "the solver's balance over a tenth of a millimetre";

/// Limbs from rigid anchors at `places` to the fragment's reference point, all tied with `tension`.
fn star(places: &[[f64; 3]], tension: f64) -> (Rig, State) {
    let mut rig = aloft();
    for place in places {
        let path = vec![rigid(&mut rig, *place), bone([0.0; 3])];
        rig.add_limb(limb(path, 0.0, EA));
    }
    let mut state = rig.laid(Pose::default());
    let mut solver = Solver::new(&rig);
    for k in 0..places.len() {
        tie_at(&mut solver, &mut state, k, tension);
    }
    (rig, state)
}

fn stiffness(places: &[[f64; 3]], tension: f64) -> Mat3 {
    places
        .iter()
        .map(|place| {
            let line = Vec3::from(*place);
            let (length, u) = (line.norm(), line.normalize());
            let rest = length / (1.0 + tension / EA);
            u * u.transpose() * (EA / rest) + (Mat3::identity() - u * u.transpose()) * (tension / length)
        })
        .sum()
}

/// Stiffness of straight limbs without a bed.
pub fn bars(s: &mut Sheet) -> Found<()> {
    s.law(
        "stiffness of straight limbs without a bed",
        "pin-jointed bars, matrix structural analysis: Σ (EA/L) cos²α + (T/ℓ) sin²α",
    );
    // Equal tensions along the diagonals of a box balance; lengths and angles differ by axis.
    let places: Vec<[f64; 3]> = [-1.0, 1.0]
        .iter()
        .flat_map(|x| [-1.0, 1.0].map(|y| (x, y)))
        .flat_map(|(x, y)| [-1.0, 1.0].map(|z| [x * 6.0, y * 9.0, z * 4.0]))
        .collect();
    let (mut entries, mut pushes) = (Vec::new(), Vec::new());
    for tension in [2.0, 25.0, 100.0] {
        let (rig, state) = star(&places, tension);
        let expected = stiffness(&places, tension);
        let mut solver = Solver::new(&rig);
        let idle = Controls::idle(8);
        certified(&mut solver, &state, &idle)?;
        let found = solver.condensed_stiffness(&state, &idle).ok_or("no condensed stiffness")?;
        let found = found.fixed_view::<3, 3>(0, 0).into_owned();
        entries.extend(found.iter().copied().zip(expected.iter().copied()));
        // And by pushing both ways. Guided along d, the fragment drifts sideways freely:
        // 1/(dᵀK⁻¹d).
        let inverse = expected.try_inverse().ok_or("a singular frame")?;
        for direction in [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0], [0.3, -0.5, 0.8]] {
            let load = |distance: f64| {
                let mut state = state.clone();
                let mut solver = Solver::new(&rig);
                let mut controls = push_from(&rig, &state, &idle, direction, true);
                push(&mut solver, &mut state, &mut controls, distance, 1)
            };
            let d = Vec3::from(direction).normalize();
            let along = 1.0 / d.dot(&(inverse * d));
            pushes.push(((load(1e-4)? - load(-1e-4)?) / 2e-4, along));
        }
    }
    s.within(1e-10, "sums of eight products: rounding of numbers near 1000");
    s.worst("eight limbs: stiffness from the tangent", "N/mm", &entries);
    s.within(2e-5, "a central difference over 1e-4 mm: balance over it, and (δ/ℓ)²");
    s.worst("eight limbs: stiffness from small pushes", "N/mm", &pushes);
    let mut pairs = Vec::new();
    for degrees in [0.0f64, 30.0, 60.0, 90.0] {
        let (sin, cos) = libm::sincos(degrees.to_radians());
        let place = [12.0 * cos, 12.0 * sin, 0.0];
        let (rig, state) = star(&[place, place.map(|v| -v)], 25.0);
        let mut solver = Solver::new(&rig);
        let found = solver.condensed_stiffness(&state, &Controls::idle(2)).ok_or("no condensed stiffness")?;
        let rest = 12.0 / (1.0 + 25.0 / EA);
        let expected = 2.0 * (EA / rest * cos * cos + 25.0 / 12.0 * sin * sin);
        pairs.push((found[(0, 0)], expected));
    }
    s.within(1e-11, "rounding of numbers near 300");
    s.worst("a pair at 0°, 30°, 60° and 90°", "N/mm", &pairs);
    Ok(())
}

/// Secant stiffness of one straight limb along x, pushed 0.1 mm; and its unstretched length.
fn pushed(rig: &Rig) -> Found<(f64, f64)> {
    let mut solver = Solver::new(rig);
    let mut state = rig.laid(Pose::default());
    tie_at(&mut solver, &mut state, 0, 25.0);
    let rest: f64 = material(&state, 0).iter().sum();
    let mut controls = push_from(rig, &state, &Controls::idle(1), [1.0, 0.0, 0.0], true);
    let start = push(&mut solver, &mut state, &mut controls, 0.0, 1)?;
    let end = push(&mut solver, &mut state, &mut controls, 0.1, 1)?;
    Ok(((end - start) / 0.1, rest))
}

fn point_or_bite(bite: Option<f64>) -> Vertex {
    bite.map_or(bone([0.0; 3]), |stiffness| Vertex::Bite { point: Vec3::zeros(), spring: Spring::linear(stiffness) })
}

/// Strand, anchor and bite give in turn.
pub fn series(s: &mut Sheet) -> Found<()> {
    s.law("strand, anchor and bite in series", "springs in series: 1/k = S/EA + 1/k_a + 1/k_b");
    s.within(BALANCE, WHY_BALANCE);
    for (what, anchor, bite) in [
        ("strand alone, rigid anchor", None, None),
        ("with an anchor of 30 N/mm", Some(30.0), None),
        ("with a bite of 15 N/mm", None, Some(15.0)),
        ("with an anchor of 75 and a bite of 15 N/mm", Some(75.0), Some(15.0)),
    ] {
        let mut rig = aloft();
        let start = sprung(&mut rig, [-10.0, 0.0, 0.0], anchor);
        rig.add_limb(limb(vec![start, point_or_bite(bite)], 0.0, EA));
        let (found, rest) = pushed(&rig)?;
        // On a straight line all three laws are linear, so the secant is the stiffness.
        let compliance = rest / EA + anchor.map_or(0.0, f64::recip) + bite.map_or(0.0, f64::recip);
        s.equal(what, "N/mm", found, 1.0 / compliance);
    }
    // Tying a second limb unloads the first: on a shared anchor x = (T₁ + T₂)/k.
    let mut rig = aloft();
    let home = sprung(&mut rig, [-10.0, 0.0, 0.0], Some(30.0));
    for _ in 0..2 {
        rig.add_limb(limb(vec![home, bone([0.0; 3])], 0.0, EA));
    }
    let (mut solver, mut state) = laid(&rig);
    let held = Controls { motion: Motion::Held, ..Controls::idle(2) };
    tie_at(&mut solver, &mut state, 0, 25.0);
    let rest: f64 = material(&state, 0).iter().sum();
    hold(&mut solver, &mut state, &held)?;
    let before = solver.limb_report(&state, &held, 0).tensions[0];
    let both = rest / EA + 1.0 / 30.0;
    s.equal("first limb on a shared anchor", "N", before, (10.0 - rest) / both);
    let mut pulled = held.clone();
    pulled.pull[1] = 2.0;
    state.strands[1] = Strand::Pulled;
    arrived(solver.ramp(&mut state, &held, &pulled, GENTLE, None))?;
    certified(&mut solver, &state, &pulled)?;
    let after = solver.limb_report(&state, &pulled, 0).tensions[0];
    let expected = (10.0 - rest - 2.0 / 30.0) / both;
    s.equal("the same after a second is pulled with 2 N", "N", after, expected);
    let give = rig.anchor_place(0, &state).x + 10.0;
    s.equal("give of their anchor", "mm", give, (after + 2.0) / 30.0);
    Ok(())
}

/// A loop from one anchor round a point 9 mm away and back, held; its tension after `feed` mm more
/// strand than at 25 N, the material in it, and how far its anchor has given.
fn loop_after(anchor: Option<f64>, bite: Option<f64>, feed: f64) -> Found<(f64, f64, f64)> {
    let mut rig = aloft();
    let home = sprung(&mut rig, [-9.0, 0.0, 0.0], anchor);
    rig.add_limb(limb(vec![home, point_or_bite(bite), home], 0.0, EA));
    let (mut solver, mut state) = laid(&rig);
    let rest = 9.0 / (1.0 + 25.0 / EA);
    state.strands[0] = Strand::Tied { rest: vec![rest; 2], feed: vec![0.0, feed] };
    let from = Controls { motion: Motion::Held, ..Controls::idle(1) };
    hold(&mut solver, &mut state, &from)?;
    let to = Controls { feed: 1.0, ..from.clone() };
    arrived(solver.ramp(&mut state, &from, &to, GENTLE, None))?;
    certified(&mut solver, &state, &to)?;
    let tension = solver.limb_report(&state, &to, 0).tensions[0];
    let give = rig.anchor_place(0, &state).x + 9.0;
    Ok((tension, 2.0 * rest + feed, give))
}

/// A loop doubles the force on its anchor and feels the anchor's give twice.
pub fn looped(s: &mut Sheet) -> Found<()> {
    s.law(
        "loop on one anchor",
        "springs in series with a doubled strand: a loop feels 4/k of anchor and bite in its length",
    );
    s.within(BALANCE, WHY_BALANCE);
    let (mut tensions, mut gives) = (Vec::new(), Vec::new());
    for (anchor, bite) in [(Some(30.0), None), (Some(75.0), None), (None, Some(15.0)), (Some(30.0), Some(15.0))] {
        let four = 4.0 * (anchor.map_or(0.0, f64::recip) + bite.map_or(0.0, f64::recip));
        for feed in [0.0, -0.3, 0.1] {
            let (tension, material, give) = loop_after(anchor, bite, feed)?;
            // ℓ = 18 − 4T/k and T = EA (ℓ − S)/S give T (S/EA + 4/k) = 18 − S.
            tensions.push((tension, (18.0 - material) / (material / EA + four)));
            if let Some(stiffness) = anchor {
                gives.push((give, 2.0 * tension / stiffness));
            }
        }
    }
    s.worst("tension", "N", &tensions);
    s.worst("give of the anchor, 2T/k", "mm", &gives);
    Ok(())
}

/// Seating of short segments. The law is the model's own (a segment shorter than ℓ_s also bears
/// k_s (ℓ_s − ℓ)); the answer is that of springs in parallel and in series.
pub fn seat(s: &mut Sheet) -> Found<()> {
    s.law("seat of a short segment", "springs in parallel and in series (the law of the seat is this model's own)");
    let mut axial = Vec::new();
    // ℓ_s and just above: nothing; below: 200 N/mm.
    for (length, seated) in [(1.5, 0.0), (1.0, 0.0), (0.9, 20.0), (0.4, 120.0)] {
        let mut rig = aloft();
        let path = vec![rigid(&mut rig, [-length, 0.0, 0.0]), bone([0.0; 3])];
        rig.add_limb(limb(path, 0.0, EA));
        let (mut solver, mut state) = laid(&rig);
        tie_at(&mut solver, &mut state, 0, 25.0);
        let report = solver.limb_report(&state, &Controls::idle(1), 0);
        axial.push((report.axial[0], 25.0 - seated));
        axial.push((upper(&report.wrench).x, seated - 25.0));
    }
    s.within(1e-11, "k_s and EA times the rounding of a length of 1 mm");
    s.worst("axial force beside a tension of 25 N", "N", &axial);

    // A bite 3 mm away on 15 N/mm, drawn by a pulled strand of T: without a seat it would
    // travel T/15. Seated, the balance is T = 15 (3 − ℓ) + k_s (1 − ℓ).
    let mut rig = aloft();
    let home = rigid(&mut rig, [-3.0, 0.0, 0.0]);
    rig.add_limb(limb(vec![point_or_bite(Some(15.0)), home], 0.0, EA));
    let (mut solver, mut state) = laid(&rig);
    state.strands[0] = Strand::Pulled;
    let mut held = Controls { motion: Motion::Held, ..Controls::idle(1) };
    hold(&mut solver, &mut state, &held)?;
    let mut lengths = Vec::new();
    for pull in [15.0, 60.0, 90.0] {
        let mut to = held.clone();
        to.pull[0] = pull;
        arrived(solver.ramp(&mut state, &held, &to, GENTLE, None))?;
        held = to;
        certified(&mut solver, &state, &held)?;
        let report = solver.limb_report(&state, &held, 0);
        let free = 3.0 - pull / 15.0;
        let expected = if free >= SEAT.length { free } else { (15.0 * 3.0 + 200.0 - pull) / (15.0 + 200.0) };
        lengths.push((report.lengths[0], expected));
    }
    s.within(1e-9, "1e-9 N of balance over 15 N/mm");
    s.worst("a soft bite rests on its anchor", "mm", &lengths);

    // Rest material of a slack and of a taut strand; EA/S stands beside the seat only when taut.
    let mut secants = Vec::new();
    for (rest, strand) in [(1.3, 0.0), (0.7, EA / 0.7)] {
        let mut rig = aloft();
        let home = sprung(&mut rig, [-0.8, 0.0, 0.0], Some(30.0));
        rig.add_limb(limb(vec![home, bone([0.0; 3])], 0.0, EA));
        rig.envelope = Some(super::tissue::SOFT);
        let (mut solver, mut state) = laid(&rig);
        state.strands[0] = Strand::Tied { rest: vec![rest], feed: vec![0.0] };
        let idle = Controls::idle(1);
        let mut controls = push_from(&rig, &state, &idle, [-1.0, 0.0, 0.0], true);
        let first = push(&mut solver, &mut state, &mut controls, 0.3, 4)?;
        let second = push(&mut solver, &mut state, &mut controls, 0.4, 4)?;
        // All linear, with the envelope's 1 N/mm beside it.
        let both = SEAT.stiffness + strand;
        secants.push(((second - first) / 0.1, 1.0 / (1.0 / both + 1.0 / 30.0) + 1.0));
    }
    s.within(BALANCE, WHY_BALANCE);
    s.worst("seat beside the strand, anchor in series", "N/mm", &secants);
    Ok(())
}
