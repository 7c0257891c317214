//! Orders of ties: where the order must change nothing, what a tie must leave alone, and when a
//! reducing pull must stop. Sources beside each check.

use crate::closed_form::rigging::{SEAT, bed, bone, certified, limb, near, rigid};
use rimhold::math::Vec3;
use rimhold::mechanics::{Arrival, BedLaw, Controls, Pose, Ramp, Rig, Solver, Strand};
use rimhold::model::{Case, Construct, ConstructFile, Stop, StopRule, TieSpec};
use rimhold::study::result::{PullEnd, Start};
use rimhold::study::{self, Chosen, OrdersPlan};

fn scene(case: &str, construct: &str) -> (Case, Construct) {
    let case = Case::open(case).expect("a built-in case");
    let construct = ConstructFile::open(construct).and_then(|file| file.fit(&case)).expect("a built-in construct");
    (case, construct)
}

/// Every order of so many things.
fn permutations(n: usize) -> Vec<Vec<usize>> {
    if n == 0 {
        return vec![Vec::new()];
    }
    permutations(n - 1)
        .into_iter()
        .flat_map(|p| {
            (0..n).map(move |at| {
                let mut order = p.clone();
                order.insert(at, n - 1);
                order
            })
        })
        .collect()
}

#[test]
fn limbs_pulled_together_do_not_mind_the_order_of_their_names() {
    // One pull has no order. To the last bit: forces are summed limb by limb as the construct lists
    // them.
    for (name, stop) in [
        ("single-row", StopRule::Tension),
        ("single-row", StopRule::Reduced),
        ("one-by-one-bare", StopRule::Tension),
        ("crater-fan", StopRule::Tension),
    ] {
        let (case, construct) = scene("quarter", name);
        let rig = study::rig(&case, &construct, Start::Displaced);
        let mut first = None;
        for order in permutations(construct.limbs.len()) {
            let mut together = construct.clone();
            together.ties = vec![TieSpec { screws: Vec::new(), limbs: order, stop, held: false }];
            let (hold, tied) = study::tie(&case, &together, &rig, Start::Displaced);
            assert!(hold.outcome.is_held(), "{name}: {:?}", hold.outcome);
            let tied = tied.expect("held");
            let found = (*tied.state.pose(), hold.ties[0].tensions.clone(), hold.ties[0].pulled);
            match &first {
                None => first = Some(found),
                Some(first) => assert_eq!(*first, found, "{name}"),
            }
        }
    }
}

#[test]
fn without_friction_constant_tensions_leave_a_pose_that_knows_no_order() {
    // Weights on frictionless pulleys: all forces have a potential, Σ T ℓ plus the bed's, and the
    // pose is its minimum however it was reached (principle of least potential energy).
    let law = BedLaw::plane(10.0, 3.0, 0.0);
    let mut rig = Rig::new(Vec3::zeros(), bed(law, (16, 8)), SEAT);
    for (start, anchor) in [
        ([5.0, 0.5, 2.0], [12.0, 1.0, -6.0]),
        ([-3.0, 3.0, 2.0], [-8.0, 7.0, -6.0]),
        ([-3.0, -3.0, 2.0], [-9.0, -7.0, -5.0]),
    ] {
        let anchor = rigid(&mut rig, anchor);
        rig.add_limb(limb(vec![bone(start), anchor], 0.0, 2000.0));
    }
    let tensions = [20.0, 25.0, 15.0];
    let mut places: Vec<[Vec3; 3]> = Vec::new();
    let mut sums: Vec<f64> = Vec::new();
    for order in permutations(3) {
        let mut solver = Solver::new(&rig);
        let mut state = rig.laid(Pose::default());
        let mut controls = Controls::idle(3);
        for k in order {
            state.strands[k] = Strand::Pulled;
            let mut to = controls.clone();
            to.pull[k] = tensions[k];
            let ramp = Ramp { first: 0.1, largest: 0.2, continued: false, ..Ramp::EVEN };
            let arrival = solver.ramp(&mut state, &controls, &to, ramp, None);
            assert_eq!(arrival, Arrival::Arrived(1.0));
            controls = to;
        }
        certified(&mut solver, &state, &controls);
        places.push(
            [Vec3::zeros(), Vec3::new(8.0, 0.0, 0.0), Vec3::new(0.0, 4.0, 0.0)]
                .map(|p| state.pose().place(&rig.reference, &p)),
        );
        sums.push(solver.bed_forces(&state).0.norm());
    }
    assert!(places[0][0].norm() > 0.1, "it has moved");
    for (place, sum) in places.iter().zip(&sums) {
        for (a, b) in place.iter().zip(&places[0]) {
            // The balance of 1e-9 N over the softest way, T/ℓ of some N/mm.
            near((a - b).norm(), 0.0, 1e-8);
        }
        near(*sum, sums[0], 1e-7);
    }
}

#[test]
fn with_friction_the_order_matters() {
    // The counterpart: without it the check above could not fail.
    let (case, construct) = scene("quarter", "single-row");
    let orders = study::orders(&case, &construct, &Chosen::all(&construct, 1), &OrdersPlan::default(), &());
    let (best, worst) = (orders.best().unwrap(), orders.worst().unwrap());
    assert!(worst.residual_step.unwrap() > best.residual_step.unwrap() + 0.1);
}

#[test]
fn a_tie_leaves_the_material_of_other_limbs_as_it_is() {
    // A knot lets no strand through: Σ S of a tied limb is constant.
    for name in ["single-row", "one-by-one", "two-by-two-crossed", "mattress"] {
        let (case, construct) = scene("quarter", name);
        let rig = study::rig(&case, &construct, Start::Reduced);
        for order in permutations(construct.ties.len()) {
            let mut known: Vec<Option<f64>> = vec![None; construct.limbs.len()];
            for made in 1..=order.len() {
                let mut part = construct.clone();
                part.ties = order[..made].iter().map(|t| construct.ties[*t].clone()).collect();
                let (hold, tied) = study::tie(&case, &part, &rig, Start::Reduced);
                let Some(tied) = tied else {
                    assert!(!hold.outcome.is_held());
                    break;
                };
                for (k, strand) in tied.state.strands.iter().enumerate() {
                    let Strand::Tied { rest, .. } = strand else {
                        continue;
                    };
                    let sum: f64 = rest.iter().sum();
                    match known[k] {
                        // What runs over a turn is taken from one side and added to the other:
                        // rounding of some additions a step.
                        Some(before) => near(sum, before, 1e-11),
                        None => known[k] = Some(sum),
                    }
                }
            }
        }
    }
}

/// The watched projection of a single loop at a pose, worked out here from the case file's own points:
/// the point of the fracture line nearest the bite, moved, along the in-bed direction from the bite to
/// its anchor when the pull starts.
fn watched(case: &Case, construct: &Construct, limb: usize, start: &Pose, now: &Pose) -> f64 {
    let fragment = &case.fragment;
    let path = &construct.limbs[limb].path;
    let (Stop::Anchor { index, .. }, Stop::Bite { point: bite, .. }) = (&path[0], &path[1]) else {
        panic!("a loop starts at its anchor and goes through its bite");
    };
    let line = |t: f64| fragment.bed_point(t, fragment.bed_column(t).0);
    let distance = |t: f64| (line(t) - bite).norm();
    let (mut low, mut high) = (-fragment.half_chord, fragment.half_chord);
    while high - low > 1e-9 {
        let (a, b) = (low + (high - low) / 3.0, high - (high - low) / 3.0);
        if distance(a) < distance(b) {
            high = b;
        } else {
            low = a;
        }
    }
    let point = line(low);
    let pull = construct.anchors[*index].point - start.place(&fragment.centroid, bite);
    let in_bed = (pull - fragment.normal * pull.dot(&fragment.normal)).normalize();
    (now.place(&fragment.centroid, &point) - point).dot(&in_bed)
}

#[test]
fn a_reducing_pull_stops_where_the_watched_point_is_back_or_says_why_not() {
    // What the rule promises (stated in the help and the README), not what a book says.
    let mut ends = [0; 3];
    for case_name in ["quarter", "small", "large"] {
        for name in ["single-row", "one-by-one", "two-by-two", "two-by-two-crossed"] {
            for tension in [5.0, 25.0, 60.0] {
                let (case, mut construct) = scene(case_name, name);
                for limb in &mut construct.limbs {
                    limb.knot_slack = 0.0;
                    limb.tension = tension;
                }
                let rig = study::rig(&case, &construct, Start::Displaced);
                // Where the instrument that laid it there lets go.
                let laid =
                    study::tie(&case, &Construct { ties: Vec::new(), ..construct.clone() }, &rig, Start::Displaced);
                let Some(laid) = laid.1 else { continue };
                let start = *laid.state.pose();
                for first in 0..construct.ties.len() {
                    let mut alone = construct.clone();
                    alone.ties = vec![TieSpec { stop: StopRule::Reduced, ..construct.ties[first].clone() }];
                    let &[limb] = alone.ties[0].limbs.as_slice() else {
                        continue;
                    };
                    let (hold, tied) = study::tie(&case, &alone, &rig, Start::Displaced);
                    let Some(tied) = tied else { continue };
                    let record = &hold.ties[0];
                    let watch = record.watch.expect("a reducing tie watches");
                    let at = |pose: &Pose| watched(&case, &construct, limb, &start, pose);
                    // Two searches for the nearest point, each to 1e-9 mm or better, on a fragment
                    // turned by a tenth of a radian.
                    near(watch.before, at(&start), 1e-8);
                    near(watch.after, at(tied.state.pose()), 1e-8);
                    match record.end {
                        PullEnd::Reduced => {
                            ends[0] += 1;
                            // Within the solver's own tolerance for "reached".
                            near(at(tied.state.pose()), 0.0, 1e-8);
                            assert!(record.pulled < tension);
                        }
                        PullEnd::Cap => {
                            ends[1] += 1;
                            assert!(at(tied.state.pose()) < -1e-8);
                            assert_eq!(record.pulled, tension);
                        }
                        PullEnd::NotReducing => {
                            ends[2] += 1;
                            assert!(watch.before > -0.1);
                            assert_eq!(record.pulled, tension);
                        }
                        PullEnd::Tension => panic!("the rule was to stop when reduced"),
                    }
                }
            }
        }
    }
    println!("reduced {}, cap {}, nothing to reduce {}", ends[0], ends[1], ends[2]);
    assert!(ends[0] > 0 && ends[1] > 0, "{ends:?}");
}

#[test]
fn a_limb_that_does_not_reduce_the_pose_says_so_and_pulls_to_its_tension() {
    // Displaced laterally, the way that loops to the face pull: there is nothing to bring back.
    let (mut case, construct) = scene("quarter", "single-row");
    case.displaced.inferior = 0.0;
    case.displaced.medial = -1.0;
    case.displaced.spin = 0.0;
    let rig = study::rig(&case, &construct, Start::Displaced);
    let start = study::start_pose(&case, Start::Displaced);
    let beyond =
        (0..construct.limbs.len()).filter(|k| watched(&case, &construct, *k, &start, &start) > 0.0).collect::<Vec<_>>();
    assert!(!beyond.is_empty());
    for limb in beyond {
        let mut alone = construct.clone();
        alone.ties = vec![TieSpec { screws: Vec::new(), limbs: vec![limb], stop: StopRule::Reduced, held: false }];
        let (hold, _) = study::tie(&case, &alone, &rig, Start::Displaced);
        if let Some(record) = hold.ties.first() {
            assert_eq!(record.end, PullEnd::NotReducing);
            assert_eq!(record.pulled, construct.limbs[limb].tension);
        }
    }
}

#[test]
fn orders_run_together_are_those_run_alone() {
    // Orders that begin alike share their first ties; that must not change a digit.
    let (case, construct) = scene("quarter", "two-by-two-crossed");
    let construct = construct.split(rimhold::model::Split::Anchor);
    let plan = OrdersPlan::default();
    let all = study::orders(&case, &construct, &Chosen::all(&construct, 1), &plan, &());
    assert_eq!(all.runs.len(), 24);
    let rig = study::rig(&case, &construct, Start::Displaced);
    for run in &all.runs {
        let mut alone = construct.clone();
        alone.ties = run.order.iter().map(|t| construct.ties[*t].clone()).collect();
        let (mut hold, _) = study::tie(&case, &alone, &rig, Start::Displaced);
        if let Some(tied) = &mut hold.tied {
            tied.bed.cells.clear();
        }
        assert_eq!(hold, run.hold, "{}", run.label);
    }
    // Ranks: ascending steps, and a band no wider than it says.
    let steps: Vec<(usize, f64)> = all.runs.iter().filter_map(|r| r.rank.zip(r.residual_step)).collect();
    assert!(steps.windows(2).all(|p| p[0].0 <= p[1].0 && p[0].1 <= p[1].1));
    for (rank, step) in &steps {
        let first = steps.iter().find(|s| s.0 == *rank).unwrap().1;
        assert!(step - first <= all.band);
        assert_eq!(steps.iter().position(|s| s.0 == *rank).unwrap() + 1, *rank);
    }
}
