//! Consistent tangents against central finite differences.

use rimhold::case::{Case, ConstructFile};
use rimhold::mechanics::{Controls, Solver, Strand};
use rimhold::study;

#[test]
fn whole_rig() {
    let case = Case::open("quarter").unwrap();
    for name in [
        "single-row",
        "two-by-two-crossed",
        "mattress",
        "linked-pair",
        "crater-fan",
    ] {
        let construct = ConstructFile::open(name).unwrap().fit(&case).unwrap();
        let rig = study::rig(&case, &construct, study::result::Start::Reduced);
        let mut solver = Solver::new(&rig);
        let mut state = rig.laid(Default::default());
        let mut controls = Controls::idle(rig.limbs.len());
        for k in 0..rig.limbs.len() {
            state.strands[k] = Strand::Pulled;
            controls.pull[k] = 30.0;
        }
        let (r, _) = solver.linearise(&state, &controls);
        let n = r.len();
        let bump: Vec<f64> = (0..n)
            .map(|i| {
                if i == n - 1 {
                    0.0
                } else {
                    0.02 * ((i * i) as f64 + 1.0).sin()
                }
            })
            .collect();
        state.nudge(&bump);
        for tied in [false, true] {
            if tied {
                for k in 0..rig.limbs.len() {
                    solver.lock(&mut state, &controls, k, vec![0.0; rig.limbs[k].segments()]);
                }
                state.nudge(&bump);
            }
            let (_, k) = solver.linearise(&state, &controls);
            let h = 1e-6;
            for j in 0..n - 1 {
                let mut e = vec![0.0; n];
                e[j] = h;
                let mut a = state.clone();
                a.nudge(&e);
                e[j] = -h;
                let mut b = state.clone();
                b.nudge(&e);
                let d = (solver.linearise(&a, &controls).0 - solver.linearise(&b, &controls).0)
                    / (2.0 * h);
                for i in 0..n - 1 {
                    let (x, y) = (d[i], k[(i, j)]);
                    if (x - y).abs() > 1e-3 * (1.0 + x.abs()) {
                        println!(
                            "{name} tied {tied} row {i} col {j}: fd {x:.4} tangent {y:.4} of {n}"
                        );
                    }
                }
            }
        }
    }
}
