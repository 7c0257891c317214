//! Orders of ties for drawing: each solved by `study::tie` on a construct whose ties are permuted,
//! ranked here as plainly as drawing needs.

use rimhold::case::{Case, Construct, ConstructFile};
use rimhold::study::{self, result::*};

/// All orders of `0..n` (Heap's algorithm needs no table), the given one first.
fn permutations(n: usize) -> Vec<Vec<usize>> {
    let mut all = vec![Vec::new()];
    for k in 0..n {
        all = all
            .into_iter()
            .flat_map(|order: Vec<usize>| {
                (0..=order.len()).rev().map(move |at| {
                    let mut next = order.clone();
                    next.insert(at, k);
                    next
                })
            })
            .collect();
    }
    all
}

pub fn construct(case: &Case, name: &str) -> Construct {
    ConstructFile::open(name).unwrap().fit(case).unwrap()
}

/// Ties of one limb each.
pub fn one_by_one(mut construct: Construct) -> Construct {
    construct.ties = construct
        .ties
        .iter()
        .flat_map(|tie| {
            tie.limbs.iter().map(|k| {
                let mut single = tie.clone();
                single.limbs = vec![*k];
                single
            })
        })
        .collect();
    construct
}

/// The study of every order (or of the construct's own alone).
pub fn orders(case: &Case, construct: &Construct, all: bool) -> Orders {
    let orders = if all {
        permutations(construct.ties.len())
    } else {
        vec![(0..construct.ties.len()).collect()]
    };
    let rig = study::rig(case, construct, Start::Displaced);
    let mut runs: Vec<OrderRun> = orders
        .into_iter()
        .map(|order| {
            let mut permuted = construct.clone();
            permuted.ties = order.iter().map(|k| construct.ties[*k].clone()).collect();
            let (hold, _) = study::tie(case, &permuted, &rig, Start::Displaced);
            let words: Vec<String> = permuted
                .ties
                .iter()
                .map(|t| {
                    let limbs = t.limbs.iter().map(|k| construct.limbs[*k].name.as_str());
                    limbs.collect::<Vec<_>>().join("+")
                })
                .collect();
            OrderRun {
                own: order.is_sorted(),
                label: words.join(", "),
                rank: None,
                residual_step: hold.tied.as_ref().map(|t| t.measures.step.value.abs()),
                worse: Vec::new(),
                push: None,
                order,
                hold,
            }
        })
        .collect();
    let key = |r: &OrderRun| r.residual_step.unwrap_or(f64::INFINITY);
    runs.sort_by(|a, b| key(a).total_cmp(&key(b)));
    for (k, run) in runs.iter_mut().enumerate() {
        run.rank = run.residual_step.map(|_| k + 1);
    }
    let pose = study::displaced_pose(case);
    Orders {
        construct: construct.name.clone(),
        from: Start::Displaced,
        before: study::measures(&case.fragment, &pose),
        band: 0.1,
        sampled: None,
        runs,
        reading: Vec::new(),
    }
}
