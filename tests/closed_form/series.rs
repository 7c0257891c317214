//! Springs in series. Source: any handbook of mechanics, 1/k = Σ 1/k_i. A loop doubles the force
//! on its anchor and feels the anchor's give twice: 4/k_a in its own length.

use crate::rigging::{
    aloft, bone, certified, hold, limb, material, near, push, push_from, rigid, sprung, tie_at,
};
use rimhold::mechanics::{Controls, Motion, Pose, Rig, Solver, State, Strand, Vertex};

const EA: f64 = 2000.0;
/// The solver's balance (1e-10 N + 1e-11 of the largest force), over a push of a tenth of a mm.
const BALANCE: f64 = 2e-8;

/// Secant stiffness of one straight limb along x, pushed 0.1 mm; and its unstretched length.
fn pushed(rig: &Rig) -> (f64, f64) {
    let mut solver = Solver::new(rig);
    let mut state = rig.laid(Pose::default());
    tie_at(&mut solver, &mut state, 0, 25.0);
    let rest = material(&state, 0)[0];
    let mut controls = push_from(rig, &state, &Controls::idle(1), [1.0, 0.0, 0.0], true);
    let start = push(&mut solver, &mut state, &mut controls, 0.0, 1);
    let end = push(&mut solver, &mut state, &mut controls, 0.1, 1);
    ((end - start) / 0.1, rest)
}

#[test]
fn strand_anchor_and_bite_give_in_turn() {
    let far = [-10.0, 0.0, 0.0];
    for (anchor, bite) in [
        (None, None),
        (Some(30.0), None),
        (None, Some(15.0)),
        (Some(75.0), Some(15.0)),
    ] {
        let mut rig = aloft();
        let start = sprung(&mut rig, far, anchor);
        let end = bite.map_or(bone([0.0; 3]), |stiffness| Vertex::Bite {
            point: [0.0; 3].into(),
            stiffness,
        });
        rig.add_limb(limb(vec![start, end], 0.0, EA));
        let (found, rest) = pushed(&rig);
        // On a straight line all three laws are linear, so the secant is the stiffness.
        let compliance = rest / EA + anchor.map_or(0.0, f64::recip) + bite.map_or(0.0, f64::recip);
        near(found, 1.0 / compliance, BALANCE);
    }
}

/// A loop from one anchor round a point 9 mm away and back, held; its tension after `feed` mm more
/// strand than at 25 N.
fn looped(anchor: Option<f64>, bite: Option<f64>, feed: f64) -> (f64, f64, Rig, State) {
    let mut rig = aloft();
    let home = sprung(&mut rig, [-9.0, 0.0, 0.0], anchor);
    let turn = bite.map_or(bone([0.0; 3]), |stiffness| Vertex::Bite {
        point: [0.0; 3].into(),
        stiffness,
    });
    rig.add_limb(limb(vec![home, turn, home], 0.0, EA));
    let mut solver = Solver::new(&rig);
    let mut state = rig.laid(Pose::default());
    let rest = 9.0 / (1.0 + 25.0 / EA);
    state.strands[0] = Strand::Tied {
        rest: vec![rest; 2],
        feed: vec![0.0, feed],
    };
    let from = Controls {
        motion: Motion::Held,
        ..Controls::idle(1)
    };
    hold(&mut solver, &mut state, &from);
    let to = Controls {
        feed: 1.0,
        ..from.clone()
    };
    solver.ramp(&mut state, &from, &to, crate::rigging::GENTLE, None);
    certified(&mut solver, &state, &to);
    let report = solver.limb_report(&state, &to, 0);
    near(report.tensions[0], report.tensions[1], 1e-11);
    (report.tensions[0], 2.0 * rest + feed, rig, state)
}

#[test]
fn loop_feels_its_anchor_four_times() {
    for (anchor, bite) in [
        (Some(30.0), None),
        (Some(75.0), None),
        (None, Some(15.0)),
        (Some(30.0), Some(15.0)),
    ] {
        let four = 4.0 * (anchor.map_or(0.0, f64::recip) + bite.map_or(0.0, f64::recip));
        for feed in [0.0, -0.3, 0.1] {
            let (tension, material, rig, state) = looped(anchor, bite, feed);
            // ℓ = 18 − 4T/k and T = EA (ℓ − S)/S give T (S/EA + 4/k) = 18 − S.
            let expected = (18.0 - material) / (material / EA + four);
            // 1e-9 N of balance, and the anchor's give of 2T/k.
            near(tension, expected, BALANCE);
            if let Some(stiffness) = anchor {
                let give = rig.anchor_place(0, &state).x + 9.0;
                near(give, 2.0 * tension / stiffness, BALANCE);
            }
        }
    }
}

#[test]
fn two_limbs_on_one_anchor_share_its_give() {
    // Tying the second unloads the first: on a shared anchor of stiffness k each limb of stiffness
    // c sees x = (T₁ + T₂)/k.
    let mut rig = aloft();
    let home = sprung(&mut rig, [-10.0, 0.0, 0.0], Some(30.0));
    for _ in 0..2 {
        rig.add_limb(limb(vec![home, bone([0.0; 3])], 0.0, EA));
    }
    let mut solver = Solver::new(&rig);
    let mut state = rig.laid(Pose::default());
    let held = Controls {
        motion: Motion::Held,
        ..Controls::idle(2)
    };
    tie_at(&mut solver, &mut state, 0, 25.0);
    let rest = material(&state, 0)[0];
    hold(&mut solver, &mut state, &held);
    // T₁ (S/EA + 1/k) = 10 − S before,
    let before = solver.limb_report(&state, &held, 0).tensions[0];
    near(before, (10.0 - rest) / (rest / EA + 1.0 / 30.0), BALANCE);
    // and T₁ (S/EA + 1/k) + T₂/k = 10 − S with the second pulled to 2 N.
    let mut pulled = held.clone();
    pulled.pull[1] = 2.0;
    state.strands[1] = Strand::Pulled;
    solver.ramp(&mut state, &held, &pulled, crate::rigging::GENTLE, None);
    certified(&mut solver, &state, &pulled);
    let after = solver.limb_report(&state, &pulled, 0).tensions[0];
    near(
        after,
        (10.0 - rest - 2.0 / 30.0) / (rest / EA + 1.0 / 30.0),
        BALANCE,
    );
    assert!(after > 0.0 && after < before);
    near(
        rig.anchor_place(0, &state).x + 10.0,
        (after + 2.0) / 30.0,
        BALANCE,
    );
}

#[test]
fn rigid_anchor_does_not_move() {
    let mut rig = aloft();
    let home = rigid(&mut rig, [-10.0, 0.0, 0.0]);
    rig.add_limb(limb(vec![home, bone([0.0; 3])], 0.0, EA));
    let (found, rest) = pushed(&rig);
    near(found, EA / rest, BALANCE);
}
