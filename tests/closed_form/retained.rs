//! Tension that survives relaxation. Source: Hooke's law of the strand, T = EA (ℓ − S)/S: at a
//! fixed pose a fraction ρ of the tension is kept by the rest length S' = ℓ EA/(EA + ρT).

use crate::closed_form::rigging::{GENTLE, all_pass, near};
use rimhold::mechanics::{Arrival, Solver};
use rimhold::model::{Case, ConstructFile, Split};
use rimhold::study::{self, result::Start};
use rimhold::verify::closed_form;

#[test]
fn rest_length_change_leaves_the_fraction_of_every_segment() {
    all_pass(closed_form::retained);
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
    // Asperities would give way with the bed.
    case.bed.asperity_angle = 0.0;
    case.envelope = None;
    let file = ConstructFile::open("one-by-one-bare").unwrap();
    let mut construct = file.fit(&case).unwrap();
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
    let mut tied = tied.unwrap_or_else(|| panic!("{:?}", hold.outcome));
    let mut solver = Solver::new(&rig);
    solver.relax(&mut tied.state, &tied.controls, 1.0, retained);
    let mut to = tied.controls.clone();
    to.feed = 1.0;
    assert_eq!(solver.ramp(&mut tied.state, &tied.controls, &to, GENTLE, None), Arrival::Arrived(1.0));
    (0..rig.limbs.len()).flat_map(|k| solver.limb_report(&tied.state, &to, k).tensions).collect()
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
