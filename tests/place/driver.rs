//! The driver on functions of the literature and of geometry, of which it knows nothing.

use rimhold::optimise::{Found, Judged, Plan, Watcher, seek};
use std::sync::atomic::{AtomicUsize, Ordering};

/// A plan that goes on until the simplex is as small as rounding allows.
const SHARP: Plan =
    Plan { starts: 4, particles: 24, rounds: 20, evaluations: 6000, edge: 0.1, least_edge: 1e-8, seed: 1 };

fn free(cost: f64) -> Judged {
    Judged { cost, violation: 0.0 }
}

#[track_caller]
fn at(found: &Found, expected: &[f64], tolerance: f64) {
    for (x, e) in found.point().at.iter().zip(expected) {
        assert!((x - e).abs() < tolerance, "{:?}", found.point());
    }
}

fn rosenbrock(x: &[f64]) -> f64 {
    (1.0 - x[0]).powi(2) + 100.0 * (x[1] - x[0] * x[0]).powi(2)
}

/// Rosenbrock (Comput J 1960;3:175): least value 0 at (1, 1), at the end of a bent valley. A cost of
/// 1e-10 leaves 2e-5 along the valley, whose curvature there is 0.4.
#[test]
fn the_end_of_a_bent_valley() {
    let found = seek(&[[-2.0, 2.0], [-1.0, 3.0]], Some(&[-1.2, 1.0]), &|x: &[f64]| free(rosenbrock(x)), &SHARP, &());
    assert!(found.point().judged.cost < 1e-10, "{:?}", found.point());
    at(&found, &[1.0, 1.0], 5e-5);
}

/// Rastrigin (1974, from memory): about a hundred local minima in the box, the least, 0, at the origin.
/// Every start gets there by itself.
#[test]
fn the_deepest_of_many_pits() {
    let rastrigin = |x: &[f64]| {
        let one = |v: f64| v * v - 10.0 * (std::f64::consts::TAU * v).cos() + 10.0;
        free(x.iter().map(|v| one(*v)).sum())
    };
    let bounds = [[-5.12, 4.0], [-4.0, 5.12]];
    let found = seek(&bounds, None, &rastrigin, &SHARP, &());
    at(&found, &[0.0, 0.0], 1e-5);
    assert_eq!(found.starts.len(), 4);
    for start in &found.starts {
        let off = start.best.at.iter().map(|x| x.abs()).fold(0.0, f64::max);
        assert!(off < 1e-5, "{start:?}");
    }
}

/// A parabola whose summit lies outside the box: the least value is on its face, at x = 0, and the other
/// coordinate is not bent by it. On the face exactly, since points outside are brought there.
#[test]
fn a_least_value_on_the_face_of_the_box() {
    let found = seek(
        &[[0.0, 5.0], [0.0, 1.0], [-1.0, 4.0]],
        None,
        &|x: &[f64]| free((x[0] + 3.0).powi(2) + (x[1] - 0.5).powi(2) + (x[2] - 9.0).powi(2)),
        &SHARP,
        &(),
    );
    at(&found, &[0.0, 0.5, 4.0], 1e-4);
    let point = &found.point().at;
    assert!(point[0] == 0.0 && point[2] == 4.0, "{point:?}");
}

/// x + y on the unit disc: least value −√2 at −(√½, √½), on the circle (Lagrange). The answer keeps the
/// constraint exactly; what it lacks is a bisected stretch.
#[test]
fn a_least_value_on_a_constraint() {
    let judge = |x: &[f64]| Judged { cost: x[0] + x[1], violation: (x[0].hypot(x[1]) - 1.0).max(0.0) };
    let bounds = [[-2.0, 2.0], [-2.0, 2.0]];
    let found = seek(&bounds, Some(&[0.3, 0.1]), &judge, &SHARP, &());
    let point = found.point();
    assert_eq!(point.judged.violation, 0.0);
    let least = -std::f64::consts::SQRT_2;
    assert!(point.judged.cost >= least && point.judged.cost < least + 1e-6, "{point:?}");
    // The cost is flat along the circle: 1e-6 of it are 1e-3 of the way.
    at(&found, &[-0.5f64.sqrt(), -0.5f64.sqrt()], 2e-3);
}

/// Rosenbrock's valley cut off by the line x + y = 1: by Lagrange the least value is where
/// (1 − x, valley) balance; found here by Newton on the line, y = 1 − x.
#[test]
fn a_valley_cut_by_a_line() {
    let mut x: f64 = 0.6;
    for _ in 0..50 {
        let g = 1.0 - x - x * x;
        let slope = -2.0 * (1.0 - x) + 200.0 * g * (-1.0 - 2.0 * x);
        let curve = 2.0 + 200.0 * ((1.0 + 2.0 * x).powi(2) - 2.0 * g);
        x -= slope / curve;
    }
    let expected = [x, 1.0 - x];
    let judge = |x: &[f64]| Judged { cost: rosenbrock(x), violation: (x[0] + x[1] - 1.0).max(0.0) };
    let found = seek(&[[-2.0, 2.0], [-1.0, 3.0]], None, &judge, &SHARP, &());
    assert_eq!(found.point().judged.violation, 0.0);
    let least = rosenbrock(&expected);
    let cost = found.point().judged.cost;
    assert!(cost > least - 1e-12 && cost < least * (1.0 + 1e-5), "{cost} {least}");
    at(&found, &expected, 1e-3);
}

/// A cheap infeasible point never beats a dear feasible one, and points without a cost are passed by.
#[test]
fn what_is_infeasible_never_wins() {
    let judge = |x: &[f64]| {
        let cost = if (x[0] - 0.2).abs() < 0.05 { f64::NAN } else { 1e6 * x[0] };
        Judged { cost, violation: (0.4 - x[0]).max(0.0) }
    };
    let found = seek(&[[0.0, 1.0]], None, &judge, &SHARP, &());
    assert_eq!(found.point().judged.violation, 0.0);
    at(&found, &[0.4], 1e-6);
    let nowhere = |_: &[f64]| Judged { cost: -1e9, violation: 0.5 };
    let found = seek(&[[0.0, 1.0]], None, &nowhere, &SHARP, &());
    assert!(!found.point().judged.is_feasible());
}

struct Counter(AtomicUsize, usize);

impl Watcher for Counter {
    fn judged(&self, _: &[f64], _: &Judged) {
        self.0.fetch_add(1, Ordering::SeqCst);
    }
    fn stops(&self) -> bool {
        self.0.load(Ordering::SeqCst) >= self.1
    }
}

/// The budget is kept, every evaluation is told, an end that is asked for comes, and the answer is the
/// same for any number of threads.
#[test]
fn budget_end_and_threads() {
    let judge = |x: &[f64]| free(rosenbrock(x));
    let bounds = [[-2.0, 2.0], [-1.0, 3.0]];
    let plan = Plan { evaluations: 200, ..SHARP };
    let counter = Counter(AtomicUsize::new(0), usize::MAX);
    let found = seek(&bounds, None, &judge, &plan, &counter);
    assert!(found.starts.iter().all(|s| s.evaluations <= 200));
    assert_eq!(found.evaluations(), counter.0.load(Ordering::SeqCst));
    for threads in [1, 2, 7] {
        let pool = rayon_pool(threads);
        let same = pool.install(|| seek(&bounds, None, &judge, &plan, &()));
        assert_eq!(same, found);
    }
    let early = Counter(AtomicUsize::new(0), 60);
    let found = seek(&bounds, None, &judge, &plan, &early);
    // Each of a few threads may be at one when the end comes.
    assert!(found.evaluations() < 60 + 64, "{}", found.evaluations());
    assert!(found.point().judged.is_feasible());
}

fn rayon_pool(threads: usize) -> rayon::ThreadPool {
    rayon::ThreadPoolBuilder::new().num_threads(threads).build().unwrap()
}
