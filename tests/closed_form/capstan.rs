//! Belt friction at a turn. Source: Euler–Eytelwein, T₂/T₁ = e^{μθ} (any handbook of mechanics).
//!
//! Two paths: a right-angled turn over one crossing, and a rectangle (anchor, two crossings 6 mm
//! apart, anchor) whose angles stay right when the fragment moves along its long side, so that
//! every bound is exactly μπ/2.

use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::{Rng, SeedableRng};

use crate::closed_form::rigging::{all_pass, carry, material, near, tie_at};
use rimhold::mechanics::{Controls, Passage, Pose, Solver, Strand, Strands};
use rimhold::verify::closed_form::{
    self,
    strand::{EA, FRICTION, ROUNDING, corner, ratio, rectangle, shared},
};

#[test]
fn turns_hold_back_the_handbook_ratio_and_stick_and_slip_by_it() {
    all_pass(closed_form::capstan);
}

#[test]
fn bound_follows_the_angle_as_it_changes() {
    let rig = corner(Passage::Sliding(FRICTION));
    let mut solver = Solver::new(&rig);
    let mut state = rig.laid(Pose::default());
    tie_at(&mut solver, &mut state, 0, 25.0);
    let total: f64 = material(&state, 0).iter().sum();
    for shift in [[0.3, 0.0, 0.0], [0.6, -0.2, 0.1], [0.3, 0.5, 0.4], [0.0, 0.8, 0.0]] {
        let [x, y, z] = shift;
        let report = carry(&mut solver, &mut state, shift, 0);
        let (first, second) = ((10.0 + x).hypot(y).hypot(z), x.hypot(10.0 + y).hypot(z));
        let cos = ((10.0 + x) * -x + y * (-10.0 - y) - z * z) / (first * second);
        let bound = (FRICTION * cos.acos()).exp();
        let relation = report.tensions[1] / report.tensions[0];
        // The ratio is a quotient of two tensions good to a few roundings.
        assert!(relation.max(1.0 / relation) <= bound * (1.0 + 1e-13));
        near(material(&state, 0).iter().sum(), total, 1e-13);
        if x > 0.25 && y < 0.0 {
            near(1.0 / relation, bound, 1e-12);
        }
    }
}

#[test]
fn locked_stitch_passes_nothing() {
    let rig = rectangle(false, Passage::Locked);
    let mut solver = Solver::new(&rig);
    let mut state = rig.laid(Pose::default());
    tie_at(&mut solver, &mut state, 0, 25.0);
    let held = material(&state, 0);
    for shift in [0.5, -0.5, 0.2] {
        let report = carry(&mut solver, &mut state, [shift, 0.0, 0.0], 0);
        assert_eq!(material(&state, 0), held);
        let alone = (EA * (10.0 + shift - held[0]) / held[0]).max(0.0);
        near(report.tensions[0], alone, ROUNDING);
        near(report.tensions[1], 25.0, ROUNDING);
    }
    // Pulled, a locked stitch leaves the segments behind it slack.
    let mut controls = Controls::idle(1);
    controls.pull[0] = 30.0;
    state.strands[0] = Strand::Pulled;
    assert_eq!(solver.limb_report(&state, &controls, 0).tensions, [0.0, 0.0, 30.0]);
}

#[test]
fn closed_strand_shares_round_its_knot_by_the_same_law() {
    for sign in [1.0, -1.0] {
        let rig = rectangle(true, Passage::Sliding(FRICTION));
        let mut solver = Solver::new(&rig);
        let mut state = rig.laid(Pose::default());
        tie_at(&mut solver, &mut state, 0, 20.0);
        let held = material(&state, 0);
        let total: f64 = held.iter().sum();
        let small = sign * 0.01;
        let report = carry(&mut solver, &mut state, [small, 0.0, 0.0], 0);
        near(report.tensions[0], EA * (10.0 + small - held[0]) / held[0], ROUNDING);
        near(report.tensions[3], 20.0, ROUNDING);
        let large = sign * 0.06;
        let report = carry(&mut solver, &mut state, [large, 0.0, 0.0], 0);
        let (long, across) = if sign > 0.0 { (1.0, 1.0 / ratio()) } else { (1.0 / ratio(), 1.0) };
        let out = 10.0 + large;
        let t = shared(total, &[(out, long), (6.0, across), (out, long), (6.0, across)]).unwrap();
        for (k, share) in [long, across, long, across].into_iter().enumerate() {
            near(report.tensions[k], share * t, ROUNDING);
        }
        near(material(&state, 0).iter().sum(), total, 1e-13);
    }
}

#[test]
fn closed_strand_with_a_locked_vertex_is_two_strands() {
    let mut rig = rectangle(true, Passage::Sliding(0.0));
    rig.limbs[0].passages[0] = Passage::Locked;
    rig.limbs[0].passages[2] = Passage::Locked;
    let mut solver = Solver::new(&rig);
    let mut state = rig.laid(Pose::default());
    tie_at(&mut solver, &mut state, 0, 20.0);
    let held = material(&state, 0);
    let report = carry(&mut solver, &mut state, [0.05, 0.0, 0.0], 0);
    // Halves 0 + 1 and 2 + 3, each without friction: T = EA (16.05 − S)/S.
    let half = held[0] + held[1];
    let expected = EA * (16.05 - half) / half;
    for tension in report.tensions {
        near(tension, expected, ROUNDING);
    }
    let now = material(&state, 0);
    near(now[0] + now[1], half, 1e-14 * 8.0);
    near(now[2] + now[3], held[2] + held[3], 1e-14 * 8.0);
}

/// Strands with turns that stand at their bounds to the last digit beside others that slip: what
/// crosses the former is lost in the rounding of lengths, and its sign with it. Every ratio is kept
/// (Euler–Eytelwein), material is conserved, and where some crosses it runs to the tighter side.
#[test]
fn hardly_past_its_bound_a_turn_slips_the_right_way() {
    let mut random = ChaCha8Rng::seed_from_u64(4);
    let mut draw = uniform(&mut random);
    for closed in [false, true] {
        for round in 0..4000 {
            let n = draw(if closed { 3.0 } else { 2.0 }, 6.0) as usize;
            let turns = if closed { n } else { n - 1 };
            let lengths: Vec<f64> = (0..n).map(|_| draw(2.0, 14.0)).collect();
            let bounds: Vec<f64> = (0..turns).map(|_| draw(0.05, 1.2)).collect();
            let mut tensions = vec![draw(1.0, 40.0)];
            for bound in &bounds[..n - 1] {
                let sign = [-1.0, 0.3, 1.0][draw(0.0, 3.0) as usize];
                let past = [0.0, 1e-16, 10.0_f64.powf(draw(-16.0, -1.0))][draw(0.0, 3.0) as usize];
                let last = tensions[tensions.len() - 1];
                tensions.push(last * (sign * bound).exp() * (1.0 + sign * past));
            }
            if closed {
                // The last turn closes the ring well inside its bound.
                let close = (tensions[n - 1] / tensions[0]).ln().abs();
                if close > 0.9 * bounds[n - 1] {
                    continue;
                }
            }
            let rigidity = [700.0, 2000.0][round % 2];
            let held: Vec<f64> = lengths.iter().zip(&tensions).map(|(l, t)| l * rigidity / (rigidity + t)).collect();
            let what = format!("{round}, closed {closed}");
            keeps_the_law(rigidity, &lengths, &bounds, &held, closed, &what);
        }
    }
}

/// Strands of any tensions over turns of any bound, locked ones among them: several turns may slip,
/// either way, with others between them that stick.
#[test]
fn material_runs_nowhere_against_its_pull() {
    let mut random = ChaCha8Rng::seed_from_u64(5);
    let mut draw = uniform(&mut random);
    for round in 0..20_000 {
        let closed = draw(0.0, 1.0) < 0.3;
        let n = draw(3.0, 7.0) as usize;
        let turns = if closed { n } else { n - 1 };
        let lengths: Vec<f64> = (0..n).map(|_| draw(2.0, 14.0)).collect();
        let bounds: Vec<f64> = (0..turns)
            .map(|_| match draw(0.0, 1.0) {
                share if share < 0.15 => f64::INFINITY,
                _ => draw(0.02, 0.6),
            })
            .collect();
        let held: Vec<f64> = lengths.iter().map(|l| l * 2000.0 / (2000.0 + draw(2.0, 60.0))).collect();
        let what = format!("{round}, closed {closed}");
        keeps_the_law(2000.0, &lengths, &bounds, &held, closed, &what);
    }
}

/// Numbers evenly between two.
fn uniform(random: &mut ChaCha8Rng) -> impl FnMut(f64, f64) -> f64 + '_ {
    |low, high| low + (high - low) * (random.next_u64() >> 11) as f64 / (1u64 << 53) as f64
}

/// Every ratio within its bound, material conserved, and on an open strand what crosses a turn runs to
/// the tighter side, at its bound: the conditions of the convex program, which has one answer.
fn keeps_the_law(rigidity: f64, lengths: &[f64], bounds: &[f64], held: &[f64], closed: bool, what: &str) {
    let (n, turns) = (lengths.len(), bounds.len());
    let mut strands = Strands::default();
    strands.tied(rigidity, lengths, bounds, held, closed, f64::INFINITY);
    assert!(strands.settled, "{what}");
    let found = &strands.tension[..n];
    for j in 0..turns {
        let (a, b) = (found[j], found[(j + 1) % n]);
        // A tension is EA (ℓ − S)/S: a few roundings of EA, twice what the map lets a turn pass by.
        assert!(
            bounds[j].is_infinite() || a.max(b) <= a.min(b) * bounds[j].exp() + 1e-14 * rigidity,
            "{what}: turn {j} of {found:?}, {bounds:?}"
        );
    }
    let sum = |list: &[f64]| list.iter().sum::<f64>();
    // A few roundings of each of at most six lengths.
    near(sum(&strands.rest[..n]), sum(held), 1e-13);
    let mut crossed = 0.0;
    for j in 0..if closed { 0 } else { turns } {
        crossed += held[j] - strands.rest[j];
        // What rounding makes of a sum of six lengths.
        if crossed.abs() > 1e-13 {
            assert!(bounds[j].is_finite(), "{what}: {crossed} over a locked turn");
            let bound = (bounds[j] * f64::signum(crossed)).exp();
            let ratio = found[j + 1] / found[j] / bound;
            // Segments of a chain are multiples of one tension.
            assert!((ratio - 1.0).abs() <= 1e-14, "{what}: turn {j}, {ratio}");
        }
    }
}
