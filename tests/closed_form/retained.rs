//! Tension that survives relaxation. Source: Hooke's law of the strand, T = EA (ℓ − S)/S: at a
//! fixed pose a fraction ρ of the tension is kept by the rest length S' = ℓ EA/(EA + ρT).

use crate::rigging::{GENTLE, aloft, bone, certified, limb, near, rigid};
use rimhold::case::{Case, ConstructFile, Split};
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

/// How the two limbs of the bridge are tied.
#[derive(Clone, Copy)]
enum Order {
    Together,
    Apart,
    Reversed,
}

/// Tensions of a tied bridge on rigid anchors, without envelope, on a bed of `stiffness` MPa/mm so
/// rough that no cell slips.
fn tied_tensions(stiffness: f64, retained: f64, order: Order) -> Vec<f64> {
    let mut case = Case::open("quarter").unwrap();
    case.bed.normal_stiffness = stiffness;
    case.bed.shear_stiffness = 0.3 * stiffness;
    case.bed.friction = 5.0;
    case.envelope = None;
    let file = ConstructFile::open("one-by-one-bare").unwrap();
    let mut construct = file.fit(&case).unwrap();
    construct.retained = retained;
    match order {
        Order::Together => {}
        Order::Apart => construct = construct.split(Split::Limb),
        Order::Reversed => {
            construct = construct.split(Split::Limb);
            construct.ties.reverse();
        }
    }
    for anchor in &mut construct.anchors {
        anchor.stiffness = None;
    }
    for limb in &mut construct.limbs {
        limb.strand.rigidity = 20.0;
    }
    let rig = study::rig(&case, &construct, Start::Reduced);
    let (hold, tied) = study::tie(&case, &construct, &rig, Start::Reduced);
    let tied = tied.unwrap_or_else(|| panic!("{:?}", hold.outcome));
    let mut solver = Solver::new(&rig);
    (0..rig.limbs.len())
        .flat_map(|k| solver.limb_report(&tied.state, &tied.controls, k).tensions)
        .collect()
}

#[test]
fn whole_construct_keeps_the_fraction_when_nothing_else_gives() {
    // What is lost beyond the fraction is the bed's springing back, about ΔN/(k_n A): 1e-3 mm at
    // 1000 MPa/mm, and (EA + T)/ℓ times that is some 1e-4 of T with EA = 20 N. It must vanish with 1/k_n.
    let (soft, stiff) = (1000.0, 2000.0);
    for order in [Order::Together, Order::Apart, Order::Reversed] {
        let all_soft = tied_tensions(soft, 1.0, order);
        let all_stiff = tied_tensions(stiff, 1.0, order);
        for retained in [0.75, 0.5] {
            let kept_soft = tied_tensions(soft, retained, order);
            let kept_stiff = tied_tensions(stiff, retained, order);
            for i in 0..all_soft.len() {
                assert!(all_soft[i] > 5.0);
                let (a, b) = (kept_soft[i] / all_soft[i], kept_stiff[i] / all_stiff[i]);
                near(a, retained, 1e-4);
                // Extrapolated to a rigid bed: what is left is of second order, (5e-5)² and rounding.
                near(2.0 * b - a, retained, 1e-7);
            }
        }
    }
}
