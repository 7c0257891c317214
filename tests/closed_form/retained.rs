//! Tension that survives relaxation. Source: Hooke's law of the strand, T = EA (ℓ − S)/S: at a
//! fixed pose a fraction ρ of the tension is kept by the rest length S' = ℓ EA/(EA + ρT).

use crate::rigging::{GENTLE, aloft, bone, certified, limb, near, rigid};
use rimhold::case::{Case, ConstructFile};
use rimhold::mechanics::{Arrival, Controls, Motion, Pose, Solver, Strand};
use rimhold::study::{self, result::Start};

const EA: f64 = 2000.0;

#[test]
fn rest_length_change_leaves_the_fraction_of_every_segment() {
    for retained in [0.9, 0.75, 0.5, 0.0] {
        let mut rig = aloft();
        let path = vec![
            rigid(&mut rig, [-8.0, 0.0, -3.0]),
            bone([0.0; 3]),
            bone([0.0, 5.0, 1.0]),
            rigid(&mut rig, [-9.0, 9.0, 0.0]),
        ];
        rig.add_limb(limb(path, 0.15, EA));
        let mut solver = Solver::new(&rig);
        let mut state = rig.laid(Pose::default());
        let mut from = Controls {
            motion: Motion::Held,
            ..Controls::idle(1)
        };
        state.strands[0] = Strand::Pulled;
        from.pull[0] = 50.0;
        solver.lock(&mut state, &from, 0, vec![0.0; 3]);
        from.pull[0] = 0.0;
        let before = solver.limb_report(&state, &from, 0);
        near(before.tensions[2], 50.0, 1e-11);
        if let Strand::Tied { rest, feed } = &mut state.strands[0] {
            for i in 0..3 {
                let kept = retained * before.tensions[i];
                feed[i] = before.lengths[i] * EA / (EA + kept) - rest[i];
            }
        }
        let mut to = from.clone();
        to.feed = 1.0;
        let arrival = solver.ramp(&mut state, &from, &to, GENTLE, None);
        assert_eq!(arrival, Arrival::Arrived(1.0));
        certified(&mut solver, &state, &to);
        solver.absorb_feed(&mut state, &mut to);
        let after = solver.limb_report(&state, &to, 0);
        for i in 0..3 {
            // EA times the rounding of 10 mm is 1e-11 N; asked for is a billionth.
            near(after.tensions[i], retained * before.tensions[i], 1e-9);
        }
    }
}

#[test]
fn whole_construct_keeps_the_fraction_when_nothing_else_gives() {
    // Rigid anchors, no envelope, a bed of 1000 MPa/mm on 100 mm² and strands of EA = 20 N: 100 N
    // less move the fragment 1e-3 mm, and (EA + T)/ℓ × 1e-3 mm is 1e-4 of the tension T.
    let mut case = Case::open("quarter").unwrap();
    case.bed.normal_stiffness = 1000.0;
    case.bed.shear_stiffness = 300.0;
    case.envelope = None;
    let mut construct = ConstructFile::open("one-by-one-bare")
        .unwrap()
        .fit(&case)
        .unwrap();
    for anchor in &mut construct.anchors {
        anchor.stiffness = None;
    }
    for limb in &mut construct.limbs {
        limb.strand.rigidity = 20.0;
    }
    let tensions = |retained: f64| {
        let mut construct = construct.clone();
        construct.retained = retained;
        let rig = study::rig(&case, &construct, Start::Reduced);
        let (hold, tied) = study::tie(&case, &construct, &rig, Start::Reduced);
        let tied = tied.unwrap_or_else(|| panic!("{:?}", hold.outcome));
        let mut solver = Solver::new(&rig);
        (0..rig.limbs.len())
            .flat_map(|k| solver.limb_report(&tied.state, &tied.controls, k).tensions)
            .collect::<Vec<f64>>()
    };
    let full = tensions(1.0);
    for retained in [0.75, 0.5] {
        for (kept, all) in tensions(retained).into_iter().zip(&full) {
            assert!(*all > 5.0);
            near(kept / all, retained, 5e-4);
        }
    }
}
