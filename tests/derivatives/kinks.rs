//! States that stand exactly on a kink: the tangent is that of one side, and which side is said.

use crate::derivatives::difference::{compare_all, kink};
use crate::derivatives::rigs::{self, lifted, tied};
use nalgebra::{Matrix3, Vector3};
use rimhold::mechanics::{Bed, BedLaw, Controls, Outline, Pose, Rig, Screw, Shank, Solver, State, Strand, Tether};
use rimhold::verify::rigging::SHANK;

type Vec3 = Vector3<f64>;

/// A bed of two cells at ±3 mm along x.
fn two_cells(friction: f64) -> Rig {
    let law = BedLaw::plane(10.0, 3.0, friction);
    let cells = [(-3.0, 0.0, 1.0), (3.0, 0.0, 1.0)];
    let bed = Bed::from_cells(Vec3::zeros(), Matrix3::identity(), law, Outline::Unbounded, &cells);
    rigs::with_bed(bed, Vec3::new(0.0, 0.0, 2.0))
}

fn shift(x: f64, y: f64, z: f64) -> Vec<f64> {
    vec![x, y, z, 0.0, 0.0, 0.0, 0.0]
}

#[test]
fn contact_that_just_opens_counts_as_closed() {
    let rig = two_cells(0.5);
    let state = rig.laid(Pose::default());
    let idle = Controls::idle(0);
    // Pressed with a slide whose shear stays below friction: k_t s < μ k_n z.
    kink("contact", &rig, &state, &idle, &shift(0.5, 0.3, -1.0), &shift(0.0, 0.0, 1.0));
}

/// The two cells pressed by 0.2 mm with their shear exactly at the friction limit along x.
fn at_the_limit(rig: &Rig) -> State {
    let law = rig.bed.law;
    let mut state = rig.laid(Pose { shift: Vec3::new(0.1, 0.0, -0.2), ..Pose::default() });
    state.bed.t.fill(0.1 - law.friction * law.normal * 0.2 / law.shear);
    state.bed.m.fill(0.0);
    state
}

#[test]
fn a_cell_at_its_friction_limit_counts_as_stuck() {
    let rig = two_cells(0.5);
    let state = at_the_limit(&rig);
    let idle = Controls::idle(0);
    kink("friction limit", &rig, &state, &idle, &shift(-1.0, 0.0, 0.0), &shift(1.0, 0.0, 0.0));
    // Pressing harder moves the limit away: still stuck; lifting passes it.
    kink("friction limit", &rig, &state, &idle, &shift(0.0, 0.0, -1.0), &shift(0.0, 0.0, 1.0));
    // A little beyond it slips, and the tangent is that of slipping.
    let mut beyond = state.clone();
    beyond.nudge(&shift(0.01, 0.003, 0.0));
    compare_all("beyond the limit", &rig, &beyond, &idle);
}

#[test]
fn a_strand_locked_at_its_capstan_bound_counts_as_stuck() {
    let rig = rigs::bridge(0.3, None);
    let mut state = rig.laid(lifted());
    state.strands[0] = Strand::Pulled;
    let mut controls = Controls::idle(1);
    controls.pull[0] = 40.0;
    let mut solver = Solver::new(&rig);
    solver.lock(&mut state, &controls, 0, vec![0.0; 2]);
    let idle = Controls::idle(1);
    // The second segment carries more. Whatever stretches it against the first passes the bound.
    let [first, second] = [0, 1].map(|i| solver.limb_report(&state, &idle, 0).lengths[i]);
    assert!(first > 0.0 && second > 0.0);
    let report = solver.limb_report(&state, &idle, 0);
    let away: Vec3 = (report.places[1] - report.places[2]).normalize();
    let back: Vec3 = (report.places[1] - report.places[0]).normalize();
    let out = away - back * back.dot(&away);
    let towards = back - away * away.dot(&back);
    kink("capstan", &rig, &state, &idle, &shift(towards.x, towards.y, towards.z), &shift(out.x, out.y, out.z));
}

#[test]
fn a_strand_without_slack_or_stretch_counts_as_slack() {
    let rig = rigs::bridge(0.0, None);
    let mut state = rig.laid(lifted());
    tied(&rig, &mut state, &[0.0, 0.0]);
    let idle = Controls::idle(1);
    let report = Solver::new(&rig).limb_report(&state, &idle, 0);
    let out = (report.places[1] * 2.0 - report.places[0] - report.places[2]).normalize();
    kink("slack", &rig, &state, &idle, &shift(-out.x, -out.y, -out.z), &shift(out.x, out.y, out.z));
}

#[test]
fn a_tether_at_its_free_length_counts_as_taut() {
    // Its length in the state is its free length to the last bit: three, four, five.
    let mut rig = two_cells(0.5);
    rig.tethers.push(Tether {
        fragment: Vec3::new(3.0, 4.0, 0.0),
        scapula: Vec3::zeros(),
        stiffness: 20.0,
        slack: 0.0,
    });
    let state = rig.laid(Pose::default());
    let (out, back) = (shift(0.6, 0.8, 0.0), shift(-0.6, -0.8, 0.0));
    let mut lifted = rig.clone();
    // The bed far from contact, so that the tether acts alone.
    lifted.bed = Bed::from_cells(
        Vec3::zeros(),
        Matrix3::identity(),
        BedLaw::plane(0.0, 0.0, 0.0),
        Outline::Unbounded,
        &[(0.0, 1.0, 1.0), (0.0, -1.0, 1.0)],
    );
    kink("tether", &lifted, &state, &Controls::idle(0), &out, &back);
}

#[test]
fn a_screw_whose_head_just_touches_counts_as_pressing() {
    let mut rig = rigs::with_bed(rigs::block(0.5), Vec3::new(1.0, 2.0, 3.0));
    let shank = Shank { grip: 5.0, ..SHANK };
    let (head, axis) = (Vec3::new(0.0, 0.0, 5.0), -Vec3::z());
    rig.screws.push(Screw::new(head, axis, shank));
    // The block's bed is open; locked without any pull, the head stands at its limit to the last bit.
    let mut state = rig.laid(Pose { shift: Vec3::new(0.0, 0.0, 8.0), ..Pose::default() });
    let idle = rig.idle();
    let solver = Solver::new(&rig);
    solver.place_screw(&mut state, 0);
    solver.lock_screw(&mut state, &idle, 0);
    let (out, back) = (shift(0.1, 0.0, 1.0), shift(0.1, 0.0, -1.0));
    kink("screw", &rig, &state, &idle, &out, &back);
}

#[test]
fn a_segment_of_just_the_seat_length_counts_as_open() {
    let rig = rigs::of(rigs::Path {
        anchors: vec![(Vec3::new(0.0, 0.0, 16.0), None)],
        vertices: vec![
            rimhold::mechanics::Vertex::Anchor(0),
            rimhold::mechanics::Vertex::Bone(Vec3::new(1.0, 0.0, 8.0)),
            rimhold::mechanics::Vertex::Anchor(0),
        ],
        passages: vec![rimhold::mechanics::Passage::Sliding(0.0); 3],
        closed: false,
    });
    // Both segments are 1 mm, the seat's length; the block's bed is open.
    let mut state = rig.laid(Pose { shift: Vec3::new(0.0, 0.0, 8.0), ..Pose::default() });
    state.strands[0] = Strand::Tied { rest: vec![0.9, 0.9], feed: vec![0.0, 0.0] };
    let idle = Controls::idle(1);
    kink("seat", &rig, &state, &idle, &shift(1.0, 0.0, 0.4), &shift(-1.0, 0.0, 0.4));
}

#[test]
fn support_just_fading_or_just_faded() {
    // A cell of the crater's middle column moved along the chord to the end of the crater, where
    // the outline's margin is c − |t| with the slope one.
    let fragment = rigs::case().fragment;
    let edge = 0.5;
    let (whole, reference) = rigs::crater(0.5);
    let (top, bottom) = fragment.bed_column(0.0);
    let middle = 0.5 * (top + bottom);
    // Deeper in the middle than the margin that is left at the end: the wall is farther than that.
    let place = fragment.half_chord - 2.0;
    let (top, bottom) = fragment.bed_column(place);
    let m = if bottom > top { 0.5 * (top + bottom) } else { middle };
    let outline = Outline::Crater { fragment: Box::new(fragment.clone()), edge };
    let bed = Bed::from_cells(whole.origin, whole.axes, whole.law, outline, &[(place, m, 2.0)]);
    // Find the slides at which the margin is 0 and −edge, by bisection along the chord.
    let margin = |slide: f64| fragment.outline(place + slide, m).0;
    let slide_at = |value: f64| {
        let (mut low, mut high) = (0.0, 8.0);
        for _ in 0..200 {
            let middle = 0.5 * (low + high);
            if margin(middle) > value {
                low = middle;
            } else {
                high = middle;
            }
        }
        // The last point that is not beyond, less what the rounding of a pose may carry it on.
        low - 1e-12
    };
    let rig = rigs::with_bed(bed, reference);
    for (name, value, own) in [("full", 0.0, -1.0), ("none", -edge, -1.0)] {
        let slide = slide_at(value);
        let state = rig.laid(Pose { shift: rig.bed.axes * Vec3::new(slide, 0.0, -0.5), ..Pose::default() });
        let along: Vec3 = rig.bed.axes.column(0).into();
        let to = |s: f64| shift(along.x * s, along.y * s, along.z * s);
        kink(name, &rig, &state, &Controls::idle(0), &to(own), &to(-own));
    }
}
