//! Whole rigs on their way through tying and pushing.

use crate::derivatives::difference::{SHORT, compare};
use rimhold::mechanics::{Controls, Motion, Ramp, Rig, Solver, State, Strand};
use rimhold::model::{CONSTRUCTS, Case, ConstructFile};
use rimhold::study::{self, result::Start};

/// Moves every unknown a little, so that cells and turns that stand exactly on their kinks leave
/// them: by 2e-3 mm and 2e-4 rad in a pattern without symmetry.
fn jolt(state: &mut State, size: usize, seed: usize) {
    let by: Vec<f64> = (0..size)
        .map(|i| {
            let scale = match i + 7 {
                k if k >= size + 6 => 0.0,
                k if k >= size + 3 => 2e-4,
                _ => 2e-3,
            };
            scale * (1.0 + (i * i + 3 * seed) as f64).sin()
        })
        .collect();
    state.nudge(&by);
}

struct Tally {
    columns: usize,
    kinked: usize,
    worst: f64,
}

impl Tally {
    fn look(&mut self, name: &str, rig: &Rig, state: &State, controls: &Controls) {
        let size = Solver::new(rig).linearise(state, controls).0.len();
        for seed in 0..2 {
            let mut state = state.clone();
            jolt(&mut state, size, seed);
            let found = compare(name, rig, &state, controls, SHORT);
            self.columns += found.columns;
            self.kinked += found.kinked;
            self.worst = self.worst.max(found.worst);
        }
    }
}

#[test]
fn shipped_constructs_while_tied_and_pushed() {
    let mut tally = Tally { columns: 0, kinked: 0, worst: 0.0 };
    for case in ["quarter", "hinge-intact"] {
        let case = Case::open(case).expect("a built-in case");
        for (name, _) in CONSTRUCTS {
            let construct = ConstructFile::open(name).and_then(|file| file.fit(&case)).expect("a built-in construct");
            let rig = study::rig(&case, &construct, Start::Reduced);
            let limbs = rig.limbs.len();
            // All pulled and tightened at once.
            let mut state = rig.laid(Default::default());
            let mut controls = rig.idle();
            for k in 0..limbs {
                state.strands[k] = Strand::Pulled;
                controls.pull[k] = 20.0 + 3.0 * k as f64;
            }
            for k in 0..rig.screws.len() {
                Solver::new(&rig).place_screw(&mut state, k);
                controls.tighten[k] = 60.0 + 5.0 * k as f64;
            }
            tally.look(&format!("{name} pulled"), &rig, &state, &controls);
            // Tied and pushed.
            let (_, tied) = study::tie(&case, &construct, &rig, Start::Reduced);
            let Some(tied) = tied else { continue };
            tally.look(&format!("{name} tied"), &rig, &tied.state, &tied.controls);
            let mut solver = Solver::new(&rig);
            let (mut state, mut controls) = (tied.state.clone(), tied.controls.clone());
            let point = rig.reference;
            let from = state.pose().place(&rig.reference, &point);
            for goal in [0.02, 0.3, 1.0] {
                let motion = |distance: f64| Motion::Push {
                    direction: -nalgebra::Vector3::y(),
                    point,
                    from,
                    distance,
                    guided: false,
                };
                let mut start = controls.clone();
                if !matches!(start.motion, Motion::Push { .. }) {
                    start.motion = motion(0.0);
                }
                let mut end = start.clone();
                end.motion = motion(goal);
                let ramp = Ramp { first: 0.1, largest: 0.1, continued: false, ..Ramp::EVEN };
                let arrival = solver.ramp(&mut state, &start, &end, ramp, None);
                if !matches!(arrival, rimhold::mechanics::Arrival::Arrived(_)) {
                    break;
                }
                controls = end;
                tally.look(&format!("{name} pushed {goal}"), &rig, &state, &controls);
            }
        }
    }
    println!(
        "{} columns compared, {} left out at a kink, largest error {:.1e} of the largest entry",
        tally.columns, tally.kinked, tally.worst
    );
    assert!(tally.columns > 1000 && 20 * tally.kinked < tally.columns);
}
