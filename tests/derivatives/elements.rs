//! Hand-built rigs of one element each, away from kinks.

use crate::derivatives::difference::compare_all;
use crate::derivatives::rigs::{self, Path, lifted, tied, turned};
use nalgebra::{UnitQuaternion, Vector3, Vector6};
use rimhold::mechanics::{
    Anchor, Bed, BedLaw, Controls, DeadLoad, Envelope, Motion, Outline, Passage, Pose, Screw, Shank, Solver, Spring,
    Strand, Tether, Vertex,
};
use rimhold::verify::rigging::SHANK;

type Vec3 = Vector3<f64>;

#[test]
fn limb_taut_and_slack() {
    let rig = rigs::bridge(0.0, None);
    let mut state = rig.laid(lifted());
    let controls = Controls::idle(1);
    tied(&rig, &mut state, &[20.0, 20.0]);
    compare_all("taut", &rig, &state, &controls);
    // 0.5 mm of extra material in each segment: nothing is stretched.
    let Strand::Tied { rest, .. } = &mut state.strands[0] else { unreachable!() };
    rest.iter_mut().for_each(|s| *s += 0.5);
    compare_all("slack", &rig, &state, &controls);
    let (residual, tangent) = crate::derivatives::difference::linearise(&rig, &state, &controls);
    assert_eq!(residual.amax(), 0.0, "a slack limb pulls");
    assert_eq!(tangent.view((0, 0), (6, 6)).amax(), 0.0, "a slack limb is stiff");
}

#[test]
fn capstan_sticks_and_slips_either_way() {
    // The turn of the bridge is above 1.5 rad, so that 0.3 bounds the ratio by more than e^0.45.
    for stiffness in [None, Some(30.0)] {
        let rig = rigs::bridge(0.3, stiffness);
        let controls = Controls::idle(1);
        for (name, tensions) in [("stick", [20.0, 23.0]), ("forward", [10.0, 60.0]), ("backward", [60.0, 10.0])] {
            let mut state = rig.laid(lifted());
            tied(&rig, &mut state, &tensions);
            let before = rigs::ratio(&rig, &state);
            assert_eq!((before - tensions[1] / tensions[0]).abs() < 1e-9, name == "stick", "{name}: ratio {before}");
            compare_all(name, &rig, &state, &controls);
        }
    }
}

#[test]
fn strand_over_many_turns() {
    for (name, tensions) in [
        ("rising", [5.0, 15.0, 40.0, 90.0]),
        ("falling", [90.0, 40.0, 15.0, 5.0]),
        ("a peak in the middle", [10.0, 70.0, 12.0, 11.0]),
        ("a dip in the middle", [50.0, 8.0, 8.5, 60.0]),
    ] {
        for locked in [false, true] {
            let mut path = rigs::long_path();
            if locked {
                path.passages[2] = Passage::Locked;
            }
            let rig = rigs::of(path);
            let mut state = rig.laid(turned());
            tied(&rig, &mut state, &tensions);
            compare_all(name, &rig, &state, &Controls::idle(1));
        }
    }
}

#[test]
fn limb_while_it_is_pulled() {
    let rig = rigs::of(rigs::long_path());
    let mut state = rig.laid(turned());
    state.strands[0] = Strand::Pulled;
    let mut controls = Controls::idle(1);
    controls.pull[0] = 40.0;
    compare_all("pulled", &rig, &state, &controls);
}

#[test]
fn closed_strand_through_two_eyelets() {
    for tensions in [[30.0, 31.0, 30.5, 30.2], [10.0, 50.0, 80.0, 20.0]] {
        for stiffness in [None, Some(25.0)] {
            let rig = rigs::closed(stiffness);
            let mut state = rig.laid(turned());
            tied(&rig, &mut state, &tensions);
            compare_all("closed", &rig, &state, &Controls::idle(1));
        }
    }
}

#[test]
fn loop_on_a_sprung_anchor_through_a_sprung_bite() {
    let path = |reach: f64| Path {
        anchors: vec![(Vec3::new(-2.0, 1.0, 3.0), Some(30.0))],
        vertices: vec![
            Vertex::Anchor(0),
            Vertex::Bite { point: Vec3::new(-2.0 + reach, 1.5, 3.0), spring: Spring::linear(15.0) },
            Vertex::Anchor(0),
        ],
        passages: vec![Passage::Sliding(0.1); 3],
        closed: false,
    };
    let rig = rigs::of(path(8.0));
    let mut state = rig.laid(turned());
    tied(&rig, &mut state, &[22.0, 23.0]);
    state.nudge(&[0.1, -0.2, 0.15, -0.3, 0.1, 0.2, 0.05, 0.02, -0.01, 0.01, 0.02, 0.03, 0.0]);
    compare_all("loop", &rig, &state, &Controls::idle(1));
    // Bite and anchor 0.7 mm apart: the segments bear on each other.
    let mut near = path(0.5);
    near.anchors[0].0.z += 6.0;
    let rig = rigs::of(near);
    let mut state = rig.laid(Pose { shift: Vec3::new(0.0, 0.0, 6.0), ..Pose::default() });
    tied(&rig, &mut state, &[22.0, 23.0]);
    compare_all("seated", &rig, &state, &Controls::idle(1));
    let axial = rimhold::mechanics::Solver::new(&rig).limb_report(&state, &Controls::idle(1), 0).axial;
    assert!(axial.iter().all(|f| *f < 0.0), "not seated: {axial:?}");
}

/// A bed in the axes of a fragment (a left-handed set) that is pressed, turned and slid.
fn bed(friction: f64, slide: f64, press: f64) {
    let (case_bed, reference) = rigs::crater(friction);
    for bed in [rigs::block(friction), case_bed] {
        let normal = bed.normal();
        let along: Vec3 = bed.axes.column(0).into();
        let rig = rigs::with_bed(bed, reference);
        let pose = Pose {
            shift: -normal * press + along * slide + Vec3::new(1e-3, -2e-3, 5e-4),
            turn: UnitQuaternion::new(Vec3::new(2e-4, 1e-4, -3e-4)),
        };
        // Laid reduced, then moved: the shear of the move is in the bed.
        let mut state = rig.laid(Pose::default());
        state.configuration.pose = pose;
        compare_all("bed", &rig, &state, &Controls::idle(0));
    }
}

#[test]
fn bed_sticks() {
    bed(1.2, 0.01, 0.5);
}

#[test]
fn bed_slips() {
    // The crater's weight is one for a slide of 0.2 mm only where cells lie deeper than that; at the
    // others the difference would pass its kink, which the faded edge below keeps away from.
    let rig = rigs::with_bed(rigs::block(0.2), Vec3::new(1.0, 2.0, 3.0));
    let mut state = rig.laid(Pose::default());
    state.configuration.pose =
        Pose { shift: Vec3::new(0.3, 0.2, -0.4), turn: UnitQuaternion::new(Vec3::new(2e-3, 1e-3, 8e-3)) };
    compare_all("slip", &rig, &state, &Controls::idle(0));
}

#[test]
fn bed_open() {
    let rig = rigs::with_bed(rigs::block(0.5), Vec3::new(1.0, 2.0, 3.0));
    let state = rig.laid(lifted());
    compare_all("open", &rig, &state, &Controls::idle(0));
    let (residual, tangent) = crate::derivatives::difference::linearise(&rig, &state, &Controls::idle(0));
    assert_eq!(residual.amax(), 0.0, "an open bed presses");
    assert_eq!(tangent.view((0, 0), (6, 6)).amax(), 0.0, "an open bed is stiff");
}

#[test]
fn bed_on_its_faded_edge() {
    // One cell near each border of the crater, slid so that its weight is a fraction.
    let (whole, reference) = rigs::crater(0.5);
    let fragment = rigs::case().fragment;
    let edge = 0.5;
    for friction in [0.05, 1.5] {
        let mut seen = 0;
        for cell in &whole.cells {
            // A slide that takes the cell 0.2 mm beyond the outline, by its gradient there.
            let (q, gradient) = fragment.outline(cell.t, cell.m);
            let steepness = gradient[0].hypot(gradient[1]);
            if q > 0.6 || steepness == 0.0 {
                continue;
            }
            let out = gradient.map(|g| -g * (q + 0.2) / (steepness * steepness));
            let weight = 1.0 + fragment.outline(cell.t + out[0], cell.m + out[1]).0 / edge;
            if !(0.1..0.9).contains(&weight) {
                continue;
            }
            let bed = Bed::from_cells(
                whole.origin,
                whole.axes,
                BedLaw { friction, ..whole.law },
                Outline::Crater { fragment: Box::new(fragment.clone()), edge },
                // A second cell only keeps the radius of gyration from being zero; it stays open.
                &[(cell.t, cell.m, 2.0)],
            );
            let shift = bed.axes * Vec3::new(out[0], out[1], -0.6);
            let rig = rigs::with_bed(bed, reference);
            let mut state = rig.laid(Pose { shift, ..Pose::default() });
            // Shear of 0.08 mm more than was laid in: stuck at μ = 1.5, slipped at μ = 0.05.
            state.bed.t[0] += 0.06;
            state.bed.m[0] -= 0.05;
            compare_all("edge", &rig, &state, &Controls::idle(0));
            seen += 1;
        }
        assert!(seen > 20, "only {seen} cells on the edge");
    }
}

#[test]
fn envelope_at_a_large_turn() {
    let mut rig = rigs::with_bed(rigs::block(0.5), Vec3::new(1.0, 2.0, 3.0));
    rig.envelope = Some(Envelope {
        shift_stiffness: 1.7,
        turn_stiffness: 140.0,
        rest: Pose { shift: Vec3::new(0.3, -1.0, 0.2), turn: UnitQuaternion::new(Vec3::new(0.1, -0.2, 0.15)) },
    });
    let state =
        rig.laid(Pose { shift: Vec3::new(2.0, -3.0, 6.0), turn: UnitQuaternion::new(Vec3::new(1.0, 0.5, -0.7)) });
    // The bed would touch at so large a turn: out of its reach.
    let mut state = state;
    state.configuration.pose.shift.z = 40.0;
    compare_all("envelope", &rig, &state, &Controls::idle(0));
}

#[test]
fn tether_taut_and_slack() {
    for slack in [0.2, 9.0] {
        let mut rig = rigs::with_bed(rigs::block(0.5), Vec3::new(1.0, 2.0, 3.0));
        rig.tethers.push(Tether {
            fragment: Vec3::new(6.0, -8.0, 1.0),
            scapula: Vec3::new(5.0, -10.0, 0.0),
            stiffness: 20.0,
            slack,
        });
        let state = rig.laid(lifted());
        let tension = rig.tethers[0].tension(state.pose(), &rig.reference);
        assert_eq!(tension > 0.0, slack < 1.0, "tension {tension}");
        compare_all("tether", &rig, &state, &Controls::idle(0));
    }
}

#[test]
fn dead_loads_and_an_instrument() {
    let mut rig = rigs::with_bed(rigs::block(0.5), Vec3::new(1.0, 2.0, 3.0));
    for during_tying in [false, true] {
        rig.loads.push(DeadLoad { point: Vec3::new(7.0, -4.0, 2.0), force: Vec3::new(-6.0, 3.0, 9.0), during_tying });
    }
    let mut controls = Controls::idle(0);
    controls.late_loads = 0.6;
    controls.instrument = Vector6::new(1.0, -2.0, 3.0, 10.0, 20.0, -30.0);
    compare_all("dead loads", &rig, &rig.laid(turned()), &controls);
}

#[test]
fn push_at_a_point_off_the_centre() {
    for guided in [false, true] {
        let mut rig = rigs::with_bed(rigs::block(0.5), Vec3::new(1.0, 2.0, 3.0));
        rig.envelope = Some(Envelope { shift_stiffness: 1.0, turn_stiffness: 100.0, rest: Pose::default() });
        let mut state = rig.laid(turned());
        state.configuration.load = 37.0;
        let mut controls = Controls::idle(0);
        controls.motion = Motion::Push {
            direction: Vec3::new(0.3, -0.9, 0.2).normalize(),
            point: Vec3::new(6.0, 5.0, -4.0),
            from: Vec3::new(6.5, 5.0, -4.0),
            distance: 0.7,
            guided,
        };
        compare_all("push", &rig, &state, &controls);
    }
}

#[test]
fn an_anchor_alone_is_its_spring() {
    // Closed form: an unloaded anchor spring has the tangent −k_a and no force at its place.
    let mut rig = rigs::with_bed(rigs::block(0.5), Vec3::zeros());
    rig.add_anchor(Anchor { place: Vec3::new(1.0, 2.0, 3.0), spring: Some(Spring::linear(42.0)) });
    let state = rig.laid(lifted());
    let (residual, tangent) = crate::derivatives::difference::linearise(&rig, &state, &Controls::idle(0));
    assert_eq!(residual.amax(), 0.0);
    for i in 0..3 {
        assert_eq!(tangent[(i, i)], -42.0);
    }
}

#[test]
fn screws_in_bone_that_yields() {
    for strength in [0.5, 2.0] {
        let shank = Shank { grip: 5.0, strength, ..SHANK };
        let mut rig = rigs::with_bed(rigs::block(0.5), Vec3::new(1.0, 2.0, 3.0));
        for (head, axis) in [([5.0, -3.0, 2.0], [0.2, 0.1, -1.0]), ([-2.0, 6.0, 4.0], [1.0, -0.3, -0.8])] {
            rig.screws.push(Screw::new(head.into(), axis.into(), shank));
        }
        let mut state = rig.laid(turned());
        let controls = rig.idle();
        let solver = Solver::new(&rig);
        for screw in 0..2 {
            solver.place_screw(&mut state, screw);
            solver.lock_screw(&mut state, &controls, screw);
        }
        state.nudge(&[0.3, -0.2, 0.4, 0.02, -0.03, 0.05, 0.0]);
        for screw in 0..2 {
            let share = solver.screw_report(&state, &controls, screw).yielding;
            assert!(share > 0.05 && share < 1.0, "screw {screw}: {share}");
        }
        compare_all("screw in yielding bone", &rig, &state, &controls);
    }
}

#[test]
fn screw_tightened_locked_and_lifted_from_its_head() {
    let shank = Shank { grip: 5.0, ..SHANK };
    // Two screws drilled at a turned pose, seen at another turn of up to a third of a radian.
    for k in 0..3 {
        let mut rig = rigs::with_bed(rigs::block(0.5), Vec3::new(1.0, 2.0, 3.0));
        for (head, axis) in [([5.0, -3.0, 2.0], [0.2, 0.1, -1.0]), ([-2.0, 6.0, 4.0], [1.0, -0.3, -0.8])] {
            rig.screws.push(Screw::new(head.into(), axis.into(), shank));
        }
        let mut state = rig.laid(turned());
        let mut controls = rig.idle();
        controls.tighten = vec![80.0, 120.0];
        let solver = Solver::new(&rig);
        for screw in 0..2 {
            solver.place_screw(&mut state, screw);
            if k > 0 {
                solver.lock_screw(&mut state, &controls, screw);
            }
        }
        // Outward the heads pull harder; inward they lose their preload.
        let out = if k == 2 { -0.8 } else { 0.4 };
        state.nudge(&[0.1, -0.2, out, 0.02, -0.03, 0.05, 0.0]);
        for screw in 0..2 {
            let pull = solver.screw_report(&state, &controls, screw).axial;
            assert_eq!(pull > 0.0, k < 2, "screw {screw} pulls with {pull} N");
        }
        compare_all("screw", &rig, &state, &controls);
    }
}
