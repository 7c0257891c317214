//! Refinement: cells of the bed, steps of a push, steps of a pull.

use rimhold::case::{Case, Construct, ConstructFile};
use rimhold::mechanics::{Arrival, Controls, Ramp, Rig, Solver, State, Strand};
use rimhold::study::{self, PushPlan, Tied, result::Start};

fn open(name: &str, cells: Option<usize>) -> (Case, Construct) {
    let mut case = Case::open("quarter").expect("a built-in case");
    if let Some(cells) = cells {
        case.bed.cells = cells;
    }
    let construct = ConstructFile::open(name)
        .and_then(|file| file.fit(&case))
        .expect("a built-in construct");
    (case, construct)
}

const NAMES: [&str; 4] = [
    "single-row",
    "one-by-one",
    "two-by-two-crossed",
    "crater-fan",
];

/// What the bed bears when tied, and the load at 1 mm.
const QUANTITIES: [&str; 7] = [
    "compression",
    "contact",
    "mean pressure",
    "peak pressure",
    "friction",
    "load at 1 mm",
    "load at 2 mm",
];

fn results(name: &str, cells: usize) -> [f64; 7] {
    let (case, construct) = open(name, Some(cells));
    let rig = study::rig(&case, &construct, Start::Reduced);
    let (hold, tied) = study::tie(&case, &construct, &rig, Start::Reduced);
    let tied = tied.unwrap_or_else(|| panic!("{name}: {:?}", hold.outcome));
    let bed = hold.tied.expect("held").bed;
    let push = study::push(&case, &construct, &rig, &tied, &PushPlan::default());
    [
        bed.compression,
        bed.contact,
        bed.mean_pressure,
        bed.peak_pressure,
        bed.friction,
        push.load_at[1].unwrap_or(f64::NAN),
        push.load_at[2].unwrap_or(f64::NAN),
    ]
}

#[test]
fn cells_of_the_bed() {
    let counts = [150, 300, 600, 1200, 2400];
    let mut failed = Vec::new();
    for name in NAMES {
        let table: Vec<[f64; 7]> = counts.iter().map(|n| results(name, *n)).collect();
        println!(
            "{name}: {counts:?} cells; change and observed order when the cell is halved (150, 600, 2400)"
        );
        for (q, label) in QUANTITIES.iter().enumerate() {
            let column: Vec<String> = table.iter().map(|row| format!("{:10.5}", row[q])).collect();
            let (coarse, middle, fine) = (table[0][q], table[2][q], table[4][q]);
            let change = (middle - fine).abs() / fine.abs();
            let order = ((coarse - middle) / (middle - fine)).abs().log2();
            println!(
                "  {label:14} {} | {:7.3} % order {order:4.1}",
                column.join(" "),
                100.0 * change
            );
            // The goal is half a percent. Cells open one by one, so the order scatters about 1 to 2
            // and single differences are not monotone.
            let allowed = match *label {
                // Area in contact is counted in whole cells: a border of 20 mm through cells of
                // 0.5 mm may be off by a few mm² of the 40 to 80 mm² in contact.
                "contact" | "mean pressure" => 0.03,
                // The largest pressure is that at the middle of the outermost cell, not at the edge:
                // half a cell times the slope of the pressure is missing, which is first order.
                "peak pressure" => 0.05,
                // What is left of friction after slip to and fro remembers when each cell slipped;
                // near the end of a push the whole load hangs on a narrow strip of contact.
                "friction" | "load at 2 mm" => 0.01,
                // Compression and the load at 1 mm.
                _ => 0.005,
            };
            if change.is_nan() || change >= allowed {
                failed.push(format!("{name}: {label} changes by {change}"));
            }
        }
    }
    assert!(failed.is_empty(), "{failed:#?}");
}

#[test]
fn steps_of_a_push() {
    for name in NAMES {
        let (case, construct) = open(name, None);
        let rig = study::rig(&case, &construct, Start::Reduced);
        let (_, tied) = study::tie(&case, &construct, &rig, Start::Reduced);
        let tied = tied.expect("held");
        let loads: Vec<[f64; 3]> = [20, 40, 80]
            .iter()
            .map(|steps| {
                let plan = PushPlan {
                    steps: *steps,
                    ..PushPlan::default()
                };
                study::push(&case, &construct, &rig, &tied, &plan)
                    .load_at
                    .map(|load| load.unwrap_or(f64::NAN))
            })
            .collect();
        for (m, mark) in study::MARKS.iter().enumerate() {
            let [a, b, c] = [loads[0][m], loads[1][m], loads[2][m]];
            let change = (c - b).abs() / c;
            println!(
                "{name}: load at {mark} mm in 20, 40, 80 steps: {a:.5} {b:.5} {c:.5} N, last change {:.4} %",
                100.0 * change
            );
            // Slip is followed along its path by implicit steps: an error of first order in the step,
            // bounded by how far the directions of slip turn within one.
            assert!(change < 0.005, "{name}: {change} at {mark} mm");
        }
    }
}

/// Ties in the construct's order from the reduced pose as the study of tying does, but with steps of
/// one's own choice. From the reduced pose no point is short of its place, so every pull goes to its
/// target.
fn tie_in_steps(construct: &Construct, rig: &Rig, ramp: Ramp) -> Tied {
    let mut solver = Solver::new(rig);
    let mut state = rig.laid(Default::default());
    let mut controls = Controls::idle(rig.limbs.len());
    let go = |solver: &mut Solver<'_>, state: &mut State, from: &Controls, to: &Controls| {
        let arrival = solver.ramp(state, from, to, ramp, None);
        assert!(matches!(arrival, Arrival::Arrived(_)), "{arrival:?}");
    };
    for tie in &construct.ties {
        let mut to = controls.clone();
        for &k in &tie.limbs {
            state.strands[k] = Strand::Pulled;
            to.pull[k] = construct.limbs[k].tension;
        }
        go(&mut solver, &mut state, &controls, &to);
        controls = to;
        for &k in &tie.limbs {
            let mut feed = vec![0.0; rig.limbs[k].segments()];
            *feed.last_mut().expect("a segment") = construct.limbs[k].knot_slack;
            solver.lock(&mut state, &controls, k, feed);
            controls.pull[k] = 0.0;
        }
        let mut to = controls.clone();
        to.feed = 1.0;
        go(&mut solver, &mut state, &controls, &to);
        controls = to;
        solver.absorb_feed(&mut state, &mut controls);
    }
    Tied { state, controls }
}

#[test]
fn steps_of_a_pull() {
    for name in NAMES {
        let (case, construct) = open(name, None);
        let rig = study::rig(&case, &construct, Start::Reduced);
        let look = |tied: &Tied| {
            let push = study::push(&case, &construct, &rig, tied, &PushPlan::default());
            [
                push.curve[0].compression,
                push.load_at[1].unwrap_or(f64::NAN),
            ]
        };
        let (_, tied) = study::tie(&case, &construct, &rig, Start::Reduced);
        let own = look(&tied.expect("held"));
        // A twentieth and a hundredth of each pull at a time.
        let fine = [0.05, 0.01].map(|step| {
            let ramp = Ramp {
                first: step,
                largest: step,
                continued: false,
            };
            look(&tie_in_steps(&construct, &rig, ramp))
        });
        for (q, label) in ["compression", "load at 1 mm"].iter().enumerate() {
            let change = (own[q] - fine[1][q]).abs() / fine[1][q];
            println!(
                "{name}: {label} {:.4} N as tied, {:.4} and {:.4} in 20 and 100 steps: {:.3} % off",
                own[q],
                fine[0][q],
                fine[1][q],
                100.0 * change
            );
            // As for the steps of a push: implicit steps follow slip with a first-order error.
            assert!(change < 0.005, "{name}: {label} is {change} off");
        }
    }
}
