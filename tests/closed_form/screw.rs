//! A screw in a rig. Sources: the preloaded bolted joint of machine-design handbooks (an outer load F
//! raises the bolt's pull by F k_b/(k_b + k_m), and the joint opens at N₀/(1 − that share)); statics of
//! springs and couples. Stiffness values of the shank itself are checked in `shank.rs`.

use crate::closed_form::rigging::{GENTLE, SHANK, all_pass, aloft, certified, hold, near, push, push_from, tighten};
use rimhold::math::{Rotation, Vec3, lower, upper};
use rimhold::mechanics::{Arrival, Pose, Setting, Solver};
use rimhold::verify::closed_form::{
    self,
    screw::{down, screwed_block as block},
    shank::end_flexibility,
};

/// The solver's balance, N.
const BALANCE: f64 = 2e-9;

#[test]
fn preload_is_the_compression_of_the_bed() {
    let rig = block();
    let mut solver = Solver::new(&rig);
    let mut state = rig.laid(Pose::default());
    let idle = tighten(&mut solver, &mut state, 120.0);
    near(solver.screw_report(&state, &idle, 0).axial, 120.0, BALANCE);
    near(solver.bed_forces(&state).0.z, 120.0, BALANCE);
    // N/(k_n A) of settling: 120 over 2000 N/mm.
    near(state.pose().shift.z, -0.06, BALANCE / 2000.0 + 1e-14);
}

#[test]
fn an_outer_load_is_shared_as_in_a_bolted_joint_and_the_head_never_pulls() {
    all_pass(closed_form::bolted);
}

#[test]
fn a_fraction_of_the_preload_survives_relaxation() {
    let rig = block();
    let mut solver = Solver::new(&rig);
    let mut state = rig.laid(Pose::default());
    let from = tighten(&mut solver, &mut state, 120.0);
    let bolt = rig.screws[0].stiffness().axial;
    let Setting::Locked { feed, .. } = &mut state.screws[0] else { panic!("not locked") };
    // At a fixed pose a quarter of the pull is let go; the bed springs back by its share of that.
    *feed = 0.25 * 120.0 / bolt;
    let mut to = from.clone();
    to.feed = 1.0;
    let arrival = solver.ramp(&mut state, &from, &to, GENTLE, None);
    assert_eq!(arrival, Arrival::Arrived(1.0));
    solver.absorb_feed(&mut state, &mut to);
    certified(&mut solver, &state, &to);
    let springs = 120.0 - 30.0 * 2000.0 / (bolt + 2000.0);
    near(solver.screw_report(&state, &to, 0).axial, springs, BALANCE);
}

#[test]
fn sideways_it_resists_with_its_shank_and_two_resist_a_turn_by_a_couple() {
    all_pass(closed_form::screws);
}

#[test]
fn sideways_and_free_to_turn_it_yields_by_its_flexibility() {
    let mut rig = aloft();
    rig.screws.push(down(0.0, 0.0));
    let [scapula, fragment] = [SHANK.working, SHANK.grip].map(|l| end_flexibility(SHANK.bending(), SHANK.line(), l));
    let flexibility = scapula.shift + fragment.shift;
    let mut solver = Solver::new(&rig);
    let mut state = rig.laid(Pose::default());
    // Without a preload and lifted from its head the shank alone bears; pushed at the fracture plane no
    // couple is asked for. The fragment turns by some 0.1 δ; sine and cosine differ from the small
    // angle by its square.
    let idle = tighten(&mut solver, &mut state, 0.0);
    if let Setting::Locked { rest, .. } = &mut state.screws[0] {
        *rest = 100.0;
    }
    // The spin about its axis is free, and so is the way along it: soft springs hold both.
    let mut held = rig.clone();
    held.envelope =
        Some(rimhold::mechanics::Envelope { shift_stiffness: 1e-6, turn_stiffness: 1e-6, rest: Pose::default() });
    let mut solver = Solver::new(&held);
    let mut controls = push_from(&held, &state, &idle, [1.0, 0.0, 0.0], false);
    let distance = 1e-3;
    let found = push(&mut solver, &mut state, &mut controls, distance, 2);
    // What its elements of λl = 0.14 err by, some (λl)⁴/200.
    near(found / (distance / flexibility), 1.0, 3e-6);
}

#[test]
fn tilted_about_its_hole_it_resists_by_bending() {
    // About the hole nothing shifts: the energy is K_tt sin²φ/2, the couple K_tt sin φ cos φ, with the
    // force K_st sin φ beside it. The head is left without a preload, the bed out of reach.
    let rig = block();
    let k = rig.screws[0].stiffness();
    let mut solver = Solver::new(&rig);
    for angle in [0.01f64, 0.3] {
        let mut state = rig.laid(Pose { shift: Vec3::new(0.0, 0.0, 20.0), ..Pose::default() });
        let idle = rig.idle();
        solver.place_screw(&mut state, 0);
        solver.lock_screw(&mut state, &idle, 0);
        if let Setting::Locked { rest, .. } = &mut state.screws[0] {
            *rest = 100.0;
        }
        state.configuration.pose.turn = Rotation::new(Vec3::new(0.0, angle, 0.0));
        let net = solver.net_wrench(&state, &idle);
        let bends = k.slope * angle.sin() * angle.cos();
        // Rounding of K_tt = 1e4 N·mm.
        near((lower(&net) - Vec3::new(0.0, -bends, 0.0)).norm(), 0.0, 1e-10);
        near(upper(&net).norm(), (k.couple * angle.sin()).abs(), 1e-11);
        let energy = 0.5 * k.slope * angle.sin().powi(2);
        near(solver.stored_energy(&state, &idle), energy, 1e-11);
    }
}

#[test]
fn it_holds_the_fragment_where_that_lay_when_it_was_drilled() {
    let mut rig = aloft();
    rig.screws.push(down(3.0, -2.0));
    let pose = Pose { shift: Vec3::new(1.0, -2.0, 0.5), turn: Rotation::new(Vec3::new(0.1, -0.05, 0.2)) };
    let mut solver = Solver::new(&rig);
    let mut state = rig.laid(pose);
    solver.place_screw(&mut state, 0);
    let mut controls = rig.idle();
    controls.tighten[0] = 50.0;
    hold(&mut solver, &mut state, &controls);
    let net = solver.net_wrench(&state, &controls);
    let axis = pose.turn * -Vec3::z();
    near((upper(&net) - axis * 50.0).norm(), 0.0, 1e-12);
    let arm = pose.turn * rig.screws[0].head;
    near((lower(&net) - arm.cross(&(axis * 50.0))).norm(), 0.0, 1e-11);
    // Locked there, the pull stays what it was.
    solver.lock_screw(&mut state, &controls, 0);
    let idle = rig.idle();
    near(solver.screw_report(&state, &idle, 0).axial, 50.0, 1e-10);
}
