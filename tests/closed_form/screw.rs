//! A screw in a rig. Sources: the preloaded bolted joint of machine-design handbooks (an outer load F
//! raises the bolt's pull by F k_b/(k_b + k_m), and the joint opens at N₀/(1 − that share)); statics of
//! springs and couples. Stiffness values of the shank itself are checked in `shank.rs`.

use crate::rigging::{
    GENTLE, against_turning, aloft, bed, certified, hold, near, push, push_from, rest,
};
use rimhold::math::{Rotation, Vec3, lower, stack, upper};
use rimhold::mechanics::{
    Arrival, BedLaw, Controls, Pose, Rig, Screw, Setting, Shank, Solver, State,
};

/// The solver's balance, N.
const BALANCE: f64 = 2e-9;

const SHANK: Shank = Shank {
    diameter: 2.7,
    core: 1.9,
    head: 5.0,
    modulus: 110_000.0,
    foundation: 40.0,
    grip: 6.0,
    working: 16.0,
};

/// A screw down into the plane z = 0 at (x, y), its head 6 mm above.
fn down(x: f64, y: f64) -> Screw {
    Screw::new(Vec3::new(x, y, SHANK.grip), -Vec3::z(), SHANK)
}

/// A block of 20 × 10 mm on its bed with one screw through its middle.
fn block() -> Rig {
    let law = BedLaw {
        normal: 10.0,
        shear: 3.0,
        friction: 0.5,
    };
    let mut rig = Rig::new(Vec3::zeros(), bed(law, (16, 8)), crate::rigging::SEAT);
    rig.screws.push(down(0.0, 0.0));
    rig
}

/// Places every screw, tightens them together to `preload` N and locks them.
fn tighten(solver: &mut Solver<'_>, state: &mut State, preload: f64) -> Controls {
    let rig = solver.rig();
    for k in 0..rig.screws.len() {
        solver.place_screw(state, k);
    }
    let mut controls = rig.idle();
    let from = controls.clone();
    controls.tighten.fill(preload);
    let arrival = solver.ramp(state, &from, &controls, GENTLE, None);
    assert_eq!(arrival, Arrival::Arrived(1.0));
    for k in 0..rig.screws.len() {
        solver.lock_screw(state, &controls, k);
    }
    rest(solver, state, &rig.idle());
    rig.idle()
}

/// Loads the block by `force` along z and lets it come to rest.
fn load(solver: &mut Solver<'_>, state: &mut State, from: &mut Controls, force: f64) {
    let mut to = from.clone();
    to.instrument = stack(&Vec3::new(0.0, 0.0, force), &Vec3::zeros());
    let arrival = solver.ramp(state, from, &to, GENTLE, None);
    assert_eq!(arrival, Arrival::Arrived(1.0));
    certified(solver, state, &to);
    *from = to;
}

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
fn an_outer_load_is_shared_as_in_a_bolted_joint_until_it_opens() {
    let mut rig = block();
    // Open, the joint leaves one screw nothing that would keep the block from spinning about it.
    rig.envelope = Some(against_turning(100.0));
    let mut solver = Solver::new(&rig);
    let mut state = rig.laid(Pose::default());
    let mut controls = tighten(&mut solver, &mut state, 120.0);
    let bolt = rig.screws[0].stiffness().axial;
    let share = bolt / (bolt + 10.0 * 200.0);
    let opens = 120.0 / (1.0 - share);
    for force in [20.0, 60.0, 0.99 * opens, 1.2 * opens, 2.0 * opens] {
        load(&mut solver, &mut state, &mut controls, force);
        let pull = solver.screw_report(&state, &controls, 0).axial;
        let pressed = solver.bed_forces(&state).0.z;
        let open = force > opens;
        near(
            pull,
            if open { force } else { 120.0 + share * force },
            BALANCE,
        );
        near(
            pressed,
            if open {
                0.0
            } else {
                120.0 - (1.0 - share) * force
            },
            BALANCE,
        );
    }
}

#[test]
fn a_fragment_pressed_home_takes_the_preload_from_the_head_which_never_pulls_it_out() {
    let rig = block();
    let mut solver = Solver::new(&rig);
    let mut state = rig.laid(Pose::default());
    let mut controls = tighten(&mut solver, &mut state, 120.0);
    let bolt = rig.screws[0].stiffness().axial;
    let share = bolt / (bolt + 10.0 * 200.0);
    let spent = 120.0 / share;
    for force in [0.5 * spent, 0.99 * spent, 1.01 * spent, 3.0 * spent] {
        load(&mut solver, &mut state, &mut controls, -force);
        let pull = solver.screw_report(&state, &controls, 0).axial;
        let expected = (120.0 - share * force).max(0.0);
        near(pull, expected, 2.0 * BALANCE);
        let bears = if force > spent {
            force
        } else {
            120.0 + (1.0 - share) * force
        };
        near(solver.bed_forces(&state).0.z, bears, 2.0 * BALANCE);
    }
    // And back: a lost preload returns, nothing has slipped along the axis.
    load(&mut solver, &mut state, &mut controls, 0.0);
    near(
        solver.screw_report(&state, &controls, 0).axial,
        120.0,
        2.0 * BALANCE,
    );
}

#[test]
fn a_fraction_of_the_preload_survives_relaxation() {
    let rig = block();
    let mut solver = Solver::new(&rig);
    let mut state = rig.laid(Pose::default());
    let from = tighten(&mut solver, &mut state, 120.0);
    let bolt = rig.screws[0].stiffness().axial;
    let Setting::Locked { feed, .. } = &mut state.screws[0] else {
        panic!("not locked")
    };
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
fn sideways_it_resists_with_the_stiffness_of_its_shank() {
    let mut rig = aloft();
    rig.screws.push(down(0.0, 0.0));
    let k = rig.screws[0].stiffness();
    let mut solver = Solver::new(&rig);
    for direction in [[1.0, 0.0, 0.0], [0.6, -0.8, 0.0]] {
        // Turning forbidden: the shift alone, K_ss δ.
        let mut state = rig.laid(Pose::default());
        let idle = tighten(&mut solver, &mut state, 0.0);
        let mut controls = push_from(&rig, &state, &idle, direction, true);
        for distance in [0.1, 0.5, 2.0] {
            let found = push(&mut solver, &mut state, &mut controls, distance, 4);
            near(found, k.shift * distance, BALANCE);
            let report = solver.screw_report(&state, &controls, 0);
            near(report.bearing.norm(), k.shift * distance, BALANCE);
            near(report.axial, 0.0, 0.0);
        }
    }
}

#[test]
fn sideways_and_free_to_turn_it_yields_by_its_flexibility() {
    let mut rig = aloft();
    rig.screws.push(down(0.0, 0.0));
    let (scapula, fragment) = SHANK.sides();
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
    held.envelope = Some(rimhold::mechanics::Envelope {
        shift_stiffness: 1e-6,
        turn_stiffness: 1e-6,
        rest: Pose::default(),
    });
    let mut solver = Solver::new(&held);
    let mut controls = push_from(&held, &state, &idle, [1.0, 0.0, 0.0], false);
    let distance = 1e-3;
    let found = push(&mut solver, &mut state, &mut controls, distance, 2);
    near(found / (distance / flexibility), 1.0, 1e-6);
}

#[test]
fn two_screws_resist_a_turn_by_a_couple_and_one_does_not() {
    // A turn φ about the normal moves each of two holes a apart by 2(a/2) sin(φ/2) in the plane: the
    // energy is k a²/2 (1 − cos φ), the moment k a²/2 sin φ. Their shanks stay parallel to the axis.
    let apart = 9.0;
    let mut rig = aloft();
    rig.screws.push(down(-0.5 * apart, 0.0));
    rig.screws.push(down(0.5 * apart, 0.0));
    let k = rig.screws[0].stiffness().shift;
    let mut solver = Solver::new(&rig);
    for angle in [0.001, 0.05, 0.3] {
        let mut state = rig.laid(Pose::default());
        let idle = tighten(&mut solver, &mut state, 0.0);
        state.configuration.pose.turn = Rotation::new(Vec3::new(0.0, 0.0, angle));
        let net = solver.net_wrench(&state, &idle);
        near(upper(&net).norm(), 0.0, 1e-11);
        // Rounding of k a² = 1e4 N·mm.
        let moment = Vec3::new(0.0, 0.0, -0.5 * k * apart * apart * f64::sin(angle));
        near((lower(&net) - moment).norm(), 0.0, 1e-10);
    }
    let mut one = aloft();
    one.screws.push(down(0.0, 0.0));
    let mut solver = Solver::new(&one);
    let mut state = one.laid(Pose::default());
    let idle = tighten(&mut solver, &mut state, 0.0);
    state.configuration.pose.turn = Rotation::new(Vec3::new(0.0, 0.0, 0.3));
    near(solver.net_wrench(&state, &idle).norm(), 0.0, 1e-12);
}

#[test]
fn tilted_about_its_hole_it_resists_by_bending() {
    // About the hole nothing shifts: the energy is K_tt sin²φ/2, the couple K_tt sin φ cos φ, with the
    // force K_st sin φ beside it. The head is left without a preload, the bed out of reach.
    let rig = block();
    let k = rig.screws[0].stiffness();
    let mut solver = Solver::new(&rig);
    for angle in [0.01f64, 0.3] {
        let mut state = rig.laid(Pose {
            shift: Vec3::new(0.0, 0.0, 20.0),
            ..Pose::default()
        });
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
        near(
            (lower(&net) - Vec3::new(0.0, -bends, 0.0)).norm(),
            0.0,
            1e-10,
        );
        near(upper(&net).norm(), (k.couple * angle.sin()).abs(), 1e-11);
        let energy = 0.5 * k.slope * angle.sin().powi(2);
        near(solver.stored_energy(&state, &idle), energy, 1e-11);
    }
}

#[test]
fn it_holds_the_fragment_where_that_lay_when_it_was_drilled() {
    let mut rig = aloft();
    rig.screws.push(down(3.0, -2.0));
    let pose = Pose {
        shift: Vec3::new(1.0, -2.0, 0.5),
        turn: Rotation::new(Vec3::new(0.1, -0.05, 0.2)),
    };
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

#[test]
fn pressure_on_bone_is_foundation_times_settling() {
    // Sides so long that both are semi-infinite: under a force V at the fracture plane each settles by
    // 2λV/k there, and bone bears k₀ times that.
    let shank = Shank {
        grip: 200.0,
        working: 200.0,
        ..SHANK
    };
    let mut rig = aloft();
    let head = Vec3::new(0.0, 0.0, 200.0);
    rig.screws.push(Screw::new(head, -Vec3::z(), shank));
    let mut solver = Solver::new(&rig);
    let mut state = rig.laid(Pose::default());
    let idle = tighten(&mut solver, &mut state, 0.0);
    state.configuration.pose.shift = Vec3::new(0.0, 0.2, 0.0);
    let report = solver.screw_report(&state, &idle, 0);
    // Each side settles by half of the shift.
    near(report.pressure, 40.0 * 0.1, 1e-11);
}
