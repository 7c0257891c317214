//! Sobol' indices against the closed forms of two published test functions.

use rimhold::stats::{BaseRun, Draws, Method, SobolIndex, sobol_indices};
use std::f64::consts::PI;

fn runs(n: u64, inputs: usize, f: impl Fn(&[f64]) -> f64) -> Vec<BaseRun> {
    let draws = Draws::new(Method::LatinHypercube, 1, n, 2 * inputs);
    (0..n)
        .map(|k| {
            let mut point = vec![0.0; 2 * inputs];
            draws.point(k, &mut point);
            let (a, b) = point.split_at(inputs);
            let mixed = (0..inputs)
                .map(|i| {
                    let mut x = a.to_vec();
                    x[i] = b[i];
                    f(&x)
                })
                .collect();
            BaseRun { a: f(a), b: f(b), mixed }
        })
        .collect()
}

/// Each index within 0.02 of its closed form, which is some four standard errors at 16,384 base
/// samples, and no more than a few outside their interval of 95 %.
fn compare(found: &[SobolIndex], first: &[f64], total: &[f64]) {
    let mut outside = 0;
    for (k, index) in found.iter().enumerate() {
        println!("input {k}: first {:.4} ({:.4}), total {:.4} ({:.4})", index.first, first[k], index.total, total[k]);
        assert!((index.first - first[k]).abs() < 0.02, "first {k}");
        assert!((index.total - total[k]).abs() < 0.02, "total {k}");
        for (value, [low, high]) in [(first[k], index.first_interval), (total[k], index.total_interval)] {
            outside += usize::from(value < low || value > high);
            assert!(low <= high);
        }
    }
    assert!(outside <= 2, "{outside} closed forms lie outside their intervals");
}

/// Ishigami and Homma 1990, a = 7, b = 0.1: D = a²/8 + bπ⁴/5 + b²π⁸/18 + 1/2,
/// D₁ = bπ⁴/5 + b²π⁸/50 + 1/2, D₂ = a²/8, D₁₃ = 8b²π⁸/225.
#[test]
fn the_ishigami_function_has_its_closed_indices() {
    let (a, b) = (7.0, 0.1);
    let runs = runs(16_384, 3, |u| {
        let x: Vec<f64> = u.iter().map(|u| PI * (2.0 * u - 1.0)).collect();
        x[0].sin() + a * x[1].sin().powi(2) + b * x[2].powi(4) * x[0].sin()
    });
    let d = a * a / 8.0 + b * PI.powi(4) / 5.0 + b * b * PI.powi(8) / 18.0 + 0.5;
    let d1 = b * PI.powi(4) / 5.0 + b * b * PI.powi(8) / 50.0 + 0.5;
    let d2 = a * a / 8.0;
    let d13 = 8.0 * b * b * PI.powi(8) / 225.0;
    let (variance, found) = sobol_indices(&runs, 1, &|| true).unwrap();
    assert!((variance / d - 1.0).abs() < 0.02, "{variance} {d}");
    compare(&found, &[d1 / d, d2 / d, 0.0], &[(d1 + d13) / d, d2 / d, d13 / d]);
}

/// Sobol' g-function (Saltelli and Sobol' 1995): Π (|4u − 2| + a)/(1 + a); D_i = 1/(3(1 + a_i)²),
/// D = Π(1 + D_i) − 1, total D_i Π_{j≠i}(1 + D_j)/D.
#[test]
fn the_g_function_has_its_closed_indices() {
    let a = [0.0, 1.0, 4.5, 9.0, 99.0, 99.0];
    let runs =
        runs(16_384, a.len(), |u| u.iter().zip(a).map(|(u, a)| ((4.0 * u - 2.0).abs() + a) / (1.0 + a)).product());
    let part: Vec<f64> = a.iter().map(|a| 1.0 / (3.0 * (1.0 + a).powi(2))).collect();
    let all: f64 = part.iter().map(|d| 1.0 + d).product();
    let d = all - 1.0;
    let first: Vec<f64> = part.iter().map(|p| p / d).collect();
    let total: Vec<f64> = part.iter().map(|p| p * all / (1.0 + p) / d).collect();
    let (variance, found) = sobol_indices(&runs, 1, &|| true).unwrap();
    assert!((variance / d - 1.0).abs() < 0.03, "{variance} {d}");
    compare(&found, &first, &total);
}

#[test]
fn an_answer_that_does_not_vary_has_no_indices() {
    assert!(sobol_indices(&runs(64, 2, |_| 3.0), 1, &|| true).is_none());
    assert!(sobol_indices(&runs(4, 2, |u| u[0]), 1, &|| true).is_none());
}

/// An end that is asked for ends the bootstrap, and leaves nothing half done.
#[test]
fn an_end_can_be_asked_for_between_redraws() {
    use std::sync::atomic::{AtomicU64, Ordering};
    let runs = runs(64, 2, |u| u[0] + 2.0 * u[1]);
    let asked = AtomicU64::new(0);
    let go_on = || asked.fetch_add(1, Ordering::Relaxed) < 20;
    assert!(sobol_indices(&runs, 1, &go_on).is_none());
    assert!(asked.load(Ordering::Relaxed) < rimhold::stats::REDRAWS);
    assert!(sobol_indices(&runs, 1, &|| true).is_some());
}
