//! What a tie takes from a limb that shares its anchor. Source: springs in series, any handbook of
//! mechanics. A locked limb of stiffness k = EA/S in line with a pull T on the same anchor k_a loses
//! T k/(k + k_a), until it is slack.

use crate::closed_form::rigging::{GENTLE, aloft, bone, certified, limb, material, near, sprung};
use rimhold::mechanics::{Arrival, Controls, Motion, Pose, Solver, Strand};

const EA: f64 = 2000.0;
/// The solver's balance, 1e-10 N + 1e-11 of at most 150 N.
const BALANCE: f64 = 2e-9;

#[test]
fn a_tie_takes_from_its_neighbour_what_springs_in_series_say() {
    for stiffness in [15.0, 75.0, 400.0] {
        for second in [5.0, 20.0, 50.0, 150.0] {
            let mut rig = aloft();
            let shared = sprung(&mut rig, [40.0, 0.0, 0.0], Some(stiffness));
            for start in [0.0, -4.0] {
                rig.add_limb(limb(vec![bone([start, 0.0, 0.0]), shared], 0.0, EA));
            }
            let mut solver = Solver::new(&rig);
            let mut state = rig.laid(Pose::default());
            let mut controls = Controls { motion: Motion::Held, ..Controls::idle(2) };
            for (k, tension) in [25.0, second].into_iter().enumerate() {
                state.strands[k] = Strand::Pulled;
                let mut to = controls.clone();
                to.pull[k] = tension;
                let arrival = solver.ramp(&mut state, &controls, &to, GENTLE, None);
                assert_eq!(arrival, Arrival::Arrived(1.0));
                solver.lock(&mut state, &to, k, vec![0.0]);
                controls = Controls { pull: vec![0.0; 2], ..to };
            }
            certified(&mut solver, &state, &controls);
            let strand = EA / material(&state, 0)[0];
            let kept = (25.0 - second * strand / (strand + stiffness)).max(0.0);
            let report = |solver: &mut Solver<'_>, k| solver.limb_report(&state, &controls, k).tensions[0];
            near(report(&mut solver, 0), kept, BALANCE);
            near(report(&mut solver, 1), second, BALANCE);
            let give = rig.anchor_place(0, &state).x - 40.0;
            near(-give * stiffness, kept + second, BALANCE);
        }
    }
}
