//! Seating of short segments. The law is the model's own (a segment shorter than ℓ_s also bears
//! k_s (ℓ_s − ℓ)); the answer is that of springs in parallel and in series (any handbook of
//! mechanics).

use crate::rigging::{
    SEAT, aloft, bone, certified, hold, limb, near, push, push_from, rigid, sprung, tie_at,
};
use rimhold::math::upper;
use rimhold::mechanics::{Controls, Motion, Pose, Solver, Strand};

#[test]
fn short_segment_bears_compression_beside_its_tension() {
    // ℓ_s and just above: nothing; below: 200 N/mm.
    for (length, seated) in [(1.5, 0.0), (1.0, 0.0), (0.9, 20.0), (0.4, 120.0)] {
        let mut rig = aloft();
        let path = vec![rigid(&mut rig, [-length, 0.0, 0.0]), bone([0.0; 3])];
        rig.add_limb(limb(path, 0.0, 2000.0));
        let mut solver = Solver::new(&rig);
        let mut state = rig.laid(Pose::default());
        tie_at(&mut solver, &mut state, 0, 25.0);
        let report = solver.limb_report(&state, &Controls::idle(1), 0);
        // k_s, EA times the rounding of a length of 1 mm.
        near(report.tensions[0], 25.0, 1e-11);
        near(report.axial[0], 25.0 - seated, 1e-11);
        near(upper(&report.wrench).x, seated - 25.0, 1e-11);
    }
}

#[test]
fn soft_bite_comes_to_rest_on_its_anchor_and_does_not_pass_it() {
    // A bite 3 mm away on 15 N/mm, drawn by a pulled strand of T: without a seat it would travel
    // T/15. Seated, the balance is T = 15 (3 − ℓ) + k_s (1 − ℓ).
    let mut rig = aloft();
    let home = rigid(&mut rig, [-3.0, 0.0, 0.0]);
    let bite = rimhold::mechanics::Vertex::Bite {
        point: [0.0; 3].into(),
        stiffness: 15.0,
    };
    rig.add_limb(limb(vec![bite, home], 0.0, 2000.0));
    let mut solver = Solver::new(&rig);
    let mut state = rig.laid(Pose::default());
    state.strands[0] = Strand::Pulled;
    let mut held = Controls {
        motion: Motion::Held,
        ..Controls::idle(1)
    };
    hold(&mut solver, &mut state, &held);
    for pull in [15.0, 60.0, 90.0] {
        let mut to = held.clone();
        to.pull[0] = pull;
        solver.ramp(&mut state, &held, &to, crate::rigging::GENTLE, None);
        held = to;
        certified(&mut solver, &state, &held);
        let report = solver.limb_report(&state, &held, 0);
        let free = 3.0 - pull / 15.0;
        let expected = if free >= SEAT.length {
            free
        } else {
            (15.0 * 3.0 + 200.0 - pull) / (15.0 + 200.0)
        };
        // 1e-9 N of balance over 15 N/mm.
        near(report.lengths[0], expected, 1e-9);
        near(upper(&report.wrench).x, -15.0 * (3.0 - expected), 1e-8);
    }
}

#[test]
fn seat_works_beside_the_strand_and_in_series_with_the_anchor() {
    // Rest material of a slack and of a taut strand; EA/S stands beside the seat only when taut.
    for (rest, strand) in [(1.3, 0.0), (0.7, 2000.0 / 0.7)] {
        let mut rig = aloft();
        let home = sprung(&mut rig, [-0.8, 0.0, 0.0], Some(30.0));
        rig.add_limb(limb(vec![home, bone([0.0; 3])], 0.0, 2000.0));
        rig.envelope = Some(rimhold::mechanics::Envelope {
            shift_stiffness: 1.0,
            turn_stiffness: 100.0,
            rest: Pose::default(),
        });
        let mut solver = Solver::new(&rig);
        let mut state = rig.laid(Pose::default());
        state.strands[0] = Strand::Tied {
            rest: vec![rest],
            feed: vec![0.0],
        };
        let mut controls = push_from(&rig, &state, &Controls::idle(1), [-1.0, 0.0, 0.0], true);
        let first = push(&mut solver, &mut state, &mut controls, 0.3, 4);
        let second = push(&mut solver, &mut state, &mut controls, 0.4, 4);
        // All linear, with the envelope's 1 N/mm beside it; the balance over a tenth of a mm.
        let both = SEAT.stiffness + strand;
        let expected = 1.0 / (1.0 / both + 1.0 / 30.0) + 1.0;
        near((second - first) / 0.1, expected, 2e-8);
    }
}
